"""Runs: chains of lines and arcs on their way to become strokes. Cutting, joining, flattening."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from compiler.geometry import Arc, Outline, Point, Segment
from compiler.motion import Role
from compiler.paths.chords import points_along, points_of_each
from compiler.paths.sets import CHORD
from compiler.paths.stroke import Piece
from compiler.paths.task import Area

SHORT = 1e-6  # mm: stretches below this are dropped


@dataclass(frozen=True, slots=True)
class Course:
    """A chain of segments measured along its length; `closed` where it ends where it starts."""

    segments: tuple[Segment, ...]
    closed: bool

    @property
    def marks(self) -> list[float]:
        """Length at the start of each segment, and at the end of the last."""
        total, found = 0.0, [0.0]
        for segment in self.segments:
            total += segment.length
            found.append(total)
        return found

    @property
    def length(self) -> float:
        """mm along the course."""
        return sum(segment.length for segment in self.segments)

    def place(self, at: float) -> tuple[int, float]:
        """Which segment is at a length along the course, and the fraction along it."""
        marks = self.marks
        if self.closed:
            at %= marks[-1]
        i = min(max(bisect_right(marks, at) - 1, 0), len(self.segments) - 1)
        span = marks[i + 1] - marks[i]
        return i, min(max((at - marks[i]) / span, 0.0), 1.0)

    def point(self, at: float) -> Point:
        """The place at a length along the course."""
        i, t = self.place(at)
        return self.segments[i].at(t)

    def tangent(self, at: float) -> Point:
        """Direction of travel there."""
        i, t = self.place(at)
        return self.segments[i].tangent(t)

    def stretch(self, start: float, end: float) -> tuple[Segment, ...]:
        """The segments between two lengths; a closed course goes on round beyond its end."""
        marks = self.marks
        total, found, laps = marks[-1], list[Segment](), 0
        while start >= total and self.closed:
            start, end = start - total, end - total
        while start < 0 and self.closed:
            start, end = start + total, end + total
        start, limit = max(start, 0.0), end
        while laps * total < limit - SHORT and (laps == 0 or self.closed):
            base = laps * total
            for i, segment in enumerate(self.segments):
                low, high = max(start, base + marks[i]), min(limit, base + marks[i + 1])
                if high - low <= SHORT:
                    continue
                span = marks[i + 1] - marks[i]
                t0 = (low - base - marks[i]) / span
                t1 = (high - base - marks[i]) / span
                whole = t0 < 1e-9 and t1 > 1 - 1e-9
                found.append(segment if whole else segment.part(max(t0, 0.0), min(t1, 1.0)))
            laps += 1
        return tuple(found)


def course(outline: Outline, backwards: bool) -> Course:
    """An outline as a closed course, walked backwards for climb cutting round a forbidden set."""
    way = outline.reversed() if backwards else outline
    return Course(way.segments, closed=True)


def places(segment: Segment, at: NDArray[np.float64]) -> NDArray[np.float64]:
    """The places at fractions (n) along a segment, n x 2; the ends exactly."""
    if isinstance(segment, Arc):
        angle = segment.start_angle + at * segment.sweep
        radius, (x, y) = segment.radius, segment.centre
        found = np.column_stack([x + radius * np.cos(angle), y + radius * np.sin(angle)])
    else:
        (ax, ay), (bx, by) = segment.start, segment.end
        found = np.column_stack([ax + at * (bx - ax), ay + at * (by - ay)])
    found[at <= 0] = segment.start
    found[at >= 1] = segment.end
    return found


def directions(segment: Segment, at: NDArray[np.float64]) -> NDArray[np.float64]:
    """Direction of travel, rad from +X, at fractions along a segment."""
    if isinstance(segment, Arc):
        quarter = math.pi / 2 if segment.ccw else -math.pi / 2
        return segment.start_angle + at * segment.sweep + quarter
    return np.full(len(at), segment.tangent().angle())


def polyline(segments: Iterable[Segment], chord: float = CHORD) -> NDArray[np.float64]:
    """Points along the segments, both ends included, arcs as chords within `chord`."""
    return points_along(segments, chord)


@dataclass(frozen=True, slots=True)
class Flat:
    """A course with its segments as lines, an array made once for many questions."""

    course: Course
    lines: NDArray[np.object_]


def flat(path: Course) -> Flat:
    """The course's segments as lines."""
    points, of = points_of_each(path.segments, CHORD)
    return Flat(path, np.asarray(shapely.linestrings(points, indices=of), dtype=object))


def inside(path: Course | Flat, area: Area) -> list[tuple[float, float]]:
    """Stretches of the course inside the area, as lengths along it, in order.

    A stretch through the start of a closed course has an end beyond its length. The whole of a
    closed course is one stretch from 0 to its length.
    """
    laid = path if isinstance(path, Flat) else flat(path)
    way, lines = laid.course, laid.lines
    if area.is_empty or not way.segments:
        return []
    marks, bounds = way.marks, list[tuple[float, float]]()
    shapely.prepare(area)
    met = shapely.intersects(area, lines)
    covered = np.zeros(len(lines), dtype=bool)
    covered[met] = shapely.covers(area, lines[met])
    for i in np.flatnonzero(met).tolist():
        line, segment = lines[i], way.segments[i]
        scale = segment.length / line.length if line.length > 0 else 1.0
        if covered[i]:
            spans = [(0.0, line.length)]
        else:
            pieces = shapely.get_parts(line.intersection(area))
            spans = sorted(_span(line, p) for p in pieces if isinstance(p, LineString))
        bounds += [(marks[i] + a * scale, marks[i] + b * scale) for a, b in spans]
    return _merged(bounds, way)


def _span(line: LineString, piece: LineString) -> tuple[float, float]:
    a, b = (
        line.project(shapely.Point(piece.coords[0])),
        line.project(shapely.Point(piece.coords[-1])),
    )
    return (a, b) if a <= b else (b, a)


def _merged(bounds: Sequence[tuple[float, float]], path: Course) -> list[tuple[float, float]]:
    """Neighbouring stretches joined, round the start of a closed course too."""
    total, found = path.length, list[tuple[float, float]]()
    for a, b in bounds:
        if b - a <= SHORT:
            continue
        if found and a - found[-1][1] < 1e-4:
            found[-1] = (found[-1][0], max(b, found[-1][1]))
        else:
            found.append((a, b))
    wraps = path.closed and found and found[0][0] < 1e-4 and found[-1][1] > total - 1e-4
    if wraps and len(found) > 1:
        (_, first_end), (last_start, _) = found[0], found[-1]
        found = [*found[1:-1], (last_start, total + first_end)]
    return found


def bridged(
    spans: Sequence[tuple[float, float]],
    gap: float,
    path: Course,
    allows: Callable[[Sequence[Segment]], bool],
) -> list[list[tuple[float, float]]]:
    """Stretches grouped where less than `gap` parts them, so that the cutter can go on through.

    `allows` says whether the cutter may go along what lies between.
    """

    def near(end: float, start: float) -> bool:
        return start - end < gap and allows(path.stretch(end, start))

    groups: list[list[tuple[float, float]]] = []
    for span in spans:
        if groups and near(groups[-1][-1][1], span[0]):
            groups[-1].append(span)
        else:
            groups.append([span])
    wraps = path.closed and len(groups) > 1
    if wraps and near(groups[-1][-1][1], groups[0][0][0] + path.length):
        shifted = [(a + path.length, b + path.length) for a, b in groups[0]]
        groups = [*groups[1:-1], groups[-1] + shifted]
    return groups


def pieces_of(
    segments: Iterable[Segment], role: Role = Role.CUT, feed_factor: float = 1.0
) -> tuple[Piece, ...]:
    """The segments as pieces of one kind."""
    return tuple(Piece(segment, role, feed_factor) for segment in segments)


def divided(pieces: Sequence[Piece], at: float) -> tuple[list[Piece], list[Piece]]:
    """The pieces before and after a length along them."""
    before, after, done = list[Piece](), list[Piece](), 0.0
    for piece in pieces:
        length = piece.segment.length
        if done + length <= at + SHORT:
            before.append(piece)
        elif done >= at - SHORT:
            after.append(piece)
        else:
            t = (at - done) / length
            before.append(replace(piece, segment=piece.segment.part(0.0, t)))
            after.append(replace(piece, segment=piece.segment.part(t, 1.0)))
        done += length
    return before, after


def backwards(pieces: Sequence[Piece]) -> list[Piece]:
    """The pieces walked the other way."""
    return [replace(piece, segment=piece.segment.reversed()) for piece in reversed(pieces)]
