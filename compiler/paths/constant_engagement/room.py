"""How far the centre is from the walls, looked up in a grid that is worked out where it is needed.

Between the grid's points the distance is interpolated. Beside an arc of the walls, of radius R,
that errs by pitch^2 / 4R at most; who needs it exact sets the place on the wall afterwards.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.paths.constant_engagement.ground import grown
from compiler.paths.constant_engagement.steps import BLOCK, UNKNOWN
from compiler.paths.constant_engagement.walls import Walls

Floats = NDArray[np.float64]


class Room:
    """Distance from the edge of the centres, mm, positive inside; beyond `far` all the same.

    Attributes:
        numbers: For each block its number in `blocks`, or `UNKNOWN`; column, row.
        blocks: Distances at the places of each block, those of its far sides too.
        grid: The first block's column and row, counted from zero; the pitch and `far`.
    """

    def __init__(self, walls: Walls, pitch: float, far: float) -> None:
        self._walls, self._pitch, self._far = walls, pitch, far
        self._wide = BLOCK * pitch
        x0, y0, x1, y1 = grown(walls.bounds, 2 * far)
        i, j = math.floor(x0 / self._wide), math.floor(y0 / self._wide)
        shape = (math.ceil(x1 / self._wide) - i, math.ceil(y1 / self._wide) - j)
        self.numbers = np.full(shape, UNKNOWN, dtype=np.int64)
        self.blocks: Floats = np.empty((8, BLOCK + 1, BLOCK + 1))
        self.grid: Floats = np.array([i, j, pitch, far])
        self._count = 0
        steps = np.arange(BLOCK + 1) * pitch  # to the places of a block, from its corner
        self._steps = np.stack(np.meshgrid(steps, steps, indexing="ij"), axis=-1).reshape(-1, 2)

    def work_out(self, column: int, row: int) -> None:
        """Work a block out."""
        if self._count == len(self.blocks):
            self.blocks = np.concatenate([self.blocks, np.empty_like(self.blocks)])
        self.blocks[self._count] = self._block(column, row)
        self.numbers[column, row] = self._count
        self._count += 1

    def _block(self, column: int, row: int) -> Floats:
        wide = self._wide
        x0, y0 = (column + self.grid[0]) * wide, (row + self.grid[1]) * wide
        middle = np.array([[x0 + wide / 2, y0 + wide / 2]])
        apart = self._walls.grid.nearest(middle, self._far + wide)[0, 2]
        if abs(apart) >= self._far + wide:
            return np.full((BLOCK + 1, BLOCK + 1), math.copysign(self._far, apart))
        block = self._walls.grid.nearest(self._steps + np.array([x0, y0]), self._far)[:, 2]
        return block.reshape(BLOCK + 1, BLOCK + 1)
