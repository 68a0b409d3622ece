"""Where cutters have room: what is to go at a level, and what of it a cutter can come to.

Decided with polygons, chords within `CHORD` of the outlines: plenty for saying what fits.
"""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from compiler.geometry.polygon import to_polygon
from compiler.job.model import Tool
from compiler.part.model import Part, Standing
from compiler.plan.model import Level, Operation

Area = Polygon | MultiPolygon

CHORD = 0.002  # mm
SPECK = 0.01  # mm2: less than this is the chords' doing


def standing(part: Part, names: Iterable[str]) -> list[Standing]:
    """The regions of these names."""
    wanted = set(names)
    return [region for region in part.standing if region.name in wanted]


def to_clear(part: Part, level: Level, allowance: float) -> Area:
    """What is to go at the level: stock outside what stands."""
    kept = [
        to_polygon(region.region, CHORD, "nearest").buffer(allowance)
        for region in standing(part, level.standing)
    ]
    return area_of(to_polygon(part.stock, CHORD, "nearest").difference(shapely.union_all(kept)))


def within_reach(part: Part, level: Level, operation: Operation, tool: Tool) -> Area:
    """What of the stock the tool can cut at the level, entering from wherever it likes."""
    kept = []
    for region in standing(part, level.standing):
        allowance = operation.wall_allowance_by_region_mm.get(
            region.name, operation.wall_allowance_mm
        )
        kept.append(to_polygon(region.region, CHORD, "nearest").buffer(tool.radius + allowance))
    blocked = [
        to_polygon(obstacle.region, CHORD, "nearest").buffer(tool.radius)
        for obstacle in part.obstacles
        if obstacle.top > level.bottom_mm
    ]
    stock = to_polygon(part.stock, CHORD, "nearest")
    # beyond the stock's edge by nearly a radius there is still a sliver to cut
    around = stock.buffer(0.95 * tool.radius)
    centres = around.difference(shapely.union_all([*kept, *blocked]))
    return area_of(centres.buffer(tool.radius).intersection(stock))


def area_of(found: BaseGeometry) -> Area:
    """The polygons of a result: touching shapes may also share lines and points."""
    if isinstance(found, Polygon | MultiPolygon):
        return found
    return MultiPolygon([p for p in shapely.get_parts(found) if isinstance(p, Polygon)])
