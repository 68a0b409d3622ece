"""Ways at depth from one pose to another: an arc, a line, an arc, without a corner.

Between two poses with circles of one radius there are at most four such ways: each circle to the
left or to the right, joined by their outer or inner tangent. (Plane geometry; the shortest ways of
bounded curvature are of this kind where the places are far apart: Dubins, "On curves of minimal
length with a constraint on average curvature", 1957, from memory.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from compiler.geometry import Arc, Line, Point, Segment
from compiler.paths.constant_engagement.walk import Pose

LEAST = 1e-4  # mm; shorter pieces are left out


def ways(start: Pose, end: Pose, radius: float) -> list[tuple[float, tuple[Segment, ...]]]:
    """All ways with turns of one radius, mm, and their lengths; the shortest first."""
    found = [
        (sum(piece.length for piece in way), way)
        for first in (1, -1)
        for last in (1, -1)
        for way in _way(start, end, radius, first, last)
    ]
    return sorted(found, key=lambda one: one[0])


def _way(start: Pose, end: Pose, r: float, first: int, last: int) -> Iterator[tuple[Segment, ...]]:
    """The way that turns to `first` (1: left) and ends turning to `last`, if there is one."""
    one, two = _centre(start, r, first), _centre(end, r, last)
    dx, dy = two.x - one.x, two.y - one.y
    far = math.hypot(dx, dy)
    across = 0.0 if first == last else 2 * r
    if far < max(across, 1e-9):
        return
    angle = math.atan2(dy, dx) + first * math.asin(across / far)
    hx, hy = math.cos(angle), math.sin(angle)
    off = Point(first * r * hy, -first * r * hx)  # from a centre to where the line touches
    touch = Point(one.x + off.x, one.y + off.y)
    side = first * last
    leave = Point(two.x + side * off.x, two.y + side * off.y)
    pieces: list[Segment] = []
    begin, finish = Point(*start[:2]), Point(*end[:2])
    if _turned(start[2], start[3], hx, hy, first) * r > LEAST:
        pieces.append(Arc(begin, touch, one, first > 0))
    else:
        touch = begin
    final = _turned(hx, hy, end[2], end[3], last) * r > LEAST
    if not final:
        leave = finish
    if touch.distance(leave) > LEAST:
        pieces.append(Line(touch, leave))
    elif pieces:
        return
    if final:
        pieces.append(Arc(leave, finish, two, last > 0))
    if pieces:
        yield tuple(pieces)


def _centre(pose: Pose, r: float, hand: int) -> Point:
    x, y, hx, hy = pose
    return Point(x - hand * r * hy, y + hand * r * hx)


def _turned(ax: float, ay: float, bx: float, by: float, hand: int) -> float:
    """The angle turned through from one heading to another, to one hand, 0 to a full turn."""
    return (hand * math.atan2(ax * by - ay * bx, ax * bx + ay * by)) % math.tau
