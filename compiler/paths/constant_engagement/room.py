"""How far the centre is from the walls, looked up in a grid that is worked out where it is needed.

Between the grid's points the distance is interpolated. Beside an arc of the walls, of radius R,
that errs by pitch^2 / 4R at most; who needs it exact sets the place on the wall afterwards.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import MultiLineString
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.ground import Box, grown
from compiler.paths.task import Area

SIDE = 16  # cells to a block's side


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
    """Distance from the edge of the centres, mm, positive inside; beyond `far` all the same."""

    def __init__(self, walls: Walls, pitch: float, far: float) -> None:
        self._walls = walls
        self.pitch, self.far = pitch, far
        self._blocks: dict[tuple[int, int], list[list[float]]] = {}

    def at(self, x: float, y: float) -> float:
        """The distance at a place. It changes by no more than 1.42 mm for each mm of way."""
        u, v = x / self.pitch, y / self.pitch
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
        wide = SIDE * self.pitch
        x0, y0 = bi * wide, bj * wide
        edges = self._walls.near(grown((x0, y0, x0 + wide, y0 + wide), self.far))
        if edges is None:
            inside = shapely.contains_xy(self._walls.centres, x0 + wide / 2, y0 + wide / 2)
            return [[self.far if inside else -self.far] * (SIDE + 1)] * (SIDE + 1)
        steps = np.arange(SIDE + 1) * self.pitch
        x, y = (a.ravel() for a in np.meshgrid(x0 + steps, y0 + steps, indexing="ij"))
        distance = np.minimum(shapely.distance(edges, shapely.points(x, y)), self.far)
        inside = shapely.contains_xy(self._walls.centres, x, y)
        block: list[list[float]] = (
            np.where(inside, distance, -distance).reshape(SIDE + 1, SIDE + 1).tolist()
        )
        return block
