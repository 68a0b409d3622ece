"""Walls to size: the exact offset of what stands, run in one go with tangent ends.

The path is the outline of the forbidden set itself, its own lines and arcs. Closed walls begin
and end on a quarter circle where there is room in cleared area, and overlap a little; open ones
run out into air at both ends. Inner corners are slowed. Where the control is to compensate, a
straight move goes before and after, and inner corners are rounded by a hair (`switching`).
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
from compiler.paths.sets import CHORD, FINE, swell
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.switching import LONGER, rounded, side_of, switched
from compiler.paths.task import Task

LEADS = (1.0, 0.75, 0.5, 0.35, 0.25, 0.15, 0.08)  # of the radius: lead-in arcs tried, widest first
SPREAD = 1.0  # of the radius: between places along a wall where a beginning is looked for
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
    wear: float | None = None  # how far the control's offset may be set; None: not compensated


@dataclass(frozen=True, slots=True)
class Run:
    """A stretch of an outline to be cut, and how: whole rounds, spring passes, compensation."""

    way: Course
    start: float
    end: float
    springs: int
    wear: float | None

    @property
    def closed(self) -> bool:
        """Whether it goes all round."""
        return self.end - self.start > self.way.length - 1e-3


@dataclass(frozen=True, slots=True)
class Planned:
    """Strokes along the walls, and places of walls with no room to switch compensation on."""

    strokes: tuple[Stroke, ...]
    cramped: tuple[Point, ...] = ()


def plan(walls: Walls) -> Planned:
    """Strokes along every wall in the task's work, the nearest next one first."""
    task = walls.task
    scene = Scene(task)
    wear = walls.wear
    forbidden = task.forbidden if wear is None else rounded(task.forbidden, wear)
    near = swell(task.work, 2 * CHORD)
    runs: list[Run] = []
    for outline in forbidden.outlines:
        way = course(outline, backwards=task.direction != "conventional")
        for group in bridged(inside(way, near), 2 * task.radius, way, scene.allows):
            runs.append(Run(way, group[0][0], group[-1][1], walls.spring_passes, wear))
    strokes: list[Stroke] = []
    cramped: list[Point] = []
    at: Point | None = None
    while runs:
        run = runs.pop(_nearest(runs, at))
        made = _closed(scene, run) if run.closed else _open(scene, run)
        strokes += made
        if made:
            at = made[-1].pieces[-1].segment.end
        elif wear is not None:
            cramped.append(run.way.point(run.start))
    return Planned(tuple(strokes), tuple(cramped))


def _nearest(runs: Sequence[Run], at: Point | None) -> int:
    if at is None:
        return 0
    return min(range(len(runs)), key=lambda i: runs[i].way.point(runs[i].start).distance(at))


def _closed(scene: Scene, run: Run) -> list[Stroke]:
    """Once round (and once more for each spring pass), from a place with room for the leads."""
    task, way = scene.task, run.way
    overlap = min(OVERLAP * task.radius, way.length / 8)
    rounds = way.length * (1 + run.springs)
    climbing = task.direction != "conventional"
    for at, lead_radius in _starts(scene, way, overlap):
        if run.wear is not None and lead_radius <= LONGER * run.wear:
            continue
        lead_in = quarter(way, at, lead_radius, climbing, coming=True)
        lead_out = quarter(way, at + overlap, lead_radius, climbing, coming=False)
        if not (_fits(scene, lead_in) and _fits(scene, lead_out)):
            continue
        if not scene.progress.is_free_at(lead_in[0].start):
            continue
        if run.wear is None:
            straights = None
        elif (straights := switched(scene, lead_in[0], lead_out[-1], run.wear)) is None:
            continue
        body = _slowed(_joined_round(way, at, rounds + overlap), task)
        pieces = (*pieces_of(lead_in, Role.LEAD), *body, *pieces_of(lead_out, Role.LEAD))
        return [_stroke(eased(pieces, scene.progress, task), straights, climbing)]
    return [] if run.wear is not None else _squeezed(scene, way, rounds + overlap)


def _stroke(
    pieces: Sequence[Piece], straights: tuple[Piece, Piece] | None, climbing: bool
) -> Stroke:
    """The run as a stroke; between its straight moves, if any, the control compensates."""
    if straights is None:
        return Stroke(tuple(pieces))
    before, after = straights
    return Stroke((before, *pieces, after), side=side_of(climbing))


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
    """Places to begin, and the lead radius to try there: wide leads first, on straight wall.

    Middles of the wall's segments first; where no lead fits there, places all along it.
    """
    marks = way.marks
    middles = [
        ((a + b) / 2 - overlap / 2, isinstance(segment, Line), b - a)
        for segment, a, b in zip(way.segments, marks, marks[1:], strict=False)
    ]
    ranked = sorted(middles, key=lambda m: (not m[1], -round(m[2], 6), round(m[0], 6)))
    count = math.ceil(way.length / (SPREAD * scene.task.radius))
    spread = [way.length * k / count for k in range(count)]
    for places in ([at for at, _, _ in ranked], spread):
        for part in LEADS:
            for at in places:
                yield at % way.length, part * scene.task.radius


def _fits(scene: Scene, lead: Sequence[Segment]) -> bool:
    return bool(scene.allowed.covers(LineString(polyline(lead, FINE))))


def _open(scene: Scene, run: Run) -> list[Stroke]:
    """From air to air along an open wall; spring passes come back through the air."""
    task, way = scene.task, run.way
    run_out = RUN_OUT * task.radius
    first, last = run.start - run_out, run.end + run_out
    body = _slowed(way.stretch(first, last), task)
    lead_in: Sequence[Piece] = ()
    before: list[Stroke] = []
    # under compensation the cutter is off the wall by an arc before it is switched on or off
    if run.wear is not None or not scene.progress.is_free_at(way.point(first)):
        arc = _room_for_lead(scene, run, first, coming=True)
        if arc is not None:
            lead_in = pieces_of(arc, Role.LEAD)
        elif run.wear is not None:
            return []
        else:
            found = begin(scene, way.point(first), way.tangent(first))
            if found is None:
                return []
            before, lead_in = found
    lead_out: Sequence[Piece] = ()
    if run.wear is not None or not scene.progress.is_free_at(way.point(last)):
        lead_out = pieces_of(_room_for_lead(scene, run, last, coming=False) or (), Role.LEAD)
    straights = None
    whole = [*lead_in, *body, *lead_out]
    if run.wear is not None:
        if not lead_out:
            return []
        straights = switched(scene, whole[0].segment, whole[-1].segment, run.wear)
        if straights is None:
            return []
    climbing = task.direction != "conventional"
    strokes = list(before)
    for _ in range(1 + run.springs):
        strokes.append(_stroke(eased(whole, scene.progress, task), straights, climbing))
    return strokes


def _room_for_lead(
    scene: Scene, run: Run, at: float, *, coming: bool
) -> tuple[Segment, ...] | None:
    """The widest quarter circle that fits at a place and has its free end in cleared area."""
    climbing, way = scene.task.direction != "conventional", run.way
    for part in LEADS:
        if run.wear is not None and part * scene.task.radius <= LONGER * run.wear:
            return None
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
