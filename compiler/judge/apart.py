"""How far two stretches of line or arc are apart, exactly, for many pairs: machine code.

A stretch is a row of numbers: start, end, centre, radius, angle of the start from the centre, the
angle turned, and its bounds as low x, low y, high x, high y; a line has radius 0. mm, rad.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from compiler.compiled import compiled

Floats = npt.NDArray[np.float64]

WIDTH = 13
_ANGLE = 1e-12  # rad: beyond the ends of an arc that counts as on it
_NOTHING = 1e-12  # mm: centres so near to each other are one


@compiled
def to_outline(tracks: Floats, outline: Floats, reach: float, found: Floats) -> None:
    """The least distance of each track from the segments of an outline; infinite beyond reach.

    0 where they meet. Tracks whose bounds are no numbers are nowhere near.
    """
    for k in range(tracks.shape[0]):
        least = math.inf
        for n in range(outline.shape[0]):
            if _boxes_meet(tracks[k], outline[n], reach):
                least = min(least, _apart(tracks[k], outline[n]))
        found[k] = least if least <= reach else math.inf


@compiled
def to_nearest(x: Floats, y: Floats, outline: Floats, found: Floats) -> None:
    """The least distance of each point from the segments of an outline."""
    for k in range(x.size):
        found[k] = math.inf
        for n in range(outline.shape[0]):
            found[k] = min(found[k], _from(outline[n], x[k], y[k]))


@compiled
def _boxes_meet(a: Floats, b: Floats, reach: float) -> bool:
    """Whether two boxes come within reach of each other."""
    beside = a[9] <= b[11] + reach and a[11] >= b[9] - reach
    return bool(beside and a[10] <= b[12] + reach and a[12] >= b[10] - reach)


@compiled
def _apart(a: Floats, b: Floats) -> float:
    """The least over the ends of each against the other, where a common normal stands, and 0 where
    they meet.
    """
    least = min(_from(b, a[0], a[1]), _from(b, a[2], a[3]))
    least = min(least, min(_from(a, b[0], b[1]), _from(a, b[2], b[3])))
    if a[6] > 0 and b[6] > 0:
        return min(least, _arcs(a, b))
    if a[6] > 0:
        return min(least, _line_and_arc(b, a))
    if b[6] > 0:
        return min(least, _line_and_arc(a, b))
    return 0.0 if _cross(a, b) else least


@compiled
def _from(s: Floats, x: float, y: float) -> float:
    """Distance of a point from a stretch."""
    if s[6] == 0:
        foot_x, foot_y = _foot(s, x, y)
        return math.hypot(x - foot_x, y - foot_y)
    dx, dy, radius = x - s[4], y - s[5], s[6]
    if _turned_to(s, dx, dy):
        return float(abs(math.hypot(dx, dy) - radius))
    last = s[7] + s[8]
    to_start = math.hypot(dx - radius * math.cos(s[7]), dy - radius * math.sin(s[7]))
    to_end = math.hypot(dx - radius * math.cos(last), dy - radius * math.sin(last))
    return min(to_start, to_end)


@compiled
def _foot(line: Floats, x: float, y: float) -> tuple[float, float]:
    """The point of a line that is nearest to a point."""
    dx, dy = line[2] - line[0], line[3] - line[1]
    square = dx * dx + dy * dy
    t = ((x - line[0]) * dx + (y - line[1]) * dy) / (square if square > 0 else 1.0)
    t = min(max(t, 0.0), 1.0)
    return line[0] + t * dx, line[1] + t * dy


@compiled
def _turned_to(arc: Floats, dx: float, dy: float) -> bool:
    """Whether a direction from an arc's centre falls in its turn."""
    turn = math.atan2(dy, dx) - arc[7]
    if arc[8] < 0:
        turn = -turn
    return bool(turn % math.tau <= abs(arc[8]) + _ANGLE)


@compiled
def _cross(a: Floats, b: Floats) -> bool:
    """Whether lines properly cross; touching ends are found otherwise."""
    dx, dy, ex, ey = a[2] - a[0], a[3] - a[1], b[2] - b[0], b[3] - b[1]
    one = (ex * (a[1] - b[1]) - ey * (a[0] - b[0])) * (ex * (a[3] - b[1]) - ey * (a[2] - b[0]))
    other = (dx * (b[1] - a[1]) - dy * (b[0] - a[0])) * (dx * (b[3] - a[1]) - dy * (b[2] - a[0]))
    return bool(one < 0 and other < 0)


@compiled
def _line_and_arc(line: Floats, arc: Floats) -> float:
    """0 where they meet, else the distance at the foot of the normal through the arc's centre."""
    dx, dy = line[2] - line[0], line[3] - line[1]
    fx, fy = line[0] - arc[4], line[1] - arc[5]
    a, half_b = dx * dx + dy * dy, fx * dx + fy * dy
    disc = half_b * half_b - a * (fx * fx + fy * fy - arc[6] * arc[6])
    if disc >= 0 and a > 0:
        for sign in (-1.0, 1.0):
            s = (-half_b + sign * math.sqrt(disc)) / a
            if 0 <= s <= 1 and _turned_to(arc, fx + s * dx, fy + s * dy):
                return 0.0
    foot_x, foot_y = _foot(line, arc[4], arc[5])
    return _from(arc, foot_x, foot_y)


@compiled
def _arcs(a: Floats, b: Floats) -> float:
    """0 where they meet, else the distance along the normal through both centres; infinite where
    the arcs turn elsewhere.
    """
    dx, dy = b[4] - a[4], b[5] - a[5]
    apart = math.hypot(dx, dy)
    if apart <= _NOTHING:
        return math.inf
    ux, uy, least = dx / apart, dy / apart, math.inf
    along = (apart * apart + a[6] * a[6] - b[6] * b[6]) / (2 * apart)
    square = a[6] * a[6] - along * along
    high = math.sqrt(max(square, 0.0))
    for sign in (1.0, -1.0):
        x, y = sign * a[6] * ux, sign * a[6] * uy
        if _turned_to(a, x, y):
            least = min(least, _from(b, a[4] + x, a[5] + y))
        x, y = along * ux - sign * high * uy, along * uy + sign * high * ux
        meet = square >= 0 and _turned_to(a, x, y)
        if meet and _turned_to(b, a[4] + x - b[4], a[5] + y - b[5]):
            return 0.0
    return least
