"""The material still to be cleared: its edge as the walking cutter meets it, and where to begin.

Kept in square tiles. What is worked out of a tile (its edge in short pieces, the places where a
pass may begin) is kept until something is taken out of that tile.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.edges import Grid, told, within
from compiler.paths.constant_engagement.ground import Box, Tiles
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.pieces import Pieces
from compiler.paths.constant_engagement.steps import PITCH
from compiler.paths.task import Area

Floats = NDArray[np.float64]
Cell = tuple[int, int]
TILE = 3.9137  # of the radius; odd, so that hardly a part has an edge along a seam
WALL = 0.03  # mm: nearer to the reach's edge, an edge is a wall
BEYOND = 0.012  # mm that are taken beyond the rim, so that no films stay along walls
SLACK = 0.015  # mm: touching by less is what chords leave
NO_EDGES: Floats = np.empty((0, 4))


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of a tile: the area it is known of, and what was found."""

    area: Area
    edges: Floats  # n x 4: x0, y0, x1, y1, material on the left; cuts between tiles are none
    starts: Floats  # n x 4: where a front meets the wall it begins at, and its direction there
    ends: Floats  # n x 4: where it meets the wall it ends at, and its direction back


class Left:
    """What is left of the material that the cutter can reach."""

    def __init__(self, material: Area, reach: Area, radius: float) -> None:
        self.radius = radius
        size = TILE * radius
        self.tiles = Tiles.of(material, size, (0.3717 * size, 0.5713 * size))
        self.pieces = Pieces(self.tiles)
        self._walls = Grid.of(reach, radius / 4)
        self._known: dict[Cell, _Known] = {}
        self._listed: tuple[list[Cell], Floats] = ([], np.empty((0, 4)))

    @property
    def area(self) -> float:
        """mm2."""
        return float(sum(cell.area for cell in self.tiles.cells.values()))

    def edges(self, box: Box, hand: int) -> Floats:
        """Edges that begin in a box, n x 4; seen in a mirror (x negated) where the hand is -1."""
        x0, y0, x1, y1 = box if hand > 0 else (-box[2], box[1], -box[0], box[3])
        found = []
        for at in self.tiles.over((x0, y0, x1, y1)):
            found.append(within(self._of(at).edges, x0, y0, x1, y1, hand))
        return np.concatenate(found) if found else NO_EDGES

    def fronts(self, hand: int, here: Floats) -> Iterator[tuple[float, Floats]]:
        """How far off fronts begin at a wall, and where; the nearest to a place first.

        Places are x, y as drawn, and the front's unit direction away from there; for the left hand
        those of its other end.
        """
        cells, boxes = self._order()
        off = np.maximum(np.maximum(boxes[:, :2] - here, here - boxes[:, 2:]), 0.0)
        least = np.hypot(off[:, 0], off[:, 1])
        waiting: list[tuple[float, int, int, Floats]] = []
        for k in np.argsort(least, kind="stable").tolist():
            while waiting and waiting[0][0] <= least[k]:
                far, _, _, row = heappop(waiting)
                yield far, row
            known = self._of(cells[k])
            rows = known.starts if hand > 0 else known.ends
            for n, far in enumerate(np.hypot(*(rows[:, :2] - here).T).tolist()):
                heappush(waiting, (far, k, n, rows[n]))
        while waiting:
            far, _, _, row = heappop(waiting)
            yield far, row

    def _order(self) -> tuple[list[Cell], Floats]:
        """The tiles that hold anything, and their boxes; worked out anew when one is done."""
        if len(self._listed[0]) != len(self.tiles.cells):
            cells = sorted(self.tiles.cells)
            boxes = np.array([self.tiles.box(at) for at in cells]).reshape(-1, 4)
            self._listed = (cells, boxes)
        return self._listed

    def touches(self, line: BaseGeometry) -> bool:
        """Whether the cutter, going along the line, touches anything."""
        x0, y0, x1, y1 = line.bounds
        r = self.radius
        return any(
            shapely.dwithin(self.tiles.cells[at], line, r - SLACK)
            for at in self.tiles.over((x0 - r, y0 - r, x1 + r, y1 + r))
        )

    def islands(self) -> Iterator[Floats]:
        """Edges (n x 2, closed) that no wall is part of, the material on the left."""
        for ring in shapely.get_rings(self.pieces.all()):
            xy = shapely.get_coordinates(ring)
            middles = (xy[:-1] + xy[1:]) / 2
            if len(xy) > 3 and not (self._walls.distance(middles, 2 * WALL) <= WALL).any():
                yield xy

    def sweep(self, path: Floats) -> float:
        """Take away what the cutter clears along a path (n x 2); mm2 that went."""
        line = LineString(path) if len(path) > 1 else shapely.Point(path[0])
        reach = self.radius + BEYOND
        return self.remove(line.buffer(reach, quad_segs=quarter_chords(reach, BEYOND / 3)))

    def remove(self, area: Area) -> float:
        """Take an area away, and the specks that stay of what it went over; mm2 that went."""
        before = gone = 0.0
        for at in list(self.tiles.over(area.bounds)):
            before += self.tiles.cells[at].area
        self.tiles.remove(area)
        for at in list(self.tiles.over(area.bounds)):
            cell = self.tiles.cells[at]
            parts = shapely.get_parts(cell)
            large = shapely.area(parts) > BEYOND / 4 * shapely.length(parts)
            if not large.all():
                if not large.any():
                    del self.tiles.cells[at]
                    continue
                cell = self.tiles.cells[at] = MultiPolygon(list(parts[large]))
            gone -= cell.area
        return before + gone

    def _of(self, at: Cell) -> _Known:
        area = self.tiles.cells[at]
        known = self._known.get(at)
        if known is None or known.area is not area:
            known = self._known[at] = self._look(area, at)
        return known

    def _look(self, area: Area, at: Cell) -> _Known:
        rings, polygon = shapely.get_rings(shapely.get_parts(area), return_index=True)
        ends = np.cumsum(shapely.get_num_coordinates(rings), dtype=np.int64)
        shells = np.diff(polygon, prepend=-1)  # the first ring of each polygon
        grid = self._walls
        found = told(
            shapely.get_coordinates(rings),
            np.concatenate([[0], ends]),
            shells.astype(np.int64),
            np.array(self.tiles.box(at)),
            PITCH * self.radius,
            WALL,
            grid.edges,
            grid.first,
            grid.items,
            grid.frame,
        )
        return _Known(area, *found)
