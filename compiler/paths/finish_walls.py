"""Walls to size: the exact offset of what stands, run in one go with tangent ends.

The path is the outline of the forbidden set itself, its own lines and arcs. Closed walls begin
and end on a quarter circle where there is room in cleared area, and overlap a little; open ones
run out into air at both ends. Inner corners are slowed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from shapely import LineString

from compiler.geometry import Arc, Line, Point, Segment
from compiler.motion import Role
from compiler.paths.approach import Scene, begin
from compiler.paths.leads import quarter
from compiler.paths.load import eased
from compiler.paths.run import SHORT, Course, bridged, course, inside, pieces_of, polyline
from compiler.paths.sets import CHORD, swell
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area, Task

LEADS = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.08)  # of the radius: lead-in arcs tried, widest first
OVERLAP = 0.5  # of the radius, run twice where a closed wall begins and ends
RUN_OUT = 0.4  # of the radius, beyond where the cutter leaves the material
INNER = math.radians(15)  # a sharper turn towards the wall is an inner corner
SLOW_BEFORE = 1.0  # of the radius: how far before an inner corner the feed is lowered
SLOW = 0.5  # the feed there, as part of the normal one (common practice, no source)


@dataclass(frozen=True, slots=True)
class Walls:
    """A task for walls: as for clearing, with how often to go round."""

    task: Task
    spring_passes: int = 0


def plan(walls: Walls) -> tuple[Stroke, ...]:
    """Strokes along every wall in the task's work, the nearest next one first."""
    task = walls.task
    scene = Scene(task)
    near = swell(task.work, 2 * CHORD)
    runs: list[tuple[Course, float, float, bool]] = []
    for outline in task.forbidden.outlines:
        way = course(outline, backwards=task.direction != "conventional")
        for group in bridged(inside(way, near), 2 * task.radius, way, scene.allows):
            start, end = group[0][0], group[-1][1]
            runs.append((way, start, end, end - start > way.length - 1e-3))
    strokes: list[Stroke] = []
    at: Point | None = None
    while runs:
        i = _nearest(runs, at)
        way, start, end, closed = runs.pop(i)
        made = (
            _closed(scene, way, walls.spring_passes)
            if closed
            else _open(scene, way, start, end, walls.spring_passes)
        )
        strokes += made
        if made:
            at = made[-1].pieces[-1].segment.end
    return tuple(strokes)


def _nearest(runs: Sequence[tuple[Course, float, float, bool]], at: Point | None) -> int:
    if at is None:
        return 0
    return min(range(len(runs)), key=lambda i: runs[i][0].point(runs[i][1]).distance(at))


def _closed(scene: Scene, way: Course, springs: int) -> list[Stroke]:
    """Once round (and once more for each spring pass), from a place with room for the leads."""
    task = scene.task
    overlap = min(OVERLAP * task.radius, way.length / 8)
    rounds = way.length * (1 + springs)
    climbing = task.direction != "conventional"
    for at, lead_radius in _starts(scene, way, overlap):
        lead_in = quarter(way, at, lead_radius, climbing, coming=True)
        lead_out = quarter(way, at + overlap, lead_radius, climbing, coming=False)
        if not (_fits(scene, lead_in) and _fits(scene, lead_out)):
            continue
        if not scene.progress.is_free_at(lead_in[0].start):
            continue
        body = _slowed(_joined_round(way, at, rounds + overlap), task)
        pieces = (*pieces_of(lead_in, Role.LEAD), *body, *pieces_of(lead_out, Role.LEAD))
        return [Stroke(eased(pieces, scene.progress, task))]
    return _squeezed(scene, way, rounds + overlap)


def _squeezed(scene: Scene, way: Course, length: float) -> list[Stroke]:
    """With no room for leads: from where the cutter has been, or through an entry of its own."""
    task = scene.task
    found = begin(scene, way.point(0.0), way.tangent(0.0))
    if found is None:
        return []
    before, lead = found
    body = _slowed(_joined_round(way, 0.0, length), task)
    return [*before, Stroke(eased([*lead, *body], scene.progress, task))]


def _joined_round(way: Course, at: float, length: float) -> tuple[Segment, ...]:
    """The course from one place on for a length, going round as often as that takes."""
    found: list[Segment] = []
    start, left = at % way.length, length
    while left > SHORT:
        part = min(left, way.length)
        found += way.stretch(start, start + part)
        start, left = (start + part) % way.length, left - part
    return tuple(found)


def _starts(scene: Scene, way: Course, overlap: float) -> Iterator[tuple[float, float]]:
    """Places to begin, and the lead radius to try there: wide leads first, on straight wall."""
    marks = way.marks
    middles = [
        ((a + b) / 2 - overlap / 2, isinstance(segment, Line), b - a)
        for segment, a, b in zip(way.segments, marks, marks[1:], strict=False)
    ]
    ranked = sorted(middles, key=lambda m: (not m[1], -round(m[2], 6), round(m[0], 6)))
    for part in LEADS:
        for at, _, _ in ranked:
            yield at % way.length, part * scene.task.radius


def _fits(scene: Scene, lead: Sequence[Segment]) -> bool:
    return bool(scene.allowed.covers(LineString(polyline(lead))))


def _open(scene: Scene, way: Course, start: float, end: float, springs: int) -> list[Stroke]:
    """From air to air along an open wall; spring passes come back through the air."""
    task = scene.task
    run_out = RUN_OUT * task.radius
    first, last = start - run_out, end + run_out
    body = _slowed(way.stretch(first, last), task)
    lead_in: Sequence[Piece] = ()
    before: list[Stroke] = []
    if not scene.progress.is_free_at(way.point(first)):
        arc = _room_for_lead(scene, way, first, coming=True)
        if arc is not None:
            lead_in = pieces_of(arc, Role.LEAD)
        else:
            found = begin(scene, way.point(first), way.tangent(first))
            if found is None:
                return []
            before, lead_in = found
    lead_out: Sequence[Piece] = ()
    if not scene.progress.is_free_at(way.point(last)):
        lead_out = pieces_of(_room_for_lead(scene, way, last, coming=False) or (), Role.LEAD)
    strokes = list(before)
    for _ in range(1 + springs):
        whole = eased([*lead_in, *body, *lead_out], scene.progress, task)
        strokes.append(Stroke(whole))
    return strokes


def _room_for_lead(
    scene: Scene, way: Course, at: float, *, coming: bool
) -> tuple[Segment, ...] | None:
    """The widest quarter circle that fits at a place and has its free end in cleared area."""
    climbing = scene.task.direction != "conventional"
    for part in LEADS:
        lead = quarter(way, at, part * scene.task.radius, climbing, coming=coming)
        end = lead[0].start if coming else lead[0].end
        if _fits(scene, lead) and scene.progress.is_free_at(end):
            return lead
    return None


def _slowed(segments: Sequence[Segment], task: Task) -> tuple[Piece, ...]:
    """The wall's pieces, slowed before inner corners and in inner fillets.

    In a fillet the centre's feed is lowered so that the edge keeps its own: (R - r) / R for a wall
    of radius R (plane geometry). Never below half.
    """
    climbing = task.direction != "conventional"
    found: list[Piece] = []
    for i, segment in enumerate(segments):
        factor = 1.0
        if isinstance(segment, Arc) and segment.ccw == climbing:
            wall = segment.radius + task.radius
            factor = max(SLOW, segment.radius / wall)
        after = segments[i + 1] if i + 1 < len(segments) else None
        if after is not None and _inner(segment, after, climbing):
            found += _slow_end(segment, factor, SLOW_BEFORE * task.radius)
        else:
            found.append(Piece(segment, Role.CUT, factor))
    return tuple(found)


def _inner(before: Segment, after: Segment, climbing: bool) -> bool:
    """Whether the path turns sharply away from the wall ahead: the wall has an inside corner."""
    a, b = before.tangent(1.0), after.tangent(0.0)
    turn = math.atan2(a.cross(b), a.dot(b))
    return turn > INNER if climbing else turn < -INNER


def _slow_end(segment: Segment, factor: float, length: float) -> list[Piece]:
    slow = min(factor, SLOW)
    if segment.length <= 1.5 * length:
        return [Piece(segment, Role.CUT, slow)]
    cut = 1 - length / segment.length
    return [
        Piece(segment.part(0.0, cut), Role.CUT, factor),
        Piece(segment.part(cut, 1.0), Role.CUT, slow),
    ]


def wall_work(task_centres: Area, target: Area, radius: float) -> Area:
    """Where the cutter's centre is near enough to the target that its wall is finished there."""
    from compiler.paths.sets import SLIVER, area_of

    return area_of(swell(target, radius - SLIVER).intersection(swell(task_centres, 2 * CHORD)))
