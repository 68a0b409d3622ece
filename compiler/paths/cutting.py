"""Runs become strokes: each begun where it can be, in an order that keeps the way between short."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from compiler.geometry import Outline, Point, Segment
from compiler.motion import Role
from compiler.paths.approach import Scene, begin, bore_towards
from compiler.paths.load import eased
from compiler.paths.run import (
    Course,
    Flat,
    backwards,
    bridged,
    course,
    divided,
    flat,
    inside,
    pieces_of,
)
from compiler.paths.sets import CHORD, swell
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area

RUN_UP = 0.1  # of the radius: how far before the first contact a run begins
BRIDGE = 3.0  # times the radius: shorter gaps in a row are crossed at depth


@dataclass(frozen=True, slots=True)
class Run:
    """Pieces to be cut in one go; `closed` where they end where they start."""

    pieces: tuple[Piece, ...]
    closed: bool = False

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.pieces[0].segment.start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.pieces[-1].segment.end

    def turned(self) -> Run:
        """The same, cut the other way."""
        return Run(tuple(backwards(self.pieces)), self.closed)

    def begun_at(self, at: float) -> Run:
        """The same closed run, from a length along it on."""
        before, after = divided(self.pieces, at)
        return Run((*after, *before), self.closed)


def laid(scene: Scene, outlines: Iterable[Outline]) -> list[Flat]:
    """The outlines as courses in the direction asked for."""
    backwards = scene.task.direction != "conventional"
    return [flat(course(outline, backwards=backwards)) for outline in outlines]


def runs_along(scene: Scene, ways: Iterable[Flat], work: Area) -> list[Run]:
    """The stretches of the ways that lie in the work."""
    if work.is_empty:
        return []
    task = scene.task
    near = swell(work, 2 * CHORD)
    runs: list[Run] = []
    for way in ways:
        spans = inside(way, near)
        for group in bridged(spans, BRIDGE * task.radius, way.course, scene.lets_through):
            runs.append(_run(scene, way.course, group))
    return [run for run in runs if run.pieces]


def _run(scene: Scene, path: Course, group: Sequence[tuple[float, float]]) -> Run:
    """One run: its stretches in work, with links at depth across the gaps between them."""
    whole = len(group) == 1 and path.closed and group[0][1] - group[0][0] > path.length - 1e-6
    pieces: list[Piece] = []
    if not whole:
        pieces += pieces_of(_run_up(scene, path, group[0][0]))
    for i, (start, end) in enumerate(group):
        if i:
            pieces += pieces_of(path.stretch(group[i - 1][1], start), Role.LINK)
        pieces += pieces_of(path.stretch(start, end))
    if not whole and scene.task.direction == "both":  # it may be cut from its end as well
        pieces += pieces_of(_run_out(scene, path, group[-1][1]))
    return Run(tuple(pieces), whole)


def _run_up(scene: Scene, path: Course, start: float) -> tuple[Segment, ...]:
    """A stretch of the course before the start, where that is free: contact begins on the way."""
    back = RUN_UP * scene.task.radius
    if not path.closed and start < back:
        return ()
    before = path.stretch(start - back, start)
    if before and scene.allows(before):
        return before
    return ()


def _run_out(scene: Scene, path: Course, end: float) -> tuple[Segment, ...]:
    """The same beyond the end."""
    after = path.stretch(end, end + RUN_UP * scene.task.radius)
    return after if after and scene.allows(after) else ()


def cut_reachable(
    scene: Scene, runs: Sequence[Run], before: Sequence[Stroke]
) -> tuple[list[Stroke], list[Run]]:
    """Strokes for the runs that can be begun without boring, nearest first; and the others."""
    strokes: list[Stroke] = []
    left, shut = list(runs), list[Run]()
    at = _end(before)
    while left:
        run = left.pop(_nearest(left, at))
        made = cut_run(scene, run, bore=False)
        if made:
            strokes += made
            at = _end(strokes)
            # what was shut in before may lie beside this one
            left, shut = left + shut, []
        else:
            shut.append(run)
    return strokes, shut


def cut_all(scene: Scene, runs: Sequence[Run]) -> list[Stroke]:
    """Strokes for all runs, boring for the first of those that nothing reaches, and so on.

    A run for which there is no room to bore either is left out.
    """
    strokes: list[Stroke] = []
    left = list(runs)
    while left:
        made, left = cut_reachable(scene, left, strokes)
        strokes += made
        if left:
            strokes += cut_run(scene, left.pop(0), bore=True)
    return strokes


def cut_run(scene: Scene, run: Run, *, bore: bool) -> list[Stroke]:
    """A run as strokes: with what must come before it, and slowed where it is heavily engaged.

    A run whose start lies in material is begun where it can be without boring, if anywhere: a
    closed one from there round, an open one from there on, its first part afterwards and back.
    """
    first = run.pieces[0].segment
    if begin(scene, first.start, first.tangent(0.0), bore=False) is None:
        at = _way_in(scene, run.pieces)
        if at is not None:
            before, after = divided(run.pieces, at)
            if run.closed:
                return _cut_from(scene, [*after, *before], closed=True)
            strokes = _cut_from(scene, after, closed=False)
            return strokes + _cut_from(scene, backwards(before), closed=False)
        return _bored(scene, run) if bore else []
    return _cut_from(scene, run.pieces, closed=run.closed)


def _bored(scene: Scene, run: Run) -> list[Stroke]:
    """A run that nothing reaches, with an entry before it; nothing where no entry leads to it."""
    first = run.pieces[0].segment
    goals = [(first.start, first.tangent(0.0)), *((p, t) for _, p, t in _stops(scene, run.pieces))]
    entry = bore_towards(scene, goals)
    return [] if entry is None else [entry, *cut_run(scene, run, bore=False)]


def _stops(scene: Scene, pieces: Sequence[Piece]) -> Iterator[tuple[float, Point, Point]]:
    """Places along a run, about a radius apart: length so far, place and tangent."""
    at = 0.0
    for piece in pieces:
        segment = piece.segment
        count = max(1, math.ceil(segment.length / scene.task.radius))
        for k in range(1, count + 1):
            yield at + segment.length * k / count, segment.at(k / count), segment.tangent(k / count)
        at += segment.length


def _way_in(scene: Scene, pieces: Sequence[Piece]) -> float | None:
    """The first place along a run, as a length, that can be reached without boring."""
    for at, place, tangent in _stops(scene, pieces):
        if begin(scene, place, tangent, bore=False) is not None:
            return at
    return None


def _cut_from(scene: Scene, pieces: Sequence[Piece], *, closed: bool) -> list[Stroke]:
    if not pieces:
        return []
    first = pieces[0].segment
    found = begin(scene, first.start, first.tangent(0.0), bore=False)
    if found is None:
        return []
    strokes, lead = found
    whole = eased([*lead, *pieces], scene.progress, scene.task)
    return [*strokes, Stroke(whole, closed=closed and not lead)]


def _nearest(runs: Sequence[Run], at: Point | None) -> int:
    if at is None:
        return 0
    return min(range(len(runs)), key=lambda i: (round(runs[i].start.distance(at), 6), i))


def _end(strokes: Sequence[Stroke]) -> Point | None:
    return strokes[-1].pieces[-1].segment.end if strokes else None
