"""How far the centre is from the walls, looked up in a grid that is worked out where it is needed.

Between the grid's points the distance is interpolated. Beside an arc of the walls, of radius R,
that errs by pitch^2 / 4R at most; who needs it exact sets the place on the wall afterwards.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiLineString
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.ground import Box, grown
from compiler.paths.constant_engagement.steps import BLOCK, UNKNOWN
from compiler.paths.task import Area

Floats = NDArray[np.float64]


class Walls:
    """The edges of the centres, each for itself, found by place."""

    def __init__(self, centres: Area) -> None:
        self.centres = centres
        shapely.prepare(centres)
        rings = shapely.get_rings(shapely.get_parts(centres))
        xy, ring = shapely.get_coordinates(rings, return_index=True)
        follows = ring[:-1] == ring[1:]
        pairs = np.stack([xy[:-1][follows], xy[1:][follows]], axis=1)
        self._edges = np.asarray(shapely.linestrings(pairs))
        self._tree = shapely.STRtree(self._edges)

    def near(self, box: Box) -> BaseGeometry | None:
        """The edges that meet a box, if any does."""
        found = self._tree.query(shapely.box(*box))
        return MultiLineString(self._edges[found].tolist()) if len(found) else None


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
        x0, y0, x1, y1 = grown(walls.centres.bounds, 2 * far)
        i, j = math.floor(x0 / self._wide), math.floor(y0 / self._wide)
        shape = (math.ceil(x1 / self._wide) - i, math.ceil(y1 / self._wide) - j)
        self.numbers = np.full(shape, UNKNOWN, dtype=np.int64)
        self.blocks: Floats = np.empty((8, BLOCK + 1, BLOCK + 1))
        self.grid: Floats = np.array([i, j, pitch, far])
        self._count = 0

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
        edges = self._walls.near(grown((x0, y0, x0 + wide, y0 + wide), self._far))
        if edges is None:
            inside = shapely.contains_xy(self._walls.centres, x0 + wide / 2, y0 + wide / 2)
            return np.full((BLOCK + 1, BLOCK + 1), self._far if inside else -self._far)
        steps = np.arange(BLOCK + 1) * self._pitch
        x, y = (a.ravel() for a in np.meshgrid(x0 + steps, y0 + steps, indexing="ij"))
        distance = np.minimum(shapely.distance(edges, shapely.points(x, y)), self._far)
        inside = shapely.contains_xy(self._walls.centres, x, y)
        block: Floats = np.where(inside, distance, -distance)
        return block.reshape(BLOCK + 1, BLOCK + 1)
