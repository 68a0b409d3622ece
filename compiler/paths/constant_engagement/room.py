"""How far the centre is from the walls, looked up in a grid that is worked out where it is needed.

Between the grid's points the distance is interpolated. Beside an arc of the walls, of radius R,
that errs by pitch^2 / 4R at most; who needs it exact sets the place on the wall afterwards.
"""

from __future__ import annotations

import math

import numpy as np
import shapely

from compiler.paths.task import Area

SIDE = 16  # cells to a block's side


class Room:
    """Distance from the edge of the centres, mm, positive inside; beyond `far` all the same."""

    def __init__(self, centres: Area, pitch: float, far: float) -> None:
        self._centres, self._edge = centres, centres.boundary
        shapely.prepare(self._centres)
        shapely.prepare(self._edge)
        self._pitch, self._far = pitch, far
        self._blocks: dict[tuple[int, int], list[list[float]]] = {}

    def at(self, x: float, y: float) -> float:
        """The distance at a place."""
        u, v = x / self._pitch, y / self._pitch
        column, row = math.floor(u), math.floor(v)
        bi, i = divmod(column, SIDE)
        bj, j = divmod(row, SIDE)
        block = self._blocks.get((bi, bj))
        if block is None:
            block = self._blocks[bi, bj] = self._block(bi, bj)
        u, v = u - column, v - row
        west, east = block[i], block[i + 1]
        south = west[j] + u * (east[j] - west[j])
        return south + v * (west[j + 1] + u * (east[j + 1] - west[j + 1]) - south)

    def _block(self, bi: int, bj: int) -> list[list[float]]:
        wide = SIDE * self._pitch
        middle = shapely.Point((bi + 0.5) * wide, (bj + 0.5) * wide)
        if self._edge.distance(middle) - 0.71 * wide > self._far:
            far = self._far if self._centres.contains(middle) else -self._far
            return [[far] * (SIDE + 1)] * (SIDE + 1)
        steps = np.arange(SIDE + 1) * self._pitch
        x, y = (a.ravel() for a in np.meshgrid(bi * wide + steps, bj * wide + steps, indexing="ij"))
        distance = shapely.distance(self._edge, shapely.points(x, y))
        inside = shapely.contains_xy(self._centres, x, y)
        block: list[list[float]] = (
            np.where(inside, distance, -distance).reshape(SIDE + 1, SIDE + 1).tolist()
        )
        return block
