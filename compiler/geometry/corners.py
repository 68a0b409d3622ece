"""Rounds and chamfers for the corner between two segments, lines and arcs alike."""

from __future__ import annotations

import math
from collections.abc import Callable

from compiler.geometry.arcs import faces, fraction
from compiler.geometry.errors import GeometryError
from compiler.geometry.intersect import meetings
from compiler.geometry.offset import moved_right
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.tolerance import TOUCH


class Cut:
    """What a round or chamfer takes: the end of one segment, the start of the next, and itself."""

    __slots__ = ("from_t", "piece", "until_t")

    def __init__(self, until_t: float, piece: Segment, from_t: float) -> None:
        self.until_t = until_t  # the segment before keeps 0..until_t
        self.piece = piece
        self.from_t = from_t  # the segment after keeps from_t..1


def is_smooth(before: Segment, after: Segment) -> bool:
    """Whether the second segment goes on in the direction in which the first ends (to 1e-6 rad)."""
    out, into = before.tangent(1.0), after.tangent(0.0)
    return abs(out.cross(into)) < 1e-6 and out.dot(into) > 0


def rounded(before: Segment, after: Segment, radius: float) -> Cut | None:
    """The round of that radius in the corner between two segments; None where it does not fit.

    Its centre is where the parallels of both at that radius, on the corner's inner side, meet.
    """
    left = before.tangent(1.0).cross(after.tangent(0.0)) > 0
    aside = -radius if left else radius
    first, second = moved_right(before, aside), moved_right(after, aside)
    if first is None or second is None:
        return None
    corner = before.end
    best: Cut | None = None
    nearest = math.inf
    for met in meetings(first, second):
        centre = met.at
        away = centre.distance(corner)
        until, start = _foot(before, centre), _foot(after, centre)
        if until is None or start is None or away >= nearest:
            continue
        a, b = before.at(until), after.at(start)
        if a.distance(b) <= TOUCH:
            continue
        best, nearest = Cut(until, Arc(a, b, centre, left), start), away
    return best


def _foot(segment: Segment, point: Point) -> float | None:
    """The fraction at which the segment is nearest to the point; None where beyond an end."""
    if isinstance(segment, Arc):
        if not faces(segment, point):
            near = segment.at(fraction(segment, point))
            on_ray = segment.centre.plus(point.minus(segment.centre).unit(), segment.radius)
            if near.distance(on_ray) > 1e-9:
                return None
        return fraction(segment, point)
    along = segment.end.minus(segment.start)
    t = point.minus(segment.start).dot(along) / along.dot(along)
    slack = 1e-9 / along.norm()
    return min(1.0, max(0.0, t)) if -slack <= t <= 1 + slack else None


def chamfered(before: Segment, after: Segment, setback: float) -> Cut | None:
    """The chamfer whose ends lie `setback` from the corner on both segments; None if too long."""
    until = _at_distance(before.reversed(), setback)
    start = _at_distance(after, setback)
    if until is None or start is None:
        return None
    until = 1.0 - until
    return Cut(until, Line(before.at(until), after.at(start)), start)


def _at_distance(segment: Segment, distance: float) -> float | None:
    """The fraction at which the segment is that far, straight, from its start."""
    if isinstance(segment, Line):
        t = distance / segment.length
    else:
        if distance > 2 * segment.radius:
            return None
        t = 2 * math.asin(distance / (2 * segment.radius)) / abs(segment.sweep)
    return t if t <= 1 + 1e-9 else None


def fit_error(what: str, size: float, place: Point, largest: float, index: int) -> GeometryError:
    """The finding for a round or chamfer that does not fit, with the largest that does."""
    remedy = (
        "use {largest:down} or less"
        if largest > 1e-4
        else "leave the {what} out, or make the sides beside the corner longer"
    )
    return GeometryError(
        "E303",
        "a {what} of {size} does not fit into the corner at {at}",
        help=remedy,
        index=index,
        place=place,
        what=what,
        size=size,
        largest=largest,
        at=place,
    )


def largest(fits: Callable[[float], bool], below: float) -> float:
    """The largest size under `below` that fits, to a millionth of it; 0 where none does."""
    low, high = 0.0, below
    for _ in range(40):
        middle = (low + high) / 2
        if fits(middle):
            low = middle
        else:
            high = middle
    return low
