"""Edges by the thousand: how far places are from walls, and which edges of the material are walls.

The walls' edges are found by place in a grid of square cells: those of cell k are `items` from
`first[k]` to `first[k + 1]`. (A bucket grid; plane geometry.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from compiler.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
WALL, SEAM, SPECK = 1, 2, 3  # what an edge of the material is, if it is no front
ALONG_SEAM = 1e-7  # mm
Found = tuple[Floats, Floats, Floats]


@dataclass(frozen=True, slots=True)
class Grid:
    """Edges, n x 4, found by place.

    `frame` is the grid's corner (2), the side of its cells, and how many columns and rows it has.
    """

    edges: Floats
    first: Ints
    items: Ints
    frame: Floats

    @staticmethod
    def of(lines: BaseGeometry, side: float) -> Grid:
        """The edges of rings or lines, in cells of a side, mm."""
        xy, part = shapely.get_coordinates(shapely.get_parts(lines), return_index=True)
        follows = part[:-1] == part[1:]
        edges = dense(np.hstack([xy[:-1][follows], xy[1:][follows]]), side)
        if not len(edges):
            return Grid(edges, np.zeros(2, np.int64), np.zeros(0, np.int64), np.ones(5))
        low = np.minimum(edges[:, :2], edges[:, 2:]).min(axis=0)
        high = np.maximum(edges[:, :2], edges[:, 2:]).max(axis=0)
        columns, rows = (np.floor((high - low) / side).astype(int) + 1).tolist()
        frame = np.array([*low, side, columns, rows])
        return Grid(edges, *_sorted(edges, frame), frame)

    def distance(self, places: Floats, most: float) -> Floats:
        """How far each place (n x 2) is from the edges, mm, but no more than `most`."""
        return self.nearest(places, most)[:, 2]

    def nearest(self, places: Floats, most: float) -> Floats:
        """The nearest place on the edges for each place, and how far it is: n x 3; where none is
        within `most` mm, the place itself and `most`.
        """
        return _nearest(places, most, self.edges, self.first, self.items, self.frame)


def dense(edges: Floats, longest: float) -> Floats:
    """Edges, n x 4, the long ones cut up."""
    start, way = edges[:, :2], edges[:, 2:] - edges[:, :2]
    count = np.maximum(1, np.ceil(np.hypot(way[:, 0], way[:, 1]) / longest)).astype(int)
    owner = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = (number / count[owner])[:, None]
    until = ((number + 1) / count[owner])[:, None]
    return np.hstack([start[owner] + share * way[owner], start[owner] + until * way[owner]])


@compiled
def _sorted(edges: Floats, frame: Floats) -> tuple[Ints, Ints]:
    """For each cell the first of its edges, and the edges cell by cell."""
    columns, rows = int(frame[3]), int(frame[4])
    first = np.zeros(columns * rows + 1, np.int64)
    items = np.empty(0, np.int64)
    for filling in (False, True):
        for n in range(len(edges)):
            x0, x1 = min(edges[n, 0], edges[n, 2]), max(edges[n, 0], edges[n, 2])
            y0, y1 = min(edges[n, 1], edges[n, 3]), max(edges[n, 1], edges[n, 3])
            for i in range(_cell(x0, frame[0], frame), _cell(x1, frame[0], frame) + 1):
                for j in range(_cell(y0, frame[1], frame), _cell(y1, frame[1], frame) + 1):
                    k = i * rows + j
                    if filling:
                        first[k] -= 1
                        items[first[k]] = n
                    else:
                        first[k] += 1
        if not filling:
            for k in range(1, len(first)):
                first[k] += first[k - 1]
            items = np.empty(first[-1], np.int64)
    return first, items


@compiled
def _cell(at: float, low: float, frame: Floats) -> int:
    """The column or row of a place."""
    found: int = math.floor((at - low) / frame[2])
    return found


@compiled
def _nearest(
    places: Floats, most: float, edges: Floats, first: Ints, items: Ints, frame: Floats
) -> Floats:
    found = np.empty((len(places), 3))
    for n in range(len(places)):
        x, y, d = _foot(places[n, 0], places[n, 1], most, edges, first, items, frame)
        found[n, 0], found[n, 1], found[n, 2] = x, y, d
    return found


@compiled
def _distance(
    x: float, y: float, most: float, edges: Floats, first: Ints, items: Ints, frame: Floats
) -> float:
    return _foot(x, y, most, edges, first, items, frame)[2]


@compiled
def _foot(
    x: float, y: float, most: float, edges: Floats, first: Ints, items: Ints, frame: Floats
) -> tuple[float, float, float]:
    """The nearest place on the edges, and how far it is; the place itself beyond `most`."""
    foot_x, foot_y = x, y
    columns, rows = int(frame[3]), int(frame[4])
    nearest = most * most
    i0, i1 = _cell(x - most, frame[0], frame), _cell(x + most, frame[0], frame)
    j0, j1 = _cell(y - most, frame[1], frame), _cell(y + most, frame[1], frame)
    for i in range(max(i0, 0), min(i1, columns - 1) + 1):
        for j in range(max(j0, 0), min(j1, rows - 1) + 1):
            for at in range(first[i * rows + j], first[i * rows + j + 1]):
                n = items[at]
                ax, ay = edges[n, 0] - x, edges[n, 1] - y
                wx, wy = edges[n, 2] - edges[n, 0], edges[n, 3] - edges[n, 1]
                long = wx * wx + wy * wy
                share = -(ax * wx + ay * wy) / long if long > 0 else 0.0
                share = min(max(share, 0.0), 1.0)
                ax, ay = ax + share * wx, ay + share * wy
                if ax * ax + ay * ay < nearest:
                    nearest = ax * ax + ay * ay
                    foot_x, foot_y = x + ax, y + ay
    return foot_x, foot_y, math.sqrt(nearest)


@compiled
def told(
    xy: Floats,
    rings: Ints,
    shells: Ints,
    square: Floats,
    longest: float,
    wall: float,
    edges: Floats,
    first: Ints,
    items: Ints,
    frame: Floats,
) -> Found:
    """What the edges of a tile's material are.

    Args:
        xy: the corners of its rings, n x 2, each ring closed.
        rings: where each ring begins, and the end of the last.
        shells: 1 for rings that are outside, 0 for holes.
        square: the tile: low x, low y, high x, high y.
        longest: edges are cut up that are longer, mm.
        wall: edges are walls whose middles are as near to the walls, mm.
        edges, first, items, frame: the grid of the walls.

    Returns:
        the edges, but for the cuts between tiles, n x 4, the material on their left; where fronts
        meet a wall at which they begin, n x 4, place and direction away; and where they end.
    """
    pieces = np.empty((2 * len(xy) + 16, 4))
    starts, ends = np.empty((len(xy), 4)), np.empty((len(xy), 4))
    count = begun = ended = 0
    kinds = np.empty(len(xy), np.int64)
    for ring in range(len(shells)):
        low, n = rings[ring], rings[ring + 1] - rings[ring] - 1
        double_area = 0.0
        for i in range(low + 1, low + n - 1):
            ax, ay = xy[i, 0] - xy[low, 0], xy[i, 1] - xy[low, 1]
            bx, by = xy[i + 1, 0] - xy[low, 0], xy[i + 1, 1] - xy[low, 1]
            double_area += ax * by - ay * bx
        # corner number i in the order that has the material on the left
        at, on = (low, 1) if (double_area > 0) == (shells[ring] > 0) else (low + n, -1)
        for i in range(n):
            ax, ay = xy[at + on * i, 0], xy[at + on * i, 1]
            bx, by = xy[at + on * (i + 1), 0], xy[at + on * (i + 1), 1]
            long = math.hypot(bx - ax, by - ay)
            seam = False
            for side in range(4):
                a, b = (ax, bx) if side % 2 == 0 else (ay, by)
                line = square[side]
                seam = seam or (abs(a - line) < ALONG_SEAM and abs(b - line) < ALONG_SEAM)
            if seam:
                # where a front meets a wall at a seam, what was beyond may have been a speck
                kinds[i] = SEAM if long > longest else SPECK
                continue
            mx, my = (ax + bx) / 2, (ay + by) / 2
            near = _distance(mx, my, 2 * wall, edges, first, items, frame) <= wall
            kinds[i] = WALL if near else 0
            parts = max(1, math.ceil(long / longest))
            while count + parts > len(pieces):
                more = np.empty((2 * len(pieces), 4))
                for k in range(count):
                    for c in range(4):
                        more[k, c] = pieces[k, c]
                pieces = more
            for k in range(parts):
                s, e = k / parts, (k + 1) / parts
                pieces[count, 0], pieces[count, 1] = ax + s * (bx - ax), ay + s * (by - ay)
                pieces[count, 2], pieces[count, 3] = ax + e * (bx - ax), ay + e * (by - ay)
                count += 1
        for i in range(n):
            if kinds[i] != 0:
                continue
            ax, ay = xy[at + on * i, 0], xy[at + on * i, 1]
            bx, by = xy[at + on * (i + 1), 0], xy[at + on * (i + 1), 1]
            long = max(math.hypot(bx - ax, by - ay), 1e-12)
            hx, hy = (bx - ax) / long, (by - ay) / long
            if kinds[_other(kinds, i, 1, n)] == WALL:
                starts[begun, 0], starts[begun, 1] = bx, by
                starts[begun, 2], starts[begun, 3] = -hx, -hy
                begun += 1
            if kinds[_other(kinds, i, -1, n)] == WALL:
                ends[ended, 0], ends[ended, 1], ends[ended, 2], ends[ended, 3] = ax, ay, hx, hy
                ended += 1
    return pieces[:count].copy(), starts[:begun].copy(), ends[:ended].copy()


@compiled
def _other(kinds: Ints, i: int, way: int, n: int) -> int:
    """The next edge, or the one before, that is no speck of a seam."""
    k = (i + way) % n
    while kinds[k] == SPECK:
        k = (k + way) % n
    return k


@compiled
def within(edges: Floats, x0: float, y0: float, x1: float, y1: float, hand: int) -> Floats:
    """Edges that begin in a box; for hand -1 in the mirror (x negated), turned round."""
    found = np.empty_like(edges)
    count = 0
    for n in range(len(edges)):
        if x0 < edges[n, 0] < x1 and y0 < edges[n, 1] < y1:
            a = 0 if hand > 0 else 2  # the material is to be on the left again
            found[count, 0], found[count, 1] = hand * edges[n, a], edges[n, a + 1]
            found[count, 2], found[count, 3] = hand * edges[n, 2 - a], edges[n, 3 - a]
            count += 1
    return found[:count].copy()
