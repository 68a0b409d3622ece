"""Rows that follow the outlines, from the outside in, the last one at the wall.

Rows are the exact offsets of what is forbidden to the centre, `step` apart, cut to where there is
material. Inner turns of all but the last are rounded, within what still leaves no ridge. What the
rows leave (necks, the middle between two walls) is found by sweeping them and cut after them.
"""

from __future__ import annotations

import shapely

from compiler.geometry import Outline, Point, Region
from compiler.geometry.inside import InsideTest
from compiler.geometry.offset import grow
from compiler.geometry.polygon import from_polygon
from compiler.paths.approach import Scene
from compiler.paths.cutting import laid, runs_along
from compiler.paths.leftovers import leftovers
from compiler.paths.order import cut_in_order
from compiler.paths.run import polyline
from compiler.paths.sets import CHORD, polygons
from compiler.paths.stroke import Stroke
from compiler.paths.task import Area, Task
from compiler.paths.turns import with_rounded_turns

MOST_ROWS = 2000
ROUNDING = 0.6  # of the radius: the most that inner turns are rounded with


def plan(task: Task) -> tuple[Stroke, ...]:
    """Strokes that clear the task's work. Where there is no way in, that place is left uncut."""
    scene = Scene(task)
    strokes: list[Stroke] = []
    rows = [laid(scene, row) for row in _rows(task)]
    for place in _in_turn(task.work):
        strokes += cut_in_order(scene, [runs_along(scene, row, place) for row in rows])
    strokes += leftovers(scene, task.step / 2)
    return tuple(strokes)


def _in_turn(work: Area) -> list[shapely.Polygon]:
    """The connected pieces of the work, each the nearest to the one before it."""
    places = polygons(work)
    found: list[shapely.Polygon] = []
    while places:
        last = found[-1] if found else places[0]
        nearest = min(range(len(places)), key=lambda i: places[i].distance(last))
        found.append(places.pop(nearest))
    return found


def _rows(task: Task) -> list[tuple[Outline, ...]]:
    """The outlines of the rows, the outermost first."""
    if task.forbidden.is_empty:
        return _rows_inwards(task)
    rounding = max(0.0, min(ROUNDING * task.radius, task.radius - task.step))
    region = task.forbidden
    rows: list[tuple[Outline, ...]] = [region.outlines]
    while not _all_within(task.work, region) and len(rows) < MOST_ROWS:
        region = grow(region, task.step)
        rows.append(
            tuple(with_rounded_turns(outline, rounding) for outline in region.outlines)
            if rounding
            else region.outlines
        )
    return rows[::-1]


def _all_within(work: Area, region: Region) -> bool:
    """Whether no row further out would meet the work."""
    rings = [shapely.LinearRing(polyline(outline.segments)) for outline in region.outlines]
    if shapely.MultiLineString(rings).intersects(work):
        return False
    test = InsideTest(region.segments())
    places = [piece.representative_point() for piece in polygons(work)]
    return all(test.contains(Point(place.x, place.y)) for place in places)


def _rows_inwards(task: Task) -> list[tuple[Outline, ...]]:
    """With nothing standing there is no wall to follow: rows inwards from the work's own edge."""
    rows: list[tuple[Outline, ...]] = []
    edge = task.material.buffer(task.radius - task.step, join_style="mitre").simplify(CHORD)
    while not edge.is_empty and len(rows) < MOST_ROWS:
        rows.append(tuple(outline.reversed() for outline in from_polygon(edge).outlines))
        edge = edge.buffer(-task.step, join_style="mitre").simplify(CHORD)
    return rows
