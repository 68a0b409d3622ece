"""Chamfers along the upper edges of keep regions, with the cone of a chamfer mill.

The tip runs below the edge, beside the wall, so that the cone and not the tip makes the chamfer:

    offset  from wall to axis  =  tip radius + c tan(a)      a  half the included angle
    tip     below the top      =  width / tan(a) + c         c  how far the tip hangs free

At the height of the top the cone is then exactly `width` inside the wall (plane geometry).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from compiler.geometry import Region
from compiler.geometry.combine import union
from compiler.geometry.offset import grow
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Tool
from compiler.part.model import Part, Standing
from compiler.paths import sets
from compiler.paths.run import course, inside, pieces_of
from compiler.paths.sets import CHORD
from compiler.paths.stroke import Stroke
from compiler.paths.task import Area
from compiler.plan.edges import FREE_TIP
from compiler.plan.model import Level, Operation

AIR = 0.1  # mm between the cone and what it is to leave alone
OVERLAP = 1.0  # mm, run twice where a closed edge begins and ends


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
    free = _free(part, edged, wall, level, tool, material, wide)
    strokes: list[Stroke] = []
    whole = True
    for outline in path.outlines:
        way = course(outline, backwards=operation.direction != "conventional")
        for start, end in inside(way, free):
            closed = end - start > way.length - 1e-6
            end = end + OVERLAP if closed else end
            pieces = pieces_of(way.stretch(start, end))
            whole = whole and closed
            if pieces:
                strokes.append(Stroke(pieces))
        whole = whole and bool(inside(way, free))
    return Edges(tuple(strokes), whole)


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
