"""The material still to be cleared: its edge as the walking cutter meets it, and where to begin.

Kept in square tiles. What is worked out of a tile (its edge in short pieces, the places where a
pass may begin) is kept until something is taken out of that tile.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPolygon
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.ground import Box, Tiles
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.pieces import Pieces
from compiler.paths.constant_engagement.steps import PITCH
from compiler.paths.task import Area

Floats = NDArray[np.float64]
Cell = tuple[int, int]
TILE = 7.9137  # of the radius; odd, so that hardly a part has an edge along a seam
WALL = 0.03  # mm: nearer to the reach's edge, an edge is a wall
BEYOND = 0.012  # mm that are taken beyond the rim, so that no films stay along walls
SLACK = 0.015  # mm: touching by less is what chords leave
NO_EDGES: Floats = np.empty((0, 4))


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known of a tile: the area it is known of, and what was found."""

    area: Area
    edges: Floats  # n x 4: x0, y0, x1, y1, material on the left
    starts: Floats  # n x 4: where a front meets the wall it begins at, and its direction there
    ends: Floats  # n x 4: where it meets the wall it ends at, and its direction back


class Left:
    """What is left of the material that the cutter can reach."""

    def __init__(self, material: Area, reach: Area, radius: float) -> None:
        self.radius = radius
        size = TILE * radius
        self.tiles = Tiles.of(material, size, (0.3717 * size, 0.5713 * size))
        self.pieces = Pieces(self.tiles)
        self._rim = reach.boundary
        shapely.prepare(self._rim)
        self._known: dict[Cell, _Known] = {}

    @property
    def area(self) -> float:
        """mm2."""
        return float(sum(cell.area for cell in self.tiles.cells.values()))

    def edges(self, box: Box, hand: int) -> Floats:
        """Edges that begin in a box, n x 4; seen in a mirror (x negated) where the hand is -1."""
        x0, y0, x1, y1 = box if hand > 0 else (-box[2], box[1], -box[0], box[3])
        found = []
        for at in self.tiles.over((x0, y0, x1, y1)):
            e = self._of(at).edges
            x, y = e[:, 0], e[:, 1]
            found.append(e[(x > x0) & (x < x1) & (y > y0) & (y < y1)])
        edges: Floats = np.concatenate(found) if found else NO_EDGES
        return edges if hand > 0 else _mirrored(edges)

    def starts(self, hand: int) -> Floats:
        """Where fronts begin at a wall, for the left hand their other ends: n x 4, as drawn.

        Rows are x, y, and the front's unit direction away from there.
        """
        found = [NO_EDGES]
        for at in self.tiles.cells:
            known = self._of(at)
            found.append(known.starts if hand > 0 else known.ends)
        return np.concatenate(found)

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
            if len(xy) > 3 and not self._walls(xy[:-1], xy[1:]).any():
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
        rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(area)))
        xy, ring = shapely.get_coordinates(rings, return_index=True)
        follows = ring[:-1] == ring[1:]
        a, b, ring = xy[:-1][follows], xy[1:][follows], ring[:-1][follows]
        seam = self._seams(a, b, at)
        wall = self._walls(a, b) & ~seam
        edges = _dense(a[~seam], b[~seam], PITCH * self.radius)
        way = b - a
        length = np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-12)
        # where a front meets a wall at a seam, what was beyond may have been a speck
        told = ~seam | (length > PITCH * self.radius)
        a, b, ring, way, wall = (
            a[told],
            b[told],
            ring[told],
            (way / length[:, None])[told],
            wall[told],
        )
        front = ~wall & ~seam[told]
        following, before = _neighbours(ring)
        last, first = front & wall[following], front & wall[before]
        starts, ends = np.hstack([b[last], -way[last]]), np.hstack([a[first], way[first]])
        return _Known(area, edges, starts, ends)

    def _walls(self, a: Floats, b: Floats) -> NDArray[np.bool_]:
        middles = shapely.points((a + b) / 2)
        return np.asarray(shapely.dwithin(self._rim, middles, WALL), dtype=np.bool_)

    def _seams(self, a: Floats, b: Floats, at: Cell) -> NDArray[np.bool_]:
        """Which edges are cuts between tiles."""
        found = np.zeros(len(a), dtype=np.bool_)
        x0, y0, x1, y1 = self.tiles.box(at)
        for column, lines in ((0, (x0, x1)), (1, (y0, y1))):
            for line in lines:
                found |= (np.abs(a[:, column] - line) < 1e-7) & (np.abs(b[:, column] - line) < 1e-7)
        return found


def _neighbours(ring: NDArray[np.int64]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """The next edge and the one before, for edges in order and the number of each one's ring."""
    here = np.arange(len(ring))
    if not len(ring):
        return here, here
    begins = np.flatnonzero(np.concatenate([[True], ring[1:] != ring[:-1]]))
    ends = np.concatenate([begins[1:], [len(ring)]]) - 1
    following, before = here + 1, here - 1
    following[ends], before[begins] = begins, ends
    return following, before


def _dense(start: Floats, end: Floats, longest: float) -> Floats:
    """Edges, the long ones cut up; n x 4."""
    way = end - start
    count = np.maximum(1, np.ceil(np.hypot(way[:, 0], way[:, 1]) / longest)).astype(int)
    owner = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = (number / count[owner])[:, None]
    until = ((number + 1) / count[owner])[:, None]
    a, b = start[owner] + share * way[owner], start[owner] + until * way[owner]
    return np.hstack([a, b])


def _mirrored(edges: Floats) -> Floats:
    """Edges in the mirror x -> -x, turned round so that the material is on their left again."""
    return edges[:, [2, 3, 0, 1]] * (-1.0, 1.0, -1.0, 1.0)
