"""Sets of tool-centre positions: what stands, what is there, where the centre may and must go.

    K  what stands at the level          forbidden = K grown by radius and allowance (exact)
    M  material present at the level     stock, less what was swept at this depth or deeper
    C  centres the tool may take         a window round the stock, less forbidden
    P  centres that touch no material    C less M grown by the radius
    T  centres still to be visited       C within the radius of what can be removed

Polygons lie inside the exact sets, within `CHORD` of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from compiler.geometry import EMPTY, Region
from compiler.geometry.combine import union
from compiler.geometry.offset import grow
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Tool
from compiler.part.model import Gone, Part
from compiler.paths.task import Area, Task
from compiler.plan.model import Level, Operation

CHORD = 0.005  # mm: chord error of polygons, on the safe side
FINE = 0.0004  # mm: the same for ways past walls, where nothing else keeps the centre off them
SLIVER = 0.03  # mm: material thinner than this is the chords' doing, or will not matter
OFF_WALLS = 0.01  # mm: a floor is finished so far off walls that stand unfinished, not to rub them
NONE = MultiPolygon()


@dataclass(frozen=True, slots=True)
class Hollow:
    """Where a setup before cut the stock from what is now below: nothing is left under `roof`."""

    roof: float
    area: Area


@dataclass(frozen=True, slots=True)
class Sweep:
    """What one operation cut at one depth: everything above `bottom` within `area` is gone."""

    operation: str
    bottom: float
    area: Area


BEFORE = ""  # the operation of sweeps that setups before made


@dataclass(frozen=True, slots=True)
class Ground:
    """The stock as the operations so far have left it.

    A setup before may have cut it from below: there is nothing below `Hollow.roof` there. A column
    that was cut from above down to the roof is gone altogether.
    """

    stock: Area
    top: float  # Z of the stock's upper face
    sweeps: tuple[Sweep, ...] = ()
    hollows: tuple[Hollow, ...] = ()

    @classmethod
    def of(cls, part: Part) -> Ground:
        """The stock as the setup begins with it."""
        ground = cls(
            to_polygon(part.stock, CHORD, "outside"),
            part.stock_top,
            hollows=tuple(Hollow(g.height, g.area) for g in part.gone if g.side == "below"),
        )
        for gone in part.gone:
            if gone.side == "above":
                ground = ground.after(Sweep(BEFORE, gone.height, gone.area))
        return ground

    def at(self, height: float, only: Sequence[str] | None = None) -> Area:
        """Where material stands higher than `height`; `only`: as if just these operations had cut.

        All of a column goes that a cutter's tip passes below the top of, so it does not matter
        here how far down the column reaches.
        """
        if height >= self.top - 1e-6:
            return NONE
        gone = [self.sweeps[i].area for i in self.deeper(height, only)]
        return area_of(self.stock.difference(shapely.union_all(gone))) if gone else self.stock

    def deeper(self, height: float, only: Sequence[str] | None = None) -> tuple[int, ...]:
        """Which sweeps took away what was just above `height`: a key to `at`."""
        return tuple(
            i
            for i, sweep in enumerate(self.sweeps)
            if sweep.bottom <= height + 1e-6
            and (only is None or sweep.operation == BEFORE or sweep.operation in only)
        )

    def after(self, sweep: Sweep) -> Ground:
        """The same, one sweep later."""
        return replace(self, sweeps=(*self.sweeps, sweep)).opened_by(sweep)

    def opened_by(self, sweep: Sweep) -> Ground:
        """The same, less the columns that a sweep cut through into a hollow."""
        through = [
            area_of(hollow.area.intersection(sweep.area))
            for hollow in self.hollows
            if hollow.roof >= sweep.bottom - 1e-6
        ]
        gone = [Sweep(sweep.operation, -math.inf, area) for area in through if not area.is_empty]
        return replace(self, sweeps=(*self.sweeps, *gone)) if gone else self

    def gone(self) -> tuple[Gone, ...]:
        """What is no longer there, for the setup that comes after."""
        return (
            *(Gone(sweep.area, sweep.bottom, "above") for sweep in self.sweeps),
            *(Gone(hollow.area, hollow.roof, "below") for hollow in self.hollows),
        )


def area_of(found: BaseGeometry) -> Area:
    """The polygons of a result: shapes that touch may also share lines and points."""
    if isinstance(found, Polygon | MultiPolygon):
        return found
    return MultiPolygon([p for p in shapely.get_parts(found) if isinstance(p, Polygon)])


def disc_segments(radius: float, chord: float = CHORD) -> int:
    """Chords to a quarter circle that keep the chord error of a buffer of that radius."""
    step = 2 * (2 * chord / max(radius, chord)) ** 0.5
    return max(4, int(1.5708 / step) + 1)


def swell(area: BaseGeometry, distance: float) -> Area:
    """The area grown (negative: shrunk) by the distance, with chords fine enough for `CHORD`."""
    return area_of(area.buffer(distance, quad_segs=disc_segments(abs(distance))))


def opened(area: Area, radius: float) -> Area:
    """The area without what is thinner than twice the radius."""
    return area_of(area.buffer(-radius, join_style="mitre").buffer(radius, join_style="mitre"))


def forbidden(part: Part, operation: Operation, level: Level, tool: Tool) -> Region:
    """Where the tool's centre must not be at this level: exact lines and arcs.

    What stands, grown by the widest that the tool is alongside it (its shank or holder, where it
    stands so high) and by the allowance; obstacles likewise.
    """
    by_distance: dict[float, list[Region]] = {}
    for region in part.standing:
        if region.name not in level.standing:
            continue
        allowance = operation.wall_allowance_by_region_mm.get(
            region.name, operation.wall_allowance_mm
        )
        if operation.kind == "finish_floor" and allowance > 0:
            allowance += min(OFF_WALLS, allowance / 2)
        distance = widest(tool, region.top - level.bottom_mm) + allowance
        by_distance.setdefault(round(distance, 9), []).append(region.region)
    for obstacle in part.obstacles:
        if obstacle.top > level.bottom_mm:
            distance = widest(tool, obstacle.top - level.bottom_mm)
            by_distance.setdefault(round(distance, 9), []).append(obstacle.region)
    grown = [
        grow(union(*regions) if len(regions) > 1 else regions[0], distance)
        for distance, regions in by_distance.items()
    ]
    if not grown:
        return EMPTY
    return grown[0] if len(grown) == 1 else union(*grown)


def widest(tool: Tool, height: float) -> float:
    """The tool's largest radius from its tip up to `height` above it."""
    radius = tool.radius
    if height > tool.flute_length:
        radius = max(radius, tool.shank_diameter / 2)
    if tool.holder is not None and height > tool.stickout:
        radius = max(radius, tool.holder.diameter / 2)
    return radius


def window(part: Part, radius: float) -> Polygon:
    """The stock and generous air around it, but not beyond where open regions end."""
    margin = min(part.air - 2 * radius, max(6 * radius, 30.0))
    low_x, low_y, high_x, high_y = part.stock.bounds
    return shapely.box(low_x - margin, low_y - margin, high_x + margin, high_y + margin)


def centres(part: Part, out: Region, radius: float) -> Area:
    """Centres the tool may take: the window less what is forbidden."""
    frame = window(part, radius)
    if out.is_empty:
        return frame
    return area_of(frame.difference(to_polygon(out, CHORD, "outside")))


def passable(task: Task) -> Area:
    """Centres that may be used on the way: to the exact outlines, at most twice `FINE` beyond.

    `task.centres` lies up to a chord error inside the exact set, so that a run along the outline
    itself would not be covered by it.
    """
    if task.passable is not None:
        return task.passable
    near = swell(task.centres, 2 * CHORD)
    if task.forbidden.is_empty:
        return near
    walls = to_polygon(task.forbidden, FINE, "inside").buffer(-FINE, join_style="mitre")
    return area_of(near.difference(walls))


def clear_centres(allowed: Area, material: Area, radius: float) -> Area:
    """Centres that touch no material."""
    return area_of(allowed.difference(swell(material, radius))) if material else allowed


def removable(material: Area, allowed: Area, radius: float) -> Area:
    """What of the material the tool can take away, without slivers."""
    reach = swell(allowed, radius)
    return opened(area_of(material.intersection(reach)), SLIVER / 2)


def to_visit(allowed: Area, target: Area, radius: float) -> Area:
    """Centres from which the tool touches the target."""
    return area_of(allowed.intersection(swell(target, radius - SLIVER / 2)))


def joined(areas: Iterable[BaseGeometry]) -> Area:
    """One area of many."""
    return area_of(shapely.union_all(list(areas)))


def polygons(area: Area) -> list[Polygon]:
    """The connected pieces of an area, in an order that depends on nothing but their places."""
    found = [p for p in shapely.get_parts(area) if isinstance(p, Polygon) and p.area > 1e-6]
    return sorted(found, key=lambda p: p.bounds)
