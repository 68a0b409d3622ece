"""Making two pieces meet that nearly do, where the draughtsman meant them to.

A corner drawn a little short or a little long is where the two lines or circles themselves meet;
only where they have no such place near is the middle between the two ends taken.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.drawing.model import SAME_PLACE
from compiler.geometry import Arc, Line, Point
from compiler.geometry.arcs import sound
from compiler.geometry.intersect import meetings
from compiler.geometry.segment import Segment

TANGENT = 2e-5
"""Lines and circles that miss each other by no more touch, mm: what six decimals leave."""


def meeting_ends(pieces: Sequence[Segment], *, closed: bool) -> list[Segment]:
    """The same pieces, each starting exactly where the one before ends."""
    count = len(pieces)
    starts = [piece.start for piece in pieces]
    ends = [piece.end for piece in pieces]
    for i in range(count if closed else count - 1):
        j = (i + 1) % count
        if ends[i] == starts[j]:
            continue
        ends[i] = starts[j] = meeting_place(pieces[i], pieces[j])
    return [
        part
        for piece, start, end in zip(pieces, starts, ends, strict=True)
        if start != end
        for part in _from_to(piece, start, end)
    ]


def meeting_place(before: Segment, after: Segment) -> Point:
    """Where a piece that ends and the next one that starts, not quite there, are to meet."""
    middle = Point((before.end.x + after.start.x) / 2, (before.end.y + after.start.y) / 2)
    width = before.end.distance(after.start)
    if width <= SAME_PLACE:
        return middle
    reach = 2 * width
    if min(before.length, after.length) <= 2 * reach or _on_one(before, after):
        return middle
    found = [
        met.at
        for met in meetings(_longer(before, reach), _longer(after.reversed(), reach), TANGENT)
        if met.at.distance(before.end) <= reach and met.at.distance(after.start) <= reach
    ]
    return min(found, key=middle.distance, default=middle)


def _on_one(a: Segment, b: Segment) -> bool:
    """Whether both lie on one line or one circle, so that they have no corner."""
    if isinstance(a, Line) and isinstance(b, Line):
        return abs(a.tangent().cross(b.tangent())) < 1e-6
    if isinstance(a, Arc) and isinstance(b, Arc):
        return a.centre.distance(b.centre) < SAME_PLACE and abs(a.radius - b.radius) < SAME_PLACE
    return False


def _longer(piece: Segment, reach: float) -> Segment:
    """The piece, and `reach` more beyond its end."""
    if isinstance(piece, Line):
        return Line(piece.start, piece.end.plus(piece.tangent(), reach))
    angle = min(reach / piece.radius, (2 * math.pi - abs(piece.sweep)) / 2)
    turn = angle if piece.ccw else -angle
    out = piece.end.minus(piece.centre)
    cos, sin = math.cos(turn), math.sin(turn)
    end = piece.centre.plus(Point(out.x * cos - out.y * sin, out.x * sin + out.y * cos))
    return Arc(piece.start, end, piece.centre, piece.ccw)


def _from_to(piece: Segment, start: Point, end: Point) -> tuple[Segment, ...]:
    if isinstance(piece, Line):
        return (Line(start, end),)
    if piece.start == start and piece.end == end:
        return (piece,)
    return sound(Arc(start, end, piece.centre, piece.ccw))
