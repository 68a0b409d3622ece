"""Chamfers along the upper edges of keep regions, with the cone of a chamfer mill.

The tip runs below the edge, beside the wall, so that the cone and not the tip makes the chamfer:

    offset  from wall to axis  =  tip radius + c tan(a)      a  half the included angle
    tip     below the top      =  width / tan(a) + c         c  how far the tip hangs free

At the height of the top the cone is then exactly `width` inside the wall (plane geometry).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from shapely import LineString

from compiler.geometry import Region, Segment
from compiler.geometry.combine import union
from compiler.geometry.offset import grow
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Tool
from compiler.motion import Role
from compiler.part.model import Part, Standing
from compiler.paths import sets
from compiler.paths.leads import quarter
from compiler.paths.run import Course, course, inside, pieces_of, polyline
from compiler.paths.sets import CHORD
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area
from compiler.plan.edges import FREE_TIP
from compiler.plan.model import Level, Operation

AIR = 0.1  # mm between the cone and what it is to leave alone
OVERLAP = 1.0  # mm, run twice where a closed edge begins and ends
LEAST_LEAD = 1.0  # mm: radius of the quarter circles on and off, twice the width if that is more
TRIES = 24  # places at which a run may begin and end, for room


@dataclass(frozen=True, slots=True)
class Edges:
    """Strokes along the edges of one level, and whether they take all of every edge."""

    strokes: tuple[Stroke, ...]
    whole: bool


def plan(part: Part, operation: Operation, level: Level, tool: Tool, material: Area) -> Edges:
    """Strokes along the edges of the regions that the level is over, climbing round each.

    `material` is what is present at the tip's height. Where something stands so near that the
    cone would touch it, the edge is left as it is.
    """
    edged = [s for s in part.standing if s.name in level.over]
    slope = math.tan(tool.tip_angle / 2)
    wall = union(*(s.region for s in edged))
    path = grow(wall, tool.tip_diameter / 2 + FREE_TIP * slope)
    height = level.top_mm - level.bottom_mm
    wide = min(tool.radius, tool.tip_diameter / 2 + height * slope)
    width = (height - FREE_TIP) * slope
    lead = max(2 * width, LEAST_LEAD)
    stock = to_polygon(part.stock, CHORD, "outside")
    # an open region's wall goes on into the air: no farther than running on and off needs
    beside = tool.tip_diameter / 2 + FREE_TIP * slope
    free = _free(part, edged, wall, level, tool, material, wide)
    free = sets.area_of(free.intersection(sets.swell(stock, beside + wide + 2 * lead)))
    along = sets.swell(stock, beside + CHORD)
    climbing = operation.direction != "conventional"
    strokes: list[Stroke] = []
    whole = True
    for outline in path.outlines:
        way = course(outline, backwards=climbing)
        spans = inside(way, free)
        runs = [_led(way, span, lead, climbing, free) for span in spans]
        strokes += [Stroke(run) for run in runs if run]
        done = [span for span, run in zip(spans, runs, strict=True) if run]
        whole = whole and all(_has(done, stretch, way) for stretch in inside(way, along))
    return Edges(tuple(strokes), whole)


def _has(done: list[tuple[float, float]], stretch: tuple[float, float], way: Course) -> bool:
    """Whether a stretch of the way is within one of those that are done, over its start too."""
    shifts = (-way.length, 0.0, way.length)
    return any(
        start <= stretch[0] + by + 1e-6 and stretch[1] + by <= end + 1e-6
        for start, end in done
        for by in shifts
    )


def _is_whole(way: Course, span: tuple[float, float]) -> bool:
    return span[1] - span[0] > way.length - 1e-6


def _led(
    way: Course, span: tuple[float, float], lead: float, climbing: bool, free: Area
) -> tuple[Piece, ...]:
    """A run with quarter circles at its ends; shortened from either end until they have room."""
    start, end = span
    if _is_whole(way, span):
        for k in range(TRIES):
            at = k * way.length / TRIES
            ends = _leads(way, at, at + OVERLAP, lead, climbing, free)
            if ends is not None:
                body = [*way.stretch(at, at + way.length), *way.stretch(at, at + OVERLAP)]
                return _pieces(ends[0], body, ends[1])
        return ()
    step = (end - start) / (2 * TRIES)
    for k in range(TRIES - 1):
        a, b = start + k * step, end - k * step
        ends = _leads(way, a, b, lead, climbing, free)
        if ends is not None:
            return _pieces(ends[0], way.stretch(a, b), ends[1])
    return ()


def _leads(
    way: Course, start: float, end: float, lead: float, climbing: bool, free: Area
) -> tuple[Sequence[Segment], Sequence[Segment]] | None:
    """Quarter circles on at the start and off at the end, where both keep to the free area."""
    on = quarter(way, start, lead, climbing, coming=True)
    off = quarter(way, end, lead, climbing, coming=False)
    fits = all(free.covers(LineString(polyline(arc))) for arc in (on, off))
    return (on, off) if fits else None


def _pieces(
    on: Sequence[Segment], body: Sequence[Segment], off: Sequence[Segment]
) -> tuple[Piece, ...]:
    return (*pieces_of(on, Role.LEAD), *pieces_of(body), *pieces_of(off, Role.LEAD))


def _free(
    part: Part,
    edged: list[Standing],
    wall: Region,
    level: Level,
    tool: Tool,
    material: Area,
    wide: float,
) -> Area:
    """Where the axis may run: clear of what else stands, of obstacles and of uncut stock."""
    out = []
    for other in part.standing:
        if other.name not in level.over and other.top > level.bottom_mm:
            reach = sets.widest(tool, other.top - level.bottom_mm) + AIR
            out.append(sets.swell(to_polygon(other.region, CHORD, "outside"), reach))
    for obstacle in part.obstacles:
        if obstacle.top > level.bottom_mm:
            out.append(sets.swell(to_polygon(obstacle.region, CHORD, "outside"), tool.radius + AIR))
    kept = sets.swell(to_polygon(wall, CHORD, "outside"), AIR)
    uncut = sets.opened(sets.area_of(material.difference(kept)), sets.SLIVER)
    out.append(sets.swell(uncut, wide))
    return sets.area_of(sets.window(part, tool.radius).difference(sets.joined(out)))
