"""Smooth curves as arcs within a tolerance, tangent to one another.

Each stretch becomes a biarc: two arcs that share a tangent where they meet and have the curve's own
place and direction at both ends. A stretch that lies off by more than the tolerance is halved.
Biarcs in this form: K. M. Bolton, "Biarc curves", Computer-Aided Design 7 (1975) 89-92 [memory].
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

from compiler.drawing.plane import Bezier, Curve, Elliptic, Straight
from compiler.geometry import Arc, Line, Point, Segment
from compiler.geometry.arcs import centred
from compiler.geometry.distance import point_distance
from compiler.geometry.tolerance import FAR

Along = Callable[[float], tuple[Point, Point]]

DEEPEST = 14  # halvings: 16,384 stretches, far more than any drawing needs
SAMPLES = 9  # places at which a stretch is held against its biarc
FLAT = 1e-9  # an arc with less sagitta per chord than this is a line
SHORTEST = 1e-6  # pieces shorter than this are none, mm


def segments_of(curve: Curve, tolerance: float) -> list[Segment]:
    """The curve as lines and arcs, in its own direction; none where it has no length, mm.

    Straight pieces and circles are exact; all else lies within `tolerance`.
    """
    match curve:
        case Straight():
            if curve.start.distance(curve.end) <= SHORTEST:
                return []
            return [Line(curve.start, curve.end)]
        case Elliptic():
            if curve.is_circular:
                return _chords(curve, tolerance) if is_vast(curve) else _circular(curve)
            quarter = math.pi / 2
            parts = max(1, math.ceil((curve.t1 - curve.t0) / quarter - 1e-9))
            step = (curve.t1 - curve.t0) / parts
            stops = [curve.t0 + i * step for i in range(parts)] + [curve.t1]
            return [
                s
                for t0, t1 in itertools.pairwise(stops)
                for s in fitted(curve.at, t0, t1, tolerance)
            ]
        case Bezier():
            if len(curve.points) == 2:
                return segments_of(Straight(curve.at(0.0)[0], curve.at(1.0)[0]), tolerance)
            return fitted(curve.at, 0.0, 1.0, tolerance)


def is_vast(curve: Elliptic) -> bool:
    """Whether a circle is so large that its centre lies where no place may: such as a polyline's
    side with a bulge of a millionth has."""
    return curve.is_circular and curve.u.norm() > FAR / 2


def _chords(curve: Elliptic, tolerance: float) -> list[Segment]:
    """A part of a vast circle as straight lines within the tolerance."""
    # so flat that a chord's rise is its square by eight radii, to all digits
    step = math.sqrt(8 * 0.9 * tolerance / curve.u.norm())
    parts = max(1, math.ceil((curve.t1 - curve.t0) / step))
    stops = [curve.t0 + (curve.t1 - curve.t0) * i / parts for i in range(parts + 1)]
    places = [curve.at(t)[0] for t in stops]
    return [Line(a, b) for a, b in itertools.pairwise(places) if a.distance(b) > SHORTEST]


def _circular(curve: Elliptic) -> list[Segment]:
    """An arc as itself; one of more than half a turn as two."""
    ccw = curve.u.cross(curve.v) > 0
    full = curve.t1 - curve.t0 >= 2 * math.pi - 1e-12
    parts = 2 if curve.t1 - curve.t0 > math.pi * (1 + 1e-9) else 1
    stops = [curve.t0 + (curve.t1 - curve.t0) * i / parts for i in range(parts + 1)]
    ends = [curve.at(t)[0] for t in stops]
    if full:
        ends[-1] = ends[0]
    if ends[0].distance(ends[1]) <= SHORTEST:
        return []
    return [centred(Arc(a, b, curve.centre, ccw)) for a, b in itertools.pairwise(ends)]


def fitted(along: Along, t0: float, t1: float, tolerance: float) -> list[Segment]:
    """The curve between two parameters as arcs and lines within `tolerance` mm."""
    return _fitted(along, t0, t1, tolerance, DEEPEST)


def _fitted(along: Along, t0: float, t1: float, tolerance: float, depth: int) -> list[Segment]:
    start, out = _end(along, t0, t1)
    end, into = _end(along, t1, t0)
    if start.distance(end) <= SHORTEST:
        # what comes back to its start is halved; what then still has no extent is nothing
        if depth <= DEEPEST - 3:
            return []
    else:
        pieces = biarc(start, out, end, into.times(-1))
        # the samples miss the very worst place by a little: hold them to somewhat less
        if depth == 0 or (pieces and _off(along, t0, t1, pieces) <= 0.9 * tolerance):
            return pieces
    middle = (t0 + t1) / 2
    return [
        *_fitted(along, t0, middle, tolerance, depth - 1),
        *_fitted(along, middle, t1, tolerance, depth - 1),
    ]


def _end(along: Along, t: float, other: float) -> tuple[Point, Point]:
    """The place at `t` and the unit direction from there towards the other parameter."""
    place, rate = along(t)
    toward = 1.0 if other > t else -1.0
    if rate.norm() <= 1e-9:  # control points that coincide: look a little further on
        further, _ = along(t + (other - t) * 1e-3)
        rate, toward = further.minus(place), 1.0
    if rate.norm() == 0.0:
        return place, Point(1.0, 0.0)
    return place, rate.unit().times(toward)


def _off(along: Along, t0: float, t1: float, pieces: list[Segment]) -> float:
    """How far the curve lies off its pieces, mm, by samples; infinite where the pieces go round."""
    worst, length, last = 0.0, 0.0, pieces[0].start
    for i in range(1, SAMPLES + 1):
        place, _ = along(t0 + (t1 - t0) * i / (SAMPLES + 1))
        worst = max(worst, min(point_distance(place, piece) for piece in pieces))
        length += last.distance(place)
        last = place
    length += last.distance(pieces[-1].end)
    # an arc that takes the long way round passes near every sample and is wrong all the same
    return worst if sum(piece.length for piece in pieces) <= 1.2 * length else math.inf


def biarc(start: Point, out: Point, end: Point, into: Point) -> list[Segment]:
    """Two arcs (or lines) from start, leaving along `out`, to end, arriving along `into`.

    Both directions are unit vectors. The arcs' tangent lengths are equal. Empty where start and end
    coincide or the directions allow no such pair.
    """
    chord = end.minus(start)
    square = chord.dot(chord)
    if square == 0.0:
        return []
    both = chord.dot(out.plus(into))
    spread = 2 * (1.0 - out.dot(into))
    if spread < 1e-12:
        across = chord.dot(into)
        if across <= 0.0:
            return []
        reach = square / (4 * across)
    else:
        reach = (-both + math.sqrt(both * both + spread * square)) / spread
    joint = Point(
        (start.x + end.x + reach * (out.x - into.x)) / 2,
        (start.y + end.y + reach * (out.y - into.y)) / 2,
    )
    first = _arc(start, out, joint)
    second = _arc(end, into.times(-1), joint)
    return [first, second.reversed()]


def _arc(start: Point, out: Point, end: Point) -> Segment:
    """The arc that leaves `start` along `out` and passes `end`; a line where it is that flat."""
    chord = end.minus(start)
    aside = out.left().dot(chord)
    length = chord.norm()
    if abs(aside) <= FLAT * length:
        return Line(start, end)
    radius = length * length / (2 * aside)
    centre = start.plus(out.left(), radius)
    return centred(Arc(start, end, centre, aside > 0))
