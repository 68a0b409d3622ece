"""The edges of the centres: found by place, and gone along."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.ground import Box
from compiler.paths.task import Area

Floats = NDArray[np.float64]
TANGENT = 0.02  # mm along a wall that its direction is taken from


class Walls:
    """The edges of the centres, which are on their left; closed rings.

    `grid` has them by place, `bounds` are those of the centres, mm.
    """

    def __init__(self, centres: Area, side: float) -> None:
        self.bounds: Box = centres.bounds
        self.grid = Grid.of(centres, side)
        long = np.hypot(*(self.grid.edges[:, 2:] - self.grid.edges[:, :2]).T)
        marks = np.cumsum(long) - long
        first = self.grid.rings[:-1]
        # how far along its ring each edge begins, mm
        self._marks: Floats = marks - np.repeat(marks[first], np.diff(self.grid.rings))

    def before(
        self, x: float, y: float, leads: Iterable[float], hand: int
    ) -> Iterator[tuple[float, float, float, float]]:
        """Places so far, mm, before the one on a wall that is nearest to a place, and for each a
        unit direction on from there; none where the wall has no length.

        The wall is gone along with the centres on the left, for hand -1 with them on the right.
        """
        grid = self.grid
        number = grid.edge(x, y)
        ring = int(np.searchsorted(grid.rings, number, side="right")) - 1
        first, last = grid.rings[ring : ring + 2].tolist()
        for lead in leads:
            back, ahead = hand * lead, hand * TANGENT
            yield _before(x, y, back, ahead, number, first, last, grid.edges, self._marks)


@compiled
def _before(
    x: float,
    y: float,
    lead: float,
    ahead: float,
    number: int,
    first: int,
    last: int,
    edges: Floats,
    marks: Floats,
) -> tuple[float, float, float, float]:
    """On the ring of edges `first` to `last`, of which one is nearest to the place."""
    wx, wy = edges[number, 2] - edges[number, 0], edges[number, 3] - edges[number, 1]
    square = wx * wx + wy * wy
    share = 0.0
    if square > 0:
        share = ((x - edges[number, 0]) * wx + (y - edges[number, 1]) * wy) / square
    at = marks[number] + min(max(share, 0.0), 1.0) * math.sqrt(square) - lead
    ax, ay = _place(at, first, last, edges, marks)
    bx, by = _place(at + ahead, first, last, edges, marks)
    far = math.hypot(bx - ax, by - ay)
    if far <= 1e-9:
        return ax, ay, 0.0, 0.0
    return ax, ay, (bx - ax) / far, (by - ay) / far


@compiled
def _place(at: float, first: int, last: int, edges: Floats, marks: Floats) -> tuple[float, float]:
    """The place so far, mm, along a ring from its beginning."""
    end = last - 1
    wx, wy = edges[end, 2] - edges[end, 0], edges[end, 3] - edges[end, 1]
    at %= marks[end] + math.hypot(wx, wy)
    low = first
    while end > low:  # the last edge that begins no farther along
        middle = (low + end + 1) // 2
        if marks[middle] <= at:
            low = middle
        else:
            end = middle - 1
    wx, wy = edges[low, 2] - edges[low, 0], edges[low, 3] - edges[low, 1]
    share = (at - marks[low]) / max(math.hypot(wx, wy), 1e-12)
    return edges[low, 0] + share * wx, edges[low, 1] + share * wy
