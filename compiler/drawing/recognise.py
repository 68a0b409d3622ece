"""Arcs that an export broke into short chords, put back where the job asks for it.

    forty chords round a hole  ──►  one circle

Only runs of four chords and more that turn the same way count, every corner and the middle of
every chord within the tolerance of one circle; so a hexagon stays a hexagon.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from compiler.geometry import Arc, Line, Point
from compiler.geometry.arcs import centred, sound
from compiler.geometry.segment import Segment

FEWEST = 4  # chords in an arc
MOST_TURN = math.radians(30)  # from one chord to the next; more is a corner


def with_arcs(pieces: Sequence[Segment], tolerance: float, *, closed: bool) -> list[Segment]:
    """The pieces, runs of chords that lie within `tolerance` mm of an arc replaced by it."""
    rest = list(pieces)
    if closed:
        rest = _from_a_corner(rest)
    made: list[Segment] = []
    i = 0
    while i < len(rest):
        end = _run_end(rest, i, tolerance)
        if end - i >= FEWEST:
            made += _arc_through([s.start for s in rest[i:end]] + [rest[end - 1].end])
            i = end
        else:
            made.append(rest[i])
            i += 1
    return made


def _from_a_corner(pieces: list[Segment]) -> list[Segment]:
    """A closed run begun where an arc cannot go on, so that none is cut by the beginning."""
    for i in range(len(pieces)):
        before, after = pieces[i - 1], pieces[i]
        unlike = max(before.length, after.length) > 4 * min(before.length, after.length)
        chords = isinstance(before, Line) and isinstance(after, Line)
        if not chords or unlike or abs(_turn(before, after)) > MOST_TURN:
            return pieces[i:] + pieces[:i]
    return pieces


def _run_end(pieces: Sequence[Segment], first: int, tolerance: float) -> int:
    """The index after the longest run of chords from `first` that one circle takes in."""
    end = first
    good = first
    side = 0.0
    while end < len(pieces) and isinstance(pieces[end], Line):
        if end > first:
            turn = _turn(pieces[end - 1], pieces[end])
            if abs(turn) > MOST_TURN or abs(turn) < 1e-9 or turn * side < 0:
                break
            side = turn
        end += 1
        if end - first >= FEWEST:
            corners = [s.start for s in pieces[first:end]] + [pieces[end - 1].end]
            if not _round(corners, tolerance):
                break
            good = end
    return good


def _turn(before: Segment, after: Segment) -> float:
    a, b = before.tangent(1.0), after.tangent(0.0)
    return math.atan2(a.cross(b), a.dot(b))


def _round(corners: Sequence[Point], tolerance: float) -> bool:
    centre = _centre(corners)
    if centre is None:
        return False
    radius = corners[0].distance(centre)
    if any(abs(p.distance(centre) - radius) > tolerance for p in corners):
        return False
    middles = (Point((a.x + b.x) / 2, (a.y + b.y) / 2) for a, b in itertools.pairwise(corners))
    return all(radius - m.distance(centre) <= tolerance for m in middles)


def _centre(corners: Sequence[Point]) -> Point | None:
    """Of the circle through a first, a middle and a last corner; None where they lie in line."""
    a = corners[0]
    last = len(corners) - 1
    if corners[0].distance(corners[last]) < 0.5 * corners[0].distance(corners[last // 2]):
        last = 2 * last // 3  # nearly closed: the ends say too little
    b, c = corners[last // 2], corners[last]
    u, v = b.minus(a), c.minus(a)
    cross = 2 * u.cross(v)
    if abs(cross) < 1e-12:
        return None
    x = (v.y * u.dot(u) - u.y * v.dot(v)) / cross
    y = (u.x * v.dot(v) - v.x * u.dot(u)) / cross
    return Point(a.x + x, a.y + y)


def _arc_through(corners: Sequence[Point]) -> list[Segment]:
    centre = _centre(corners)
    if centre is None:  # asked only for runs that have one
        return [Line(a, b) for a, b in itertools.pairwise(corners)]
    ccw = corners[0].minus(centre).cross(corners[1].minus(centre)) > 0
    if corners[0] == corners[-1]:
        half = corners[len(corners) // 2]
        radius = corners[0].distance(centre)
        out = half.minus(centre).unit()
        middle = centre.plus(out, radius)
        return [
            centred(Arc(corners[0], middle, centre, ccw)),
            centred(Arc(middle, corners[0], centre, ccw)),
        ]
    return list(sound(Arc(corners[0], corners[-1], centre, ccw)))
