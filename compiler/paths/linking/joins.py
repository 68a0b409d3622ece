"""Ways at depth from one pose to another: an arc, a line, an arc, without a corner.

Between two poses with circles of one radius there are at most four such ways: each circle to the
left or to the right, joined by their outer or inner tangent. (Plane geometry; the shortest ways of
bounded curvature are of this kind where the places are far apart: Dubins, "On curves of minimal
length with a constraint on average curvature", 1957, from memory.)
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.geometry import Segment
from compiler.paths.course import segments
from compiler.paths.linking.pose import Pose

Floats = NDArray[np.float64]
Way = tuple[Segment, ...]
LEAST = 1e-4  # mm; shorter pieces are left out
MOST = 3  # pieces of a way
HANDS = ((1, 1), (1, -1), (-1, 1), (-1, -1))  # how a way turns first, and last; 1: to the left


class Ways:
    """The ways from poses to others, all pairs at once, each with turns of its radius, mm.

    Worked out as numbers: few of them are ever gone. A way is known by its number here.
    """

    def __init__(
        self, starts: Sequence[Pose], ends: Sequence[Pose], radii: Sequence[float]
    ) -> None:
        self._table, self._count, self.length = _all(
            np.array(starts), np.array(ends), np.array(radii)
        )

    def shortest(self, most: int, further: Floats | None = None) -> Iterator[tuple[int, float]]:
        """Numbers and lengths of the shortest `most` ways of each pair, all by length; `further`
        is what each pair adds to it, mm.
        """
        if further is None:
            further = np.zeros(len(self.length))
        numbers, lengths = _ranked(self.length, further, most)
        return zip(numbers.tolist(), lengths.tolist(), strict=True)

    def pair(self, number: int) -> int:
        """The pair that a way is of."""
        return number // len(HANDS)

    def table(self, number: int) -> Floats:
        """A way's pieces as rows of start, end, centre and sweep: for `course.places`."""
        pair, hand = divmod(number, len(HANDS))
        found: Floats = self._table[pair, hand, : self._count[pair, hand]]
        return found

    def way(self, number: int) -> Way:
        """A way's lines and arcs."""
        return tuple(segments(self.table(number)))


@compiled
def _all(starts: Floats, ends: Floats, radii: Floats) -> tuple[Floats, NDArray[np.int64], Floats]:
    """Pieces, their numbers, and lengths (infinite where there is no way) of all ways."""
    n = len(starts)
    table = np.empty((n, 4, MOST, 7))
    table[:] = 0.0
    count = np.empty((n, 4), np.int64)
    count[:] = 0
    length = np.empty((n, 4))
    length[:] = np.inf
    for i in range(n):
        for k in range(4):
            count[i, k], length[i, k] = _one(
                starts[i], ends[i], radii[i], HANDS[k][0], HANDS[k][1], table[i, k]
            )
    return table, count, length


@compiled
def _ranked(length: Floats, further: Floats, most: int) -> tuple[NDArray[np.int64], Floats]:
    """Numbers and whole lengths of the shortest `most` ways of each pair, in order."""
    numbers, lengths = np.empty(most * len(length), np.int64), np.empty(most * len(length))
    count = 0
    for i in range(len(length)):
        for k in range(4):
            shorter = 0
            for other in range(4):
                if length[i, other] < length[i, k] or (
                    length[i, other] == length[i, k] and other < k
                ):
                    shorter += 1
            if math.isinf(length[i, k]) or shorter >= most:
                continue
            whole, at = length[i, k] + further[i], count
            while at > 0 and lengths[at - 1] > whole:
                numbers[at], lengths[at] = numbers[at - 1], lengths[at - 1]
                at -= 1
            numbers[at], lengths[at] = 4 * i + k, whole
            count += 1
    return numbers[:count], lengths[:count]


@compiled
def _one(
    start: Floats, end: Floats, r: float, first: int, last: int, rows: Floats
) -> tuple[int, float]:
    """One way into its rows: how many pieces it has, and how long it is."""
    ox, oy = start[0] - first * r * start[3], start[1] + first * r * start[2]
    px, py = end[0] - last * r * end[3], end[1] + last * r * end[2]
    far = math.hypot(px - ox, py - oy)
    across = 0.0 if first == last else 2 * r
    if far < max(across, 1e-9):
        return 0, np.inf
    angle = math.atan2(py - oy, px - ox) + first * math.asin(across / far)
    hx, hy = math.cos(angle), math.sin(angle)
    # from a centre to where the line touches
    dx, dy = first * r * hy, -first * r * hx
    touch_x, touch_y = ox + dx, oy + dy
    side = first * last
    leave_x, leave_y = px + side * dx, py + side * dy
    turn = _turned(start[2], start[3], hx, hy, first)
    final = _turned(hx, hy, end[2], end[3], last)
    if turn * r <= LEAST:
        turn, touch_x, touch_y = 0.0, start[0], start[1]
    if final * r <= LEAST:
        final, leave_x, leave_y = 0.0, end[0], end[1]
    n, long = 0, r * (turn + final)
    if turn > 0:
        _put(rows[n], start[0], start[1], touch_x, touch_y, ox, oy, first * turn)
        n += 1
    straight = math.hypot(leave_x - touch_x, leave_y - touch_y)
    if straight > LEAST:
        _put(rows[n], touch_x, touch_y, leave_x, leave_y, touch_x, touch_y, 0.0)
        n, long = n + 1, long + straight
    elif n > 0:
        return 0, np.inf
    if final > 0:
        _put(rows[n], leave_x, leave_y, end[0], end[1], px, py, last * final)
        n += 1
    return n, long if n > 0 else np.inf


@compiled
def _put(
    row: Floats, x0: float, y0: float, x1: float, y1: float, cx: float, cy: float, sweep: float
) -> None:
    row[0], row[1], row[2], row[3], row[4], row[5], row[6] = x0, y0, x1, y1, cx, cy, sweep


@compiled
def _turned(ax: float, ay: float, bx: float, by: float, hand: int) -> float:
    """The angle turned through from one heading to another, to one hand, 0 to a full turn."""
    return (hand * math.atan2(ax * by - ay * bx, ax * bx + ay * by)) % math.tau
