"""Every way to fill the open passes, the most complete first and among those the quickest.

How complete, from areas: nothing may be left that another choice would cut (`ground.needless`).
How quick, by a rough reckoning: area over radial depth and feed, walls over the finishing feed, and
the tool changes. Good enough to say which few ways deserve to be planned in full.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby, product

from shapely.geometry.base import BaseGeometry

from compiler.job.model import Job, PassKind, Tool
from compiler.plan.choice import ROUGHING
from compiler.plan.model import Level, Operation
from compiler.plan.room import SPECK
from compiler.selection.fitting import Fit, Fits
from compiler.selection.ground import Ground, joined

MOST_WAYS = 5000  # looked at by estimate; of a pass with too many cutters the best few are kept
SAME_AREA = 0.5  # mm2: choices that leave no more than this beyond the best are as complete
# mm2 that it counts where the finishing cutter misses a drawn inside radius, or leaves a fillet at
# the foot of walls
PER_RADIUS = 10.0
PER_PIECE = 2.0  # s: to go up, across and down again to each separate piece of ground
FINISHES = frozenset({"finish_floor", "finish_walls"})
CLEARS: tuple[PassKind, ...] = ("rough", "rest", "finish_floor", "face")


@dataclass(frozen=True, slots=True)
class Way:
    """One way to fill the open passes."""

    cutters: Mapping[str, Fit]
    left: float  # mm2 that another way would cut
    estimate: float  # s

    @property
    def tools(self) -> dict[str, Tool]:
        """The cutter of each open pass, by its name."""
        return {name: fit.tool for name, fit in self.cutters.items()}


def ranked(job: Job, fits: Fits, ground: Ground) -> tuple[Way, ...]:
    """The ways that leave least, quickest first; the same order every time."""
    names = [asked.name for asked in job.open_passes]
    few = max(2, int(MOST_WAYS ** (1 / len(names))))
    scale = _Scale(job, fits, ground)
    choices = [scale.best_of(name, few) for name in names]
    ways = [
        scale.way(dict(zip(names, chosen, strict=True)))
        for chosen in product(*choices)
        if _steps_down(job, dict(zip(names, chosen, strict=True)), fits)
    ]
    least = min(way.left for way in ways)
    complete = [way for way in ways if way.left <= least + SAME_AREA]
    return tuple(sorted(complete, key=lambda way: (round(way.estimate, 3), _order(way))))


def is_quickest_alone(job: Job, fits: Fits, ground: Ground, way: Way, name: str) -> bool:
    """Whether no other cutter would do a pass sooner if that pass were all there is."""
    scale = _Scale(job, fits, ground)
    mine = scale.alone(way.cutters[name])
    return all(mine <= scale.alone(fit) for fit in fits.by_pass[name])


def _order(way: Way) -> tuple[tuple[float, str], ...]:
    """Ties are broken by the larger cutter, then by name."""
    return tuple((-fit.tool.diameter, fit.tool.name) for fit in way.cutters.values())


def _steps_down(job: Job, chosen: Mapping[str, Fit], fits: Fits) -> bool:
    """Whether each open rest pass has a smaller cutter than the roughing before it, if it can."""
    before: list[float] = []
    for asked in job.passes:
        if asked.kind not in ROUGHING:
            continue
        tool = chosen[asked.name].tool if asked.is_open else job.tool(asked.tool)
        if asked.kind == "rest" and asked.is_open and before:
            can = any(fit.tool.diameter < min(before) for fit in fits.by_pass[asked.name])
            if can and tool.diameter >= min(before):
                return False
        before.append(tool.diameter)
    return True


@dataclass(slots=True)
class _Scale:
    """Weighs ways against each other; what it works out once it keeps."""

    job: Job
    fits: Fits
    ground: Ground
    _best: dict[object, BaseGeometry] = field(default_factory=dict)
    _work: dict[object, tuple[float, int]] = field(default_factory=dict)
    _missed: dict[object, float] = field(default_factory=dict)

    def best_of(self, name: str, few: int) -> tuple[Fit, ...]:
        """So many cutters of a pass at most: the quickest by themselves, and the smallest."""
        found = self.fits.by_pass[name]
        if len(found) <= few:
            return found
        quick = sorted(found, key=self.alone)
        small = min(found, key=lambda fit: (fit.tool.diameter, fit.tool.name))
        kept = quick[: few - 1]
        return tuple(kept if small in kept else [*kept, small])

    def alone(self, fit: Fit) -> float:
        """Time of one pass by itself, s."""
        return self._seconds([(fit.operation, fit.tool)])

    def way(self, cutters: Mapping[str, Fit]) -> Way:
        """A way with what it leaves and how long it takes."""
        whole: list[tuple[Operation, Tool]] = []
        for asked in self.job.passes:
            if asked.is_open:
                whole.append((cutters[asked.name].operation, cutters[asked.name].tool))
            elif asked.name in self.fits.fixed:
                whole.append((self.fits.fixed[asked.name], self.job.tool(asked.tool)))
        return Way(cutters, round(self._left(whole), 3), self._seconds(whole))

    def _seconds(self, whole: Sequence[tuple[Operation, Tool]]) -> float:
        """Time at the machine, s, by rough reckoning."""
        seconds, working = 0.0, []
        for at, (operation, tool) in enumerate(whole):
            spent = self._cutting(operation, tool, whole[:at])
            if spent > 0:
                working.append(tool.name)
            seconds += spent
        changes = len([name for name, _ in groupby(working)])
        return seconds + changes * self.job.machine.change_time

    def _cutting(
        self, operation: Operation, tool: Tool, before: Sequence[tuple[Operation, Tool]]
    ) -> float:
        cutting = operation.cutting
        if operation.kind in ("finish_walls", "break_edges"):
            rounds = 1 + operation.spring_passes
            walls = sum(self.ground.wall_length(level) for level in operation.levels)
            return 60 * rounds * walls / cutting.finish_feed_mm_min
        if operation.kind not in CLEARS:
            return 0.0
        cleared = [(o, t) for o, t in before if o.kind in ROUGHING and operation.kind in ROUGHING]
        seconds = 0.0
        for level in operation.levels:
            area, pieces = self._to_cut(level, operation, tool, cleared)
            rate = operation.radial_depth_mm * cutting.feed_mm_min / 60
            seconds += area / rate + PER_PIECE * pieces
        return seconds

    def _to_cut(
        self,
        level: Level,
        operation: Operation,
        tool: Tool,
        cleared: Sequence[tuple[Operation, Tool]],
    ) -> tuple[float, int]:
        """Area that is left for it at the level, mm2, and in how many pieces."""
        known = (
            self.ground.key(level),
            level.over,
            operation.id,
            tool.name,
            tuple((o.id, t.name) for o, t in cleared),
        )
        if known not in self._work:
            area: BaseGeometry = self.ground.reach(level, operation, tool)
            for earlier, its_tool in cleared:
                area = area.difference(self.ground.reach(level, earlier, its_tool))
            pieces = [piece for piece in getattr(area, "geoms", [area]) if piece.area > SPECK]
            self._work[known] = sum(piece.area for piece in pieces), len(pieces)
        return self._work[known]

    def _left(self, whole: Sequence[tuple[Operation, Tool]]) -> float:
        """Area that these cutters leave though others would cut it, over all levels, mm2."""
        walls = [tool.diameter for operation, tool in whole if operation.kind == "finish_walls"]
        clearing = [(o, t) for o, t in whole if o.kind in ROUGHING]
        # what is thinner than half the finishing cutter it takes with the wall
        thin = min(walls) / 2 if walls else 0.0
        left = self._group_left(clearing, thin) + PER_RADIUS * self._rounded(whole)
        for operation, tool in whole:
            if operation.kind in ("finish_floor", "finish_walls"):
                left += self._group_left(
                    [(operation, tool)], thin if operation.kind == "finish_floor" else 0.0
                )
            if operation.kind == "finish_walls" and operation.id in self.fits.by_pass:
                left += PER_RADIUS * self._radii_missed(operation, tool)
        return left

    def _rounded(self, whole: Sequence[tuple[Operation, Tool]]) -> int:
        """How many of the open passes that leave walls or floors as they will be have a cutter
        with a rounded corner, which leaves a fillet at the foot of the walls.
        """
        finishing = {operation.kind for operation, _ in whole} & FINISHES
        last = finishing or {"rough", "rest"}
        return sum(
            tool.corner_radius > 0 and operation.kind in last
            for operation, tool in whole
            if operation.id in self.fits.by_pass
        )

    def _radii_missed(self, operation: Operation, tool: Tool) -> int:
        """How many drawn inside radii are too small for the cutter, exactly."""
        levels = {level.standing: level for level in operation.levels}.values()
        return sum(
            radius < tool.radius - 1e-6
            for level in levels
            for radius in self.ground.inside_radii(level)
        )

    def _group_left(self, group: Sequence[tuple[Operation, Tool]], thin: float) -> float:
        """What the passes of a group leave together, of what the cutters for them could cut."""
        if not any(operation.id in self.fits.by_pass for operation, _ in group):
            return 0.0
        known = (tuple((o.id, t.name) for o, t in group), thin)
        if known not in self._missed:
            levels = {
                (self.ground.key(level), level.over): level
                for operation, _ in group
                for level in operation.levels
            }
            smallest = min(tool.radius for _, tool in group)
            allowance = max(operation.wall_allowance_mm for operation, _ in group)
            total = 0.0
            for level in levels.values():
                reached = joined([self.ground.reach(level, o, t) for o, t in group])
                left = self._reachable(level, group).difference(reached)
                total += self.ground.needless(level, left, smallest + allowance, thin)
            self._missed[known] = total
        return self._missed[known]

    def _reachable(self, level: Level, group: Sequence[tuple[Operation, Tool]]) -> BaseGeometry:
        """What any of the cutters that fit these passes comes to."""
        names = tuple(operation.id for operation, _ in group)
        known = (self.ground.key(level), level.over, names)
        if known not in self._best:
            able = [
                (fit.operation, fit.tool)
                for name in names
                for fit in self.fits.by_pass.get(name, ())
            ]
            able += [(o, t) for o, t in group if o.id not in self.fits.by_pass]
            self._best[known] = joined([self.ground.reach(level, o, t) for o, t in able])
        return self._best[known]
