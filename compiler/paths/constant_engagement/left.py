"""The material still to be cleared: its edge as the walking cutter meets it, and where to begin.

Kept in square tiles. What is worked out of a tile (its edge in short pieces, the places where a
pass may begin) stands until something is taken out of that tile.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from compiler.paths.constant_engagement.edges import Found, Grid, told
from compiler.paths.constant_engagement.ground import Box, Tiles, meet
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.pieces import Pieces
from compiler.paths.constant_engagement.standing import Standing
from compiler.paths.constant_engagement.steps import PITCH
from compiler.paths.task import Area

Floats = NDArray[np.float64]
Cell = tuple[int, int]
TILE = 3.9137  # of the radius; odd, so that hardly a part has an edge along a seam
WALL = 0.03  # mm: nearer to the reach's edge, an edge is a wall
BEYOND = 0.012  # mm that are taken beyond the rim, so that no films stay along walls
SLACK = 0.015  # mm: touching by less is what chords leave


class Left:
    """What is left of the material that the cutter can reach."""

    def __init__(self, material: Area, reach: Area, radius: float) -> None:
        self.radius = radius
        size = TILE * radius
        self.tiles = Tiles.of(material, size, (0.3717 * size, 0.5713 * size))
        self.pieces = Pieces(self.tiles)
        self.removals = 0  # how often something was taken away
        self._walls = Grid.of(reach, radius / 4)
        cells = sorted(self.tiles.cells) or [(0, 0)]
        first = min(i for i, _ in cells), min(j for _, j in cells)
        last = max(i for i, _ in cells), max(j for _, j in cells)
        corner = self.tiles.box(first)[:2]
        self._standing = Standing(first, last, corner, size, PITCH * radius)
        self._look(sorted(self.tiles.cells))

    @property
    def area(self) -> float:
        """mm2."""
        return float(sum(cell.area for cell in self.tiles.cells.values()))

    def edges(self, box: Box, hand: int) -> Floats:
        """Edges that begin in a box, n x 4; seen in a mirror (x negated) where the hand is -1."""
        x0, y0, x1, y1 = box if hand > 0 else (-box[2], box[1], -box[0], box[3])
        return self._standing.within((x0, y0, x1, y1), hand)

    def fronts(self, hand: int, here: Floats) -> tuple[Floats, Floats]:
        """How far off fronts begin at a wall, and where, n x 4; the nearest to a place first.

        Rows are x, y as drawn, and the front's unit direction away from there; for the left hand
        those of its other end.
        """
        rows = self._standing.fronts(hand)
        far = np.hypot(rows[:, 0] - here[0], rows[:, 1] - here[1])
        order = np.argsort(far, kind="stable")
        return far[order], rows[order]

    def touches(self, path: Floats) -> bool:
        """Whether the cutter, going along a path (n x 2), touches anything."""
        return self._standing.nears(path, self.radius - SLACK)

    def near(self, places: Floats, spare: float) -> NDArray[np.bool_]:
        """At which places (n x 2) the cutter has less than `spare`, mm, between it and anything."""
        return self._standing.near(places, self.radius + spare)

    def islands(self, place: Box) -> Iterator[Floats]:
        """Edges (n x 2, closed) in a place that no wall is part of, the material on the left."""
        pieces = [piece for piece in self.pieces.all() if meet(piece.bounds, place)]
        for ring in shapely.get_rings(pieces):
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
        cells = self.tiles.cells
        taken, before = self.tiles.remove(area)
        self.removals += 1
        self._look(taken)
        return before - float(shapely.area([cells[at] for at in taken if at in cells]).sum())

    def _look(self, tiles: Sequence[Cell]) -> None:
        """Drop the specks in some tiles, and note what edges there are in them."""
        cells = self.tiles.cells
        there = [at for at in tiles if at in cells]
        parts, of = shapely.get_parts([cells[at] for at in there], return_index=True)
        large = shapely.area(parts) > BEYOND / 4 * shapely.length(parts)
        if not large.all():
            for k in np.unique(of[~large]).tolist():
                kept = parts[(of == k) & large]
                if len(kept):
                    cells[there[k]] = shapely.multipolygons(kept)
                else:
                    del cells[there[k]]
            parts, of = parts[large], of[large]
        found: dict[Cell, Found | None] = dict.fromkeys(tiles)
        rings, polygon = shapely.get_rings(parts, return_index=True)
        shells = np.ones(len(rings), np.int64)  # 1 for the first ring of each polygon
        shells[1:] = polygon[1:] - polygon[:-1]
        xy = shapely.get_coordinates(rings)
        corners = np.concatenate([[0], np.cumsum(shapely.get_num_coordinates(rings))])
        bounds = np.searchsorted(of[polygon], np.arange(len(there) + 1)).tolist()
        grid = self._walls
        for k, (a, b) in enumerate(pairwise(bounds)):
            if a < b:
                found[there[k]] = told(
                    xy[corners[a] : corners[b]],
                    corners[a : b + 1] - corners[a],
                    shells[a:b],
                    np.array(self.tiles.box(there[k])),
                    PITCH * self.radius,
                    WALL,
                    grid.edges,
                    grid.first,
                    grid.items,
                    grid.frame,
                )
        self._standing.put(found)
