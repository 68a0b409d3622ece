"""Rows that follow the outlines, from the outside in, the last one at the wall.

Rows are the exact offsets of what is forbidden to the centre, `step` apart, cut to where there is
material. Inner turns of all but the last are rounded, within what still leaves no ridge. What the
rows leave (necks, the middle between two walls) is found by sweeping them and cut after them.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import shapely

from compiler.geometry import Line, Outline, Point, Region, Segment
from compiler.geometry.offset import grow
from compiler.motion import Role
from compiler.paths.approach import Ground, begin
from compiler.paths.load import eased
from compiler.paths.run import (
    Course,
    backwards,
    bridged,
    course,
    divided,
    inside,
    pieces_of,
    polyline,
)
from compiler.paths.sets import CHORD, SLIVER, area_of, removable, swell, to_visit
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area, Task

MOST_ROWS = 2000
ROUNDING = 0.6  # of the radius: the most that inner turns are rounded with
RUN_UP = 0.1  # of the radius: how far before the first contact a run begins
BRIDGE = 3.0  # times the radius: shorter gaps in a row are crossed at depth
AGAIN = 4  # rounds for what rows leave, each with rows half as far apart


def plan(task: Task) -> tuple[Stroke, ...]:
    """Strokes that clear the task's work. Where there is no way in, that place is left uncut."""
    ground = Ground(task)
    strokes: list[Stroke] = []
    rows = _rows(task)
    for place in in_turn(task.work):
        for outlines in rows:
            strokes += _cut_row(ground, outlines, place)
    strokes += leftovers(ground, task.step / 2)
    return tuple(strokes)


def in_turn(work: Area) -> list[shapely.Polygon]:
    """The connected pieces of the work, each the nearest to the one before it."""
    places = _parts(work)
    found: list[shapely.Polygon] = []
    while places:
        nearest = (
            min(range(len(places)), key=lambda i: places[i].distance(found[-1])) if found else 0
        )
        found.append(places.pop(nearest))
    return found


def wall_row(ground: Ground) -> list[Stroke]:
    """The one row at the walls, where material is left beside them."""
    return _cut_row(ground, ground.task.forbidden.outlines, _still_to_visit(ground))


def leftovers(ground: Ground, step: float) -> list[Stroke]:
    """Strokes for what the strokes so far leave of the work: rows nearer together, where needed."""
    strokes: list[Stroke] = []
    for round_number in range(AGAIN):
        work = _still_to_visit(ground)
        if work.is_empty:
            break
        before = len(strokes)
        # other rows each time: half way between the earlier ones, then at their quarters
        offset = step / (round_number + 1)
        for distance in (offset * 3, offset * 2, offset, 0.0):
            region = grow(ground.task.forbidden, distance)
            strokes += _cut_row(ground, region.outlines, _still_to_visit(ground))
        strokes += _through_middles(ground)
        if len(strokes) == before:
            break
    return strokes


def _still_to_visit(ground: Ground) -> Area:
    task = ground.task
    target = ground.progress.left_in(swell(task.work, task.radius + SLIVER))
    rest = removable(target, task.centres, task.radius)
    if rest.is_empty:
        return rest
    visit = to_visit(task.centres, rest, task.radius)
    # only where the task asks: elsewhere material may stand that is not this pass's
    return area_of(visit.intersection(swell(task.work, SLIVER)))


def _through_middles(ground: Ground) -> list[Stroke]:
    """A straight stroke across each piece that rows can't follow: posts, tips of necks."""
    task, strokes = ground.task, list[Stroke]()
    for piece in _parts(_still_to_visit(ground)):
        box = piece.minimum_rotated_rectangle
        middle = piece.representative_point()
        corners = list(box.exterior.coords) if hasattr(box, "exterior") else []
        ends = [Point(middle.x, middle.y), Point(middle.x + 0.2 * task.radius, middle.y)]
        if len(corners) >= 4:
            a, b, c, d = (Point(*p) for p in corners[:4])
            if a.distance(b) < b.distance(c):
                ends = [_mid(a, b), _mid(c, d)]
            else:
                ends = [_mid(b, c), _mid(d, a)]
        line = shapely.LineString(ends).intersection(ground.allowed)
        for part in sorted(shapely.get_parts(line), key=lambda p: -p.length)[:1]:
            if part.geom_type == "LineString" and part.length > SLIVER:
                start, end = Point(*part.coords[0]), Point(*part.coords[-1])
                strokes += _cut(ground, [Piece(Line(start, end))], closed=False)
    return strokes


def _rows(task: Task) -> list[tuple[Outline, ...]]:
    """The outlines of the rows, the outermost first."""
    if task.forbidden.is_empty:
        return _rows_inwards(task)
    rounding = max(0.0, min(ROUNDING * task.radius, task.radius - task.step))
    rows: list[tuple[Outline, ...]] = []
    for k in range(MOST_ROWS):
        distance = k * task.step
        region = grow(task.forbidden, distance + (rounding if k else 0.0))
        if k and rounding:
            region = grow(region, -rounding)
        rows.append(region.outlines)
        if _all_within(task.work, region):
            break
    return rows[::-1]


def _all_within(work: Area, region: Region) -> bool:
    from compiler.geometry.polygon import to_polygon

    return bool(to_polygon(region, CHORD, "inside").buffer(CHORD).covers(work))


def _rows_inwards(task: Task) -> list[tuple[Outline, ...]]:
    """With nothing standing there is no wall to follow: rows inwards from the work's own edge."""
    from compiler.geometry.polygon import from_polygon

    rows: list[tuple[Outline, ...]] = []
    edge = task.material.buffer(task.radius - task.step, join_style="mitre").simplify(CHORD)
    while not edge.is_empty and len(rows) < MOST_ROWS:
        rows.append(tuple(outline.reversed() for outline in from_polygon(edge).outlines))
        edge = edge.buffer(-task.step, join_style="mitre").simplify(CHORD)
    return rows


def _cut_row(ground: Ground, outlines: Iterable[Outline], work: Area) -> list[Stroke]:
    """The stretches of a row that lie in the work, nearest start first."""
    task = ground.task
    if work.is_empty:
        return []
    near = swell(work, 2 * CHORD)
    runs: list[tuple[Course, list[tuple[float, float]]]] = []
    for outline in outlines:
        way = course(outline, backwards=task.direction != "conventional")
        spans = inside(way, near)
        runs += [(way, group) for group in bridged(spans, BRIDGE * task.radius, way)]
    strokes: list[Stroke] = []
    at: Point | None = None
    while runs:
        path, group = _next(runs, at)
        strokes += _cut_run(ground, path, group)
        if strokes:
            at = strokes[-1].pieces[-1].segment.end
    return strokes


def _next(
    runs: list[tuple[Course, list[tuple[float, float]]]], at: Point | None
) -> tuple[Course, list[tuple[float, float]]]:
    if at is None:
        return runs.pop(0)
    best = min(range(len(runs)), key=lambda i: runs[i][0].point(runs[i][1][0][0]).distance(at))
    return runs.pop(best)


def _cut_run(ground: Ground, path: Course, group: Sequence[tuple[float, float]]) -> list[Stroke]:
    """One run: its stretches in work, with links at depth across the gaps between them."""
    whole = len(group) == 1 and path.closed and group[0][1] - group[0][0] > path.length - 1e-6
    pieces: list[Piece] = []
    if not whole:
        pieces += pieces_of(run_up(ground, path, group[0][0]))
    for i, (start, end) in enumerate(group):
        if i:
            gap = path.stretch(group[i - 1][1], start)
            pieces += pieces_of(gap, Role.LINK)
        pieces += pieces_of(path.stretch(start, end))
    return _cut(ground, pieces, closed=whole)


def run_up(ground: Ground, path: Course, start: float) -> tuple[Segment, ...]:
    """A stretch of the course before the start, where that is free: contact begins on the way."""
    back = RUN_UP * ground.task.radius
    if not path.closed and start < back:
        return ()
    before = path.stretch(start - back, start)
    if before and ground.allowed.covers(shapely.LineString(polyline(before))):
        return before
    return ()


def _cut(ground: Ground, pieces: Sequence[Piece], closed: bool) -> list[Stroke]:
    """A run as strokes: with what must come before it, and slowed where it is heavily engaged.

    A run whose start lies in material is begun where it can be without boring, if anywhere: a
    closed one from there round, an open one from there on, its first part afterwards and back.
    """
    if not pieces:
        return []
    first = pieces[0].segment
    found = begin(ground, first.start, first.tangent(0.0), bore=False)
    if found is None:
        at = _way_in(ground, pieces)
        if at is not None:
            before, after = divided(pieces, at)
            if closed:
                return _cut_from(ground, [*after, *before], closed)
            return [
                *_cut_from(ground, after, closed),
                *_cut_from(ground, backwards(before), closed),
            ]
    return _cut_from(ground, pieces, closed)


def _way_in(ground: Ground, pieces: Sequence[Piece]) -> float | None:
    """The first place along a run, as a length, that can be reached without boring."""
    at = 0.0
    for piece in pieces:
        segment = piece.segment
        count = max(1, math.ceil(segment.length / ground.task.radius))
        for k in range(1, count + 1):
            place = segment.at(k / count)
            if begin(ground, place, segment.tangent(k / count), bore=False) is not None:
                return at + segment.length * k / count
        at += segment.length
    return None


def _cut_from(ground: Ground, pieces: Sequence[Piece], closed: bool) -> list[Stroke]:
    if not pieces:
        return []
    first = pieces[0].segment
    found = begin(ground, first.start, first.tangent(0.0))
    if found is None:
        return []
    strokes, lead = found
    whole = eased([*lead, *pieces], ground.progress, ground.task.slot_factor)
    return [*strokes, Stroke(whole, closed=closed and not lead)]


def _parts(area: Area) -> list[shapely.Polygon]:
    return sorted(
        (p for p in shapely.get_parts(area) if p.geom_type == "Polygon" and p.area > 1e-6),
        key=lambda p: p.bounds,
    )


def _mid(a: Point, b: Point) -> Point:
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)
