"""Rows that follow the outlines, from the outside in, the last one at the wall.

Rows are the exact offsets of what is forbidden to the centre, `step` apart, cut to where there is
material. Inner turns of all but the last are rounded, within what still leaves no ridge. What the
rows leave (necks, the middle between two walls) is found by sweeping them and cut after them.

A terrace beside which nothing stands, and a blank to be faced, have no wall to follow: their rows
go inwards from their own outlines.
"""

from __future__ import annotations

import shapely
from shapely import LineString

from compiler.geometry import Outline, Point, Region
from compiler.geometry.inside import InsideTest
from compiler.geometry.offset import grow
from compiler.paths.approach import Scene, from_air
from compiler.paths.cutting import Run, laid, runs_along
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
    places = _in_turn(task.work)
    outside = [laid(scene, row) for row in _rows(task)]
    inwards = [laid(scene, row) for row in _rows_inwards(task)]
    for place in places:
        if inwards and _beside_no_wall(task, place):
            first, *others = [runs_along(scene, row, place) for row in inwards]
            strokes += cut_in_order(scene, [[_out_of_air(scene, r) for r in first], *others])
        else:
            strokes += cut_in_order(scene, [runs_along(scene, row, place) for row in outside])
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
        return []
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


def _beside_no_wall(task: Task, place: shapely.Polygon) -> bool:
    """Whether a connected place of the work comes to no wall."""
    walls = [LineString(polyline(outline.segments)) for outline in task.forbidden.outlines]
    return all(wall.distance(place) > 4 * CHORD for wall in walls)


def _out_of_air(scene: Scene, run: Run) -> Run:
    """A run all round, which begins in material, with the way there from beside it."""
    first = run.pieces[0].segment
    lead = from_air(scene, first.start, first.tangent(0.0)) if run.closed else None
    return run if lead is None else Run((lead, *run.pieces))


def _rows_inwards(task: Task) -> list[tuple[Outline, ...]]:
    """Where there is no wall to follow: rows inwards from the edge of what is to be cleared.

    The first takes the radial depth off that edge. The material lies within each row, as it does
    within rows round what stands.
    """
    rows: list[tuple[Outline, ...]] = []
    if task.open_region.is_empty:
        return rows
    region = grow(task.open_region, task.radius - task.step)
    while not region.is_empty and len(rows) < MOST_ROWS:
        rows.append(region.outlines)
        region = grow(region, -task.step)
    return rows
