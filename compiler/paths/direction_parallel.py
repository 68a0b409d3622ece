"""Straight parallel rows, cell by cell, to and fro or one way, then a row along the walls.

Rows are cut to the centres the tool may take and to where there is work. Rows that follow each
other without an island between make a cell, which is cleared before the next is begun. To and fro,
neighbouring rows are joined along the edge of the allowed centres; one way, each row is a stroke
and the way back is a link.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon
from shapely.affinity import rotate

from compiler.geometry import Line, Point
from compiler.geometry.segment import Segment
from compiler.paths.approach import Scene, begin, from_air
from compiler.paths.leftovers import leftovers, wall_row
from compiler.paths.load import eased
from compiler.paths.row_joins import along_edge
from compiler.paths.sets import SLIVER, polygons, swell
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Task
from compiler.paths.timing import seconds

RUN_UP = 0.1  # of the radius: how far before the material a row begins, and beyond it ends
BEYOND = 0.1  # mm past the last contact that the last row's rim reaches
LONGEST = 3  # walls whose directions are tried for the rows
ALIKE = 0.02  # rad: rows at angles nearer than that take the same time


@dataclass(frozen=True, slots=True)
class Row:
    """One straight stretch, in the direction of rising x of the turned plane."""

    start: Point
    end: Point
    low: float  # of x, turned: for finding out which rows lie beside each other
    high: float


def plan(task: Task) -> tuple[Stroke, ...]:
    """Strokes that clear the task's work. Where there is no way in, that place is left uncut."""
    scene = Scene(task)
    cells: list[list[Row]] = []
    for place in polygons(task.work):
        angle = task.angle if task.angle is not None else best_angle(task, place)
        cells += _cells(_rows(task, place, angle))
    strokes: list[Stroke] = []
    at: Point | None = None
    while cells:
        cell = cells.pop(_nearest(cells, at, scene))
        made = _cut_cell(scene, cell, at)
        strokes += made
        if made:
            at = made[-1].pieces[-1].segment.end
    strokes += wall_row(scene)
    strokes += leftovers(scene, task.step / 2)
    return tuple(strokes)


def best_angle(task: Task, place: Polygon) -> float:
    """The angle, rad, that clears a place of the work in the least time.

    Among those of the axes, of the place's own box, and of the longest straight walls beside it.
    """
    angles = [0.0, math.pi / 2]
    box = place.minimum_rotated_rectangle
    lines = [s for outline in task.forbidden.outlines for s in outline.segments]
    walls = [s for s in lines if isinstance(s, Line) and s.length > task.radius]
    ways = [line.tangent() for line in sorted(walls, key=lambda s: -round(s.length, 6))[:LONGEST]]
    if isinstance(box, Polygon):
        a, b = (Point(*corner) for corner in box.exterior.coords[:2])
        ways.append(b.minus(a))
    for way in ways:
        turned = way.angle() % (math.pi / 2)
        if all(_apart(turned, known) > ALIKE for known in angles):
            angles += [turned, turned + math.pi / 2]
    return min(angles, key=lambda angle: round(_seconds(task, place, angle), 3))


def _apart(a: float, b: float) -> float:
    """Between two angles whose quarter turns are alike, rad."""
    between = abs(a - b) % (math.pi / 2)
    return min(between, math.pi / 2 - between)


def _seconds(task: Task, place: Polygon, angle: float) -> float:
    """About how long rows at an angle take: the rows, what joins them, a lift for each cell."""
    pace, total = task.pace, 0.0
    for cell in _cells(_rows(task, place, angle)):
        total += pace.lift
        for row in cell:
            length = row.high - row.low
            back = seconds(length, pace.link, pace.acceleration)
            turn = seconds(task.step, pace.cut, pace.acceleration)
            total += seconds(length, pace.cut, pace.acceleration)
            total += turn if task.direction == "both" else min(back, pace.lift)
    return total


def _rows(task: Task, place: Polygon, angle: float) -> list[list[Row]]:
    """Rows over a connected place of the work, from the right of their direction to the left.

    Each as its stretches in order.
    """
    degrees = math.degrees(angle)
    work = rotate(place, -degrees, origin=(0, 0))
    if work.is_empty:
        return []
    near = swell(work, RUN_UP * task.radius)
    free = rotate(task.centres, -degrees, origin=(0, 0)).intersection(near)
    shapely.prepare(free)
    low_x, low_y, high_x, high_y = work.bounds
    rows: list[list[Row]] = []
    for at in _heights(low_y, high_y, task):
        line = LineString([(low_x - task.radius, at), (high_x + task.radius, at)])
        parts = [p for p in shapely.get_parts(line.intersection(free)) if p.length > SLIVER]
        spans = sorted((p.bounds[0], p.bounds[2]) for p in parts)
        touching = [(a, b) for a, b in spans if LineString([(a, at), (b, at)]).intersects(work)]
        rows.append([_row(a, b, at, angle) for a, b in touching])
    return [row for row in rows if row]


def _heights(low: float, high: float, task: Task) -> list[float]:
    """Where the rows lie between the first contact and the last: evenly, no further than the step.

    The last reaches a little beyond what is there, for no blank is cut to the hundredth.
    """
    first = low + task.step
    last = high - 2 * task.radius + BEYOND
    if last <= first:
        # one row takes it all: through the middle where it is no wider than the cutter
        return [min(first, (low + high) / 2)]
    count = math.ceil((last - first) / task.step - 1e-9)
    return [first + (last - first) * k / count for k in range(count + 1)]


def _row(a: float, b: float, y: float, angle: float) -> Row:
    c, s = math.cos(angle), math.sin(angle)
    return Row(Point(a * c - y * s, a * s + y * c), Point(b * c - y * s, b * s + y * c), a, b)


def _cells(rows: Sequence[Sequence[Row]]) -> list[list[Row]]:
    """Rows chained while exactly one lies beside exactly one: no island between them."""
    cells: list[list[Row]] = []
    open_cells: list[list[Row]] = []
    for row in rows:
        beside = [[cell for cell in open_cells if _overlap(cell[-1], part)] for part in row]
        following: list[list[Row]] = []
        for part, found in zip(row, beside, strict=True):
            alone = len(found) == 1 and sum(_overlap(found[0][-1], other) for other in row) == 1
            if alone:
                found[0].append(part)
                following.append(found[0])
            else:
                cell = [part]
                cells.append(cell)
                following.append(cell)
        open_cells = following
    return cells


def _overlap(a: Row, b: Row) -> bool:
    return a.low < b.high and b.low < a.high


def _nearest(cells: Sequence[Sequence[Row]], at: Point | None, scene: Scene) -> int:
    """The cell to cut next: one that begins in air or cleared area, the nearest of these."""

    def cost(i: int) -> tuple[bool, float, int]:
        ends = [p for row in (cells[i][0], cells[i][-1]) for p in (row.start, row.end)]
        free = [p for p in ends if scene.progress.is_free_at(p)]
        far = min((p.distance(at) for p in free or ends), default=0.0) if at else 0.0
        return (not free, round(far, 6), i)

    return min(range(len(cells)), key=cost)


def _cut_cell(scene: Scene, cell: Sequence[Row], at: Point | None) -> list[Stroke]:
    task = scene.task
    if task.direction == "both":
        return _to_and_fro(scene, _best_order(scene, cell, at))
    # rows rise to the left of their direction: what is still there lies on the left
    forward = task.direction == "conventional"
    strokes: list[Stroke] = []
    for row in cell:
        start, end = (row.start, row.end) if forward else (row.end, row.start)
        strokes += _one_way(scene, Line(start, end))
    return strokes


def _one_way(scene: Scene, line: Line) -> list[Stroke]:
    """A row in its own direction, from air to a side of its start where that is in material.

    Against it where only its end can be reached without boring.
    """
    if begin(scene, line.start, line.tangent(), bore=False) is not None:
        return _cut(scene, [line])
    lead = from_air(scene, line.start, line.tangent())
    if lead is not None:
        return [Stroke(eased([lead, Piece(line)], scene.progress, scene.task))]
    back = line.reversed()
    can = begin(scene, back.start, back.tangent(), bore=False) is not None
    return _cut(scene, [back if can else line])


def _best_order(scene: Scene, cell: Sequence[Row], at: Point | None) -> list[Line]:
    """The cell's rows as lines to and fro, from whichever of its four corners is free and near."""
    ways: list[list[Line]] = []
    for rows in (list(cell), list(cell)[::-1]):
        for forward in (True, False):
            lines = [Line(row.start, row.end) for row in rows]
            ways.append(
                [
                    line if (k % 2 == 0) == forward else line.reversed()
                    for k, line in enumerate(lines)
                ]
            )

    def cost(i: int) -> tuple[bool, float, int]:
        start = ways[i][0].start
        far = start.distance(at) if at is not None else 0.0
        return (not scene.progress.is_free_at(start), round(far, 6), i)

    return ways[min(range(len(ways)), key=cost)]


def _to_and_fro(scene: Scene, lines: Sequence[Line]) -> list[Stroke]:
    strokes: list[Stroke] = []
    run: list[Segment] = []
    for line in lines:
        if run:
            way = along_edge(scene, run[-1].end, line.start)
            if way is None:
                strokes += _cut(scene, run)
                run = []
            else:
                before = run.pop()  # rows end at the wall itself, where the way follows it
                run += [Line(before.start, way[0].start), *way] if way else [before]
                line = Line(way[-1].end, line.end) if way else line
        run.append(line)
    return strokes + _cut(scene, run)


def _cut(scene: Scene, segments: Sequence[Segment]) -> list[Stroke]:
    if not segments:
        return []
    first = segments[0]
    found = begin(scene, first.start, first.tangent(0.0))
    if found is None:
        return []
    strokes, lead = found
    pieces = [*lead, *(Piece(segment) for segment in segments)]
    return [*strokes, Stroke(eased(pieces, scene.progress, scene.task))]
