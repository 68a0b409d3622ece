"""The edges of the material that still stands, found by tile; and where fronts meet walls.

All of them are rows of one array, those of a tile one after another: the edges as they are met,
then the cuts between tiles. What becomes of a tile is written behind, and the array packed anew
when it is full.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.paths.constant_engagement.edges import Found
from compiler.paths.constant_engagement.ground import Box

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Cell = tuple[int, int]
HANDS = {1: 2, -1: 3}  # where what is found has the fronts of a hand
NONE: Floats = np.empty((0, 4))
SPARE = 4096  # rows of the array beyond twice what it holds


class Standing:
    """The edges of square tiles, of which the first (column and row) has a corner.

    `size` is the side of a tile and `longest` that of its longest edge, mm.
    """

    def __init__(
        self, first: Cell, last: Cell, corner: tuple[float, float], size: float, longest: float
    ) -> None:
        self._first = first
        shape = (last[0] - first[0] + 1, last[1] - first[1] + 1, 3)
        self._spans = np.zeros(shape, np.int64)  # of a tile: its edges, its cuts, the end
        self._rows: Floats = np.empty((SPARE, 4))
        self._used = 0
        self._frame = np.array([*corner, size, longest])
        # of each hand: places and directions of fronts, and the tile each is of; in its order
        self._fronts = {hand: (np.empty((0, 4)), np.empty(0, np.int64)) for hand in HANDS}
        # the same as found since they were asked for
        self._fresh: dict[int, dict[int, Floats]] = {hand: {} for hand in HANDS}

    def put(self, found: Mapping[Cell, Found | None]) -> None:
        """What is found of the edges of some tiles instead of what was; None where none are."""
        for (column, row), now in found.items():
            i, j = column - self._first[0], row - self._first[1]
            self._put(i, j, now)
            number = i * self._spans.shape[1] + j
            for hand, k in HANDS.items():
                self._fresh[hand][number] = NONE if now is None else now[k]

    def _put(self, i: int, j: int, now: Found | None) -> None:
        self._spans[i, j] = 0
        if now is None:
            return
        edges, cuts = now[:2]
        count = len(edges) + len(cuts)
        if self._used + count > len(self._rows):
            self._pack(count)
        begin, cut, end = self._used, self._used + len(edges), self._used + count
        self._rows[begin:cut], self._rows[cut:end] = edges, cuts
        self._spans[i, j] = begin, cut, end
        self._used = end

    def _pack(self, more: int) -> None:
        """Drop the rows that are of no tile any longer; room for `more` and again as many."""
        spans = self._spans.reshape(-1, 3)
        counts = spans[:, 2] - spans[:, 0]
        shift = np.cumsum(counts) - counts - spans[:, 0]
        kept = np.repeat(-shift, counts) + np.arange(counts.sum())
        rows = np.empty((2 * len(kept) + more + SPARE, 4))
        rows[: len(kept)] = self._rows[kept]
        spans += shift[:, None]
        self._rows, self._used = rows, len(kept)

    def fronts(self, hand: int) -> Floats:
        """Where fronts meet walls, n x 4: place, and the front's unit direction away from there."""
        rows, of = self._fronts[hand]
        fresh = self._fresh[hand]
        if fresh:
            other = np.zeros(self._spans.shape[0] * self._spans.shape[1], np.bool_)
            other[list(fresh)] = True
            kept = ~other[of]
            rows = np.concatenate([rows[kept], *fresh.values()])
            counts = [len(one) for one in fresh.values()]
            of = np.concatenate([of[kept], np.repeat(list(fresh), counts)])
            order = np.argsort(of, kind="stable")
            rows, of = self._fronts[hand] = rows[order], of[order]
            fresh.clear()
        return rows

    def within(self, box: Box, hand: int) -> Floats:
        """Edges that begin in a box as drawn, n x 4, the material on their left; for hand -1 in the
        mirror (x negated).
        """
        return _within(*box, hand, self._rows, self._spans, self._frame)

    def nears(self, path: Floats, reach: float) -> bool:
        """Whether a path (n x 2) comes as near to the material as `reach`, mm.

        That is to be more than the longest edge.
        """
        return _nears(path, reach, self._rows, self._spans, self._frame)

    def near(self, places: Floats, reach: float) -> Flags:
        """Which of the places (n x 2) are as near to the material as `reach`, mm."""
        return _near(places, reach, self._rows, self._spans, self._frame)


@compiled
def _tiles(
    x0: float, y0: float, x1: float, y1: float, spans: Ints, frame: Floats
) -> tuple[int, int, int, int]:
    """The tiles in a box: first and last column, first and last row."""
    return (
        max(math.floor((x0 - frame[0]) / frame[2]), 0),
        min(math.floor((x1 - frame[0]) / frame[2]), spans.shape[0] - 1),
        max(math.floor((y0 - frame[1]) / frame[2]), 0),
        min(math.floor((y1 - frame[1]) / frame[2]), spans.shape[1] - 1),
    )


@compiled
def _within(
    x0: float, y0: float, x1: float, y1: float, hand: int, rows: Floats, spans: Ints, frame: Floats
) -> Floats:
    i0, i1, j0, j1 = _tiles(x0, y0, x1, y1, spans, frame)
    most = 0
    for i in range(i0, i1 + 1):
        for j in range(j0, j1 + 1):
            most += spans[i, j, 1] - spans[i, j, 0]
    found = np.empty((most, 4))
    count = 0
    a = 0 if hand > 0 else 2  # the material is to be on the left again
    for i in range(i0, i1 + 1):
        for j in range(j0, j1 + 1):
            for n in range(spans[i, j, 0], spans[i, j, 1]):
                if x0 < rows[n, 0] < x1 and y0 < rows[n, 1] < y1:
                    found[count, 0], found[count, 1] = hand * rows[n, a], rows[n, a + 1]
                    found[count, 2], found[count, 3] = hand * rows[n, 2 - a], rows[n, 3 - a]
                    count += 1
    return found[:count]


@compiled
def _nears(path: Floats, reach: float, rows: Floats, spans: Ints, frame: Floats) -> bool:
    marks = np.empty(len(path))  # length of the path up to each place
    marks[:] = 0.0
    x0, y0, x1, y1 = path[0, 0], path[0, 1], path[0, 0], path[0, 1]
    for n in range(1, len(path)):
        x, y = path[n, 0], path[n, 1]
        marks[n] = marks[n - 1] + math.hypot(x - path[n - 1, 0], y - path[n - 1, 1])
        x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
    i0, i1, j0, j1 = _tiles(x0 - reach, y0 - reach, x1 + reach, y1 + reach, spans, frame)
    around = reach + frame[3]
    for i in range(i0, i1 + 1):
        for j in range(j0, j1 + 1):
            for n in range(spans[i, j, 0], spans[i, j, 2]):
                x, y = rows[n, 0], rows[n, 1]
                beside = x0 - around < x < x1 + around and y0 - around < y < y1 + around
                if beside and _nears_edge(path, marks, reach, rows[n]):
                    return True
    return _in_material(path[0, 0], path[0, 1], rows, spans, frame)


@compiled
def _near(places: Floats, reach: float, rows: Floats, spans: Ints, frame: Floats) -> Flags:
    found = np.empty(len(places), np.bool_)
    found[:] = False
    around = reach + frame[3]
    for k in range(len(places)):
        x, y = places[k, 0], places[k, 1]
        i0, i1, j0, j1 = _tiles(x - reach, y - reach, x + reach, y + reach, spans, frame)
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                n, end = spans[i, j, 0], spans[i, j, 2]
                while n < end and not found[k]:
                    if abs(rows[n, 0] - x) < around and abs(rows[n, 1] - y) < around:
                        apart = _square(x, y, rows[n, 0], rows[n, 1], rows[n, 2], rows[n, 3])
                        found[k] = apart <= reach * reach
                    n += 1
        found[k] = found[k] or _in_material(x, y, rows, spans, frame)
    return found


@compiled
def _nears_edge(path: Floats, marks: Floats, reach: float, edge: Floats) -> bool:
    """Whether a path comes so near to an edge; where it is far off, it stays so for a while."""
    n, last = 0, max(len(path) - 1, 1)
    while n < last:
        x0, y0 = path[n, 0], path[n, 1]
        k = min(n + 1, len(path) - 1)
        x1, y1 = path[k, 0], path[k, 1]
        apart = math.sqrt(_square(x1, y1, edge[0], edge[1], edge[2], edge[3]))
        if (
            apart <= reach
            or _square(x0, y0, edge[0], edge[1], edge[2], edge[3]) <= reach * reach
            or _square(edge[0], edge[1], x0, y0, x1, y1) <= reach * reach
            or _square(edge[2], edge[3], x0, y0, x1, y1) <= reach * reach
        ):
            return True
        until = marks[k] + apart - reach
        n += 1
        while n < last and marks[n + 1] < until:
            n += 1
    return False


@compiled
def _square(x: float, y: float, x0: float, y0: float, x1: float, y1: float) -> float:
    """The square of a place's distance from a straight way, mm2."""
    wx, wy = x1 - x0, y1 - y0
    long = wx * wx + wy * wy
    ax, ay = x0 - x, y0 - y
    if long > 0:
        share = min(max(-(ax * wx + ay * wy) / long, 0.0), 1.0)
        ax, ay = ax + share * wx, ay + share * wy
    return ax * ax + ay * ay


@compiled
def _in_material(x: float, y: float, rows: Floats, spans: Ints, frame: Floats) -> bool:
    """Whether a place is inside what stands: so many edges and cuts of its tile are beside it."""
    i, j = math.floor((x - frame[0]) / frame[2]), math.floor((y - frame[1]) / frame[2])
    if i < 0 or j < 0 or i >= spans.shape[0] or j >= spans.shape[1]:
        return False
    inside = False
    for n in range(spans[i, j, 0], spans[i, j, 2]):
        ay, by = rows[n, 1], rows[n, 3]
        if (ay > y) != (by > y):
            at = rows[n, 0] + (y - ay) / (by - ay) * (rows[n, 2] - rows[n, 0])
            if at > x:
                inside = not inside
    return inside
