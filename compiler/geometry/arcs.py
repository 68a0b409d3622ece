"""Small questions about arcs that every other module asks."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from compiler.geometry.point import Point
from compiler.geometry.segment import TAU, Arc, Segment


def faces(arc: Arc, point: Point) -> bool:
    """Whether the ray from the arc's centre through the point meets the arc.

    Decided by the signs of cross products, without angles: exact but for rounding at the two ends.
    """
    if arc.start == arc.end:
        return True
    (cx, cy), (sx, sy), (ex, ey) = arc.centre, arc.start, arc.end
    sx, sy, ex, ey, px, py = sx - cx, sy - cy, ex - cx, ey - cy, point[0] - cx, point[1] - cy
    after_start, before_end, turn = sx * py - sy * px, px * ey - py * ex, sx * ey - sy * ex
    if not arc.ccw:
        after_start, before_end, turn = -after_start, -before_end, -turn
    if turn >= 0 and (turn > 0 or sx * ex + sy * ey < 0):
        return after_start >= 0 and before_end >= 0
    return not (after_start < 0 and before_end < 0)


def fraction(arc: Arc, point: Point) -> float:
    """How far along the arc the point's direction lies, in 0..1.

    A direction beyond the ends gives the nearer end. The point need not be on the circle.
    """
    start = arc.start_angle
    sweep = abs(arc.sweep)
    turn = math.atan2(point[1] - arc.centre.y, point[0] - arc.centre.x) - start
    if not arc.ccw:
        turn = -turn
    turn %= TAU
    if turn <= sweep:
        return turn / sweep
    return 1.0 if turn - sweep <= TAU - turn else 0.0


def halved(segment: Segment) -> tuple[Segment, ...]:
    """The segment; an arc of more than half a turn as two of half its sweep each."""
    if isinstance(segment, Arc) and abs(segment.sweep) > math.pi * (1 + 1e-9):
        return (segment.part(0.0, 0.5), segment.part(0.5, 1.0))
    return (segment,)


def all_halved(segments: Iterable[Segment]) -> Iterator[Segment]:
    """Every segment through `halved`."""
    for segment in segments:
        yield from halved(segment)


def sound(arc: Arc) -> tuple[Arc, ...]:
    """The arc with both radii made to agree, ends kept; as two halves where beyond half a turn.

    Meant for differences that come from snapped ends (well below a micrometre) or from an author's
    last decimal. Halves first: over a short chord a small difference would move the centre far.
    """
    if abs(arc.sweep) <= math.pi * (1 + 1e-9):
        return (centred(arc),)
    angle = arc.start_angle + arc.sweep / 2
    radius = (arc.radius + arc.end.distance(arc.centre)) / 2
    middle = Point(arc.centre.x + radius * math.cos(angle), arc.centre.y + radius * math.sin(angle))
    first = Arc(arc.start, middle, arc.centre, arc.ccw)
    return (centred(first), centred(Arc(middle, arc.end, arc.centre, arc.ccw)))


def centred(arc: Arc) -> Arc:
    """The arc with its centre moved onto the bisector of its chord."""
    chord = arc.end.minus(arc.start)
    length = chord.norm()
    if length == 0.0 or abs(arc.radius - arc.end.distance(arc.centre)) <= 1e-12:
        return arc
    along = chord.times(1 / length)
    middle = arc.start.plus(chord, 0.5)
    off = middle.minus(arc.centre).dot(along)
    return Arc(arc.start, arc.end, arc.centre.plus(along, off), arc.ccw)
