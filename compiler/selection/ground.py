"""What cutters can come to at each level, and what they would leave that others need not leave.

Polygons for deciding, as in `plan.room`. A sharp inside corner keeps the radius of whatever cutter
is used, so it speaks for none; a drawn radius, a channel or a hole that one cutter goes into and
another does not, speaks for the one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import shapely
from shapely import Point as Spot
from shapely.geometry.base import BaseGeometry

from compiler.geometry import Point, Region
from compiler.geometry.combine import union
from compiler.geometry.measure import TooManyWallsError, narrowest_gap
from compiler.geometry.polygon import to_polygon
from compiler.geometry.segment import Arc
from compiler.job.model import Tool
from compiler.part.model import Part
from compiler.plan.model import Level, Operation
from compiler.plan.room import CHORD, Area, area_of, within_reach

COARSE = 0.01  # mm: fewer corners, quicker answers
SLIVER = 0.04  # mm: thinner than this is the chords' doing
SHARP = 1e-3  # rad: a turn of less is smooth
MOST_PAIRS = 200_000  # of walls held against each other to tell the narrowest gap, for a reason
WIDEST = 10.0  # times the radius: no corner is masked further, however acute

Key = tuple[tuple[str, ...], tuple[str, ...]]


@dataclass(slots=True)
class Ground:
    """The part as areas, each worked out once."""

    part: Part
    _reach: dict[tuple[object, ...], Area] = field(default_factory=dict)
    _radii: dict[tuple[str, ...], tuple[float, ...]] = field(default_factory=dict)
    _walls: dict[tuple[str, ...], float] = field(default_factory=dict)
    _corners: dict[tuple[str, ...], list[tuple[Point, float]]] = field(default_factory=dict)

    def key(self, level: Level) -> Key:
        """What stands and what blocks at a level: where these are the same, so are the areas."""
        blocked = tuple(o.name for o in self.part.obstacles if o.top > level.bottom_mm)
        return level.standing, blocked

    def reach(self, level: Level, operation: Operation, tool: Tool) -> Area:
        """What of the stock the tool comes to at the level; above `over` alone, if it has any."""
        allowances = tuple(sorted(operation.wall_allowance_by_region_mm.items()))
        known = (
            self.key(level),
            level.over,
            tool.diameter,
            operation.wall_allowance_mm,
            allowances,
        )
        if known not in self._reach:
            found: BaseGeometry = within_reach(self.part, level, operation, tool)
            if level.over:
                over = [s.region for s in self.part.standing if s.name in level.over]
                found = found.intersection(shapely.union_all([_polygon(each) for each in over]))
            self._reach[known] = area_of(found.simplify(COARSE))
        return self._reach[known]

    def needless(self, level: Level, left: BaseGeometry, radius: float, thin: float) -> float:
        """Area of what is left, sharp corners and places narrower than `thin` not counted, mm2."""
        thin = max(thin, SLIVER)
        open_ground = left.buffer(-thin / 2).buffer(thin / 2)
        if open_ground.is_empty:
            return 0.0
        masks = []
        for at, angle in self._sharp_corners(level.standing):
            wide = min(radius / math.tan(angle / 2), WIDEST * radius)
            masks.append(_spot(at).buffer(1.02 * wide + SLIVER))
        return float(open_ground.difference(shapely.union_all(masks)).area)

    def has_sharp_corner(self, level: Level) -> bool:
        """Whether the walls of the level meet in a sharp inside corner within the stock."""
        return bool(self._sharp_corners(level.standing))

    def inside_radii(self, level: Level) -> tuple[float, ...]:
        """The drawn inside radii of the level's walls within the stock, mm, smallest first."""
        if level.standing not in self._radii:
            walls = union(*(s.region for s in self.part.standing if s.name in level.standing))
            stock = _polygon(self.part.stock)
            self._radii[level.standing] = tuple(
                sorted(
                    s.radius
                    for s in walls.segments()
                    if isinstance(s, Arc) and not s.ccw and stock.intersects(_spot(s.at(0.5)))
                )
            )
        return self._radii[level.standing]

    def narrowest(self, level: Level) -> float | None:
        """Width of the narrowest gap between the level's walls, mm; None where there is none."""
        walls = union(*(s.region for s in self.part.standing if s.name in level.standing))
        try:
            gap = narrowest_gap(walls, most_pairs=MOST_PAIRS)
        except TooManyWallsError:
            return None
        return None if gap is None else gap.width

    def wall_length(self, level: Level) -> float:
        """Length of the walls that stand at a level, within the stock's edge, mm."""
        if level.standing not in self._walls:
            near = _polygon(self.part.stock).buffer(1.0)
            kept = [_polygon(s.region) for s in self.part.standing if s.name in level.standing]
            walls = shapely.union_all(kept).boundary.intersection(near)
            self._walls[level.standing] = float(walls.length)
        return self._walls[level.standing]

    def _sharp_corners(self, names: tuple[str, ...]) -> list[tuple[Point, float]]:
        """Places within the stock where walls meet in a sharp inside corner, and its angle, rad."""
        if names not in self._corners:
            walls = union(*(s.region for s in self.part.standing if s.name in names))
            stock = _polygon(self.part.stock)
            found = []
            for outline in walls.outlines:
                for i, segment in enumerate(outline.segments):
                    before, after = outline.segments[i - 1].tangent(1.0), segment.tangent(0.0)
                    turn = math.atan2(before.cross(after), before.dot(after))
                    at = segment.start
                    if turn < -SHARP and stock.distance(_spot(at)) < SLIVER:
                        found.append((at, math.pi + turn))
            self._corners[names] = found
        return self._corners[names]


def joined(areas: Sequence[BaseGeometry]) -> BaseGeometry:
    """All of the areas as one."""
    return shapely.union_all(list(areas))


def _spot(at: Point) -> Spot:
    return Spot(at.x, at.y)


def _polygon(region: Region) -> Area:
    return to_polygon(region, CHORD, "nearest")
