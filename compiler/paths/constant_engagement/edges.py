"""Edges by the thousand: how far places are from walls, and which edges of the material are walls.

Of the areas' edges all have the inside on their left: so the nearest edge also tells the side.

The walls' edges are found by place in a grid of square cells: those of cell k are `items` from
`first[k]` to `first[k + 1]`. (A bucket grid; plane geometry.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.paths.task import Area

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Flags = NDArray[np.bool_]
Found = tuple[Floats, Floats, Floats, Floats]
Foot = tuple[float, float, float, float, int]  # place, distance, side, number of an edge
WALL, SEAM, SPECK = 1, 2, 3  # what an edge of the material is, if it is no front
ALONG_SEAM = 1e-7  # mm
ALIKE = 1 + 1e-9  # squares of distances that differ by less are those of one corner
NEXT = 1e-3  # mm: how near an edge is looked for where only the side is asked for
SEEN = 4.0  # sides of cells: an edge that is listed in a cell is nearer to all places in it
NONE: Ints = np.zeros(1, np.int64)


@dataclass(frozen=True, slots=True)
class Grid:
    """The edges of an area, n x 4, found by place; the area is on their left.

    `frame` is the grid's corner (2), the side of its cells, and how many columns and rows it has.
    `inner` is 1 for the cells without edges that lie inside. Edges follow each other ring by ring;
    `rings` has where each begins, and the end of the last.
    """

    edges: Floats
    first: Ints
    items: Ints
    frame: Floats
    inner: Ints
    rings: Ints

    @staticmethod
    def of(area: Area, side: float) -> Grid:
        """The edges of an area, in cells of a side, mm."""
        rings = shapely.get_rings(shapely.get_parts(shapely.orient_polygons(area)))
        xy, part = shapely.get_coordinates(rings, return_index=True)
        follows = part[:-1] == part[1:]
        edges, owner = dense(np.hstack([xy[:-1][follows], xy[1:][follows]]), side)
        if not len(edges):
            return Grid(edges, np.zeros(2, np.int64), NONE[:0], np.ones(5), NONE, NONE)
        low = np.minimum(edges[:, :2], edges[:, 2:]).min(axis=0)
        high = np.maximum(edges[:, :2], edges[:, 2:]).max(axis=0)
        columns, rows = (np.floor((high - low) / side).astype(int) + 1).tolist()
        frame = np.array([*low, side, columns, rows])
        first, items = _sorted(edges, frame)
        ring = part[:-1][follows][owner]
        begin = np.searchsorted(ring, np.arange(len(rings) + 1))
        return Grid(edges, first, items, frame, _inner(edges, first, items, frame), begin)

    def edge(self, x: float, y: float) -> int:
        """The number of the edge that is nearest to a place; there must be any."""
        most, place = 5 * float(self.frame[2]), np.array([[x, y]])
        while (number := int(self.nearest(place, most)[0, 3])) < 0:
            most *= 2
        return number

    def distance(self, places: Floats, most: float) -> Floats:
        """How far each place (n x 2) is from the edges, mm, but no more than `most`."""
        return np.abs(self.nearest(places, most)[:, 2])

    def nearest(self, places: Floats, most: float) -> Floats:
        """The nearest place on the edges for each place, how far it is, negative outside the area,
        and the number of the edge: n x 4; where none is within `most` mm, the place itself, `most`
        and -1.
        """
        return _nearest(places, most, self.edges, self.first, self.items, self.frame, self.inner)

    def inside(self, places: Floats) -> Flags:
        """Which of the places (n x 2) are inside the area."""
        found: Flags = self.nearest(places, NEXT)[:, 2] > 0
        return found

    def holds(self, path: Floats) -> bool:
        """Whether a path (n x 2) keeps inside the area."""
        return _holds(path, self.edges, self.first, self.items, self.frame, self.inner)


def dense(edges: Floats, longest: float) -> tuple[Floats, Ints]:
    """Edges, n x 4, the long ones cut up; and of which each is a part."""
    start, way = edges[:, :2], edges[:, 2:] - edges[:, :2]
    count = np.maximum(1, np.ceil(np.hypot(way[:, 0], way[:, 1]) / longest)).astype(int)
    owner = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    share = (number / count[owner])[:, None]
    until = ((number + 1) / count[owner])[:, None]
    cut = np.hstack([start[owner] + share * way[owner], start[owner] + until * way[owner]])
    return cut, owner


@compiled
def _sorted(edges: Floats, frame: Floats) -> tuple[Ints, Ints]:
    """For each cell the first of its edges, and the edges cell by cell."""
    columns, rows = int(frame[3]), int(frame[4])
    first = np.empty(columns * rows + 1, np.int64)
    first[:] = 0
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
def _inner(edges: Floats, first: Ints, items: Ints, frame: Floats) -> Ints:
    """For each cell 1 if it has no edges and is inside."""
    columns, rows = int(frame[3]), int(frame[4])
    inner = np.empty(columns * rows, np.int64)
    inner[:] = 0
    for i in range(columns):
        x = frame[0] + (i + 0.5) * frame[2]
        for j in range(1, rows):  # those at the rim are outside
            k = i * rows + j
            if first[k] < first[k + 1]:
                continue
            if first[k - 1] == first[k]:
                inner[k] = inner[k - 1]
            else:
                y = frame[1] + (j + 0.5) * frame[2]
                side = _foot(x, y, SEEN * frame[2], edges, first, items, frame)[3]
                inner[k] = 1 if side > 0 else 0
    return inner


@compiled
def _nearest(
    places: Floats,
    most: float,
    edges: Floats,
    first: Ints,
    items: Ints,
    frame: Floats,
    inner: Ints,
) -> Floats:
    found = np.empty((len(places), 4))
    for n in range(len(places)):
        x, y, d, side, number = _foot(places[n, 0], places[n, 1], most, edges, first, items, frame)
        if side == 0.0 and not _is_inside(x, y, edges, first, items, frame, inner):
            side = -1.0
        found[n, 0], found[n, 1], found[n, 2] = x, y, d if side >= 0 else -d
        found[n, 3] = number
    return found


@compiled
def _holds(
    path: Floats, edges: Floats, first: Ints, items: Ints, frame: Floats, inner: Ints
) -> bool:
    if not _is_inside(path[0, 0], path[0, 1], edges, first, items, frame, inner):
        return False
    columns, rows = int(frame[3]), int(frame[4])
    for n in range(len(path) - 1):
        px, py = path[n, 0], path[n, 1]
        wx, wy = path[n + 1, 0] - px, path[n + 1, 1] - py
        bits = max(1, math.ceil(math.hypot(wx, wy) / frame[2]))
        wx, wy = wx / bits, wy / bits
        if wx == 0.0 and wy == 0.0:
            continue
        for bit in range(bits):
            x0, y0 = px + bit * wx, py + bit * wy
            x1, y1 = x0 + wx, y0 + wy
            i0 = max(_cell(min(x0, x1), frame[0], frame), 0)
            i1 = min(_cell(max(x0, x1), frame[0], frame), columns - 1)
            j0 = max(_cell(min(y0, y1), frame[1], frame), 0)
            j1 = min(_cell(max(y0, y1), frame[1], frame), rows - 1)
            for i in range(i0, i1 + 1):
                for k in range(i * rows + j0, i * rows + j1 + 1):
                    for at in range(first[k], first[k + 1]):
                        if _crosses(x0, y0, x1, y1, edges[items[at]]):
                            return False
    return True


@compiled
def _crosses(x0: float, y0: float, x1: float, y1: float, edge: Floats) -> bool:
    """Whether a straight way crosses an edge, or touches it."""
    wx, wy = x1 - x0, y1 - y0
    ex, ey = edge[2] - edge[0], edge[3] - edge[1]
    a = wx * (edge[1] - y0) - wy * (edge[0] - x0)
    b = wx * (edge[3] - y0) - wy * (edge[2] - x0)
    c = ex * (y0 - edge[1]) - ey * (x0 - edge[0])
    d = ex * (y1 - edge[1]) - ey * (x1 - edge[0])
    meet: bool = a * b <= 0.0 and c * d <= 0.0
    return meet


@compiled
def _is_inside(
    x: float, y: float, edges: Floats, first: Ints, items: Ints, frame: Floats, inner: Ints
) -> bool:
    i, j = _cell(x, frame[0], frame), _cell(y, frame[1], frame)
    if i < 0 or j < 0 or i >= frame[3] or j >= frame[4]:
        return False
    k = i * int(frame[4]) + j
    if first[k] == first[k + 1]:
        empty: bool = inner[k] == 1
        return empty
    side = _foot(x, y, frame[2] / 2, edges, first, items, frame)[3]
    if side == 0.0:
        side = _foot(x, y, SEEN * frame[2], edges, first, items, frame)[3]
    return side > 0


@compiled
def _distance(
    x: float, y: float, most: float, edges: Floats, first: Ints, items: Ints, frame: Floats
) -> float:
    return _foot(x, y, most, edges, first, items, frame)[2]


@compiled
def _foot(
    x: float, y: float, most: float, edges: Floats, first: Ints, items: Ints, frame: Floats
) -> Foot:
    """The nearest place on the edges, how far it is, and the side: positive inside, negative
    outside; the edge's number. The place itself beyond `most`, no side, and -1.

    Where a corner is nearest, the one of its edges tells the side that is seen more from the side.
    Cells are looked at ring by ring, until none can hold anything as near.
    """
    columns, rows = int(frame[3]), int(frame[4])
    found = x, y, most * most, 0.0, -1
    i0, i1 = _cell(x - most, frame[0], frame), _cell(x + most, frame[0], frame)
    j0, j1 = _cell(y - most, frame[1], frame), _cell(y + most, frame[1], frame)
    i0, i1, j0, j1 = max(i0, 0), min(i1, columns - 1), max(j0, 0), min(j1, rows - 1)
    own_i, own_j = _cell(x, frame[0], frame), _cell(y, frame[1], frame)
    u, v = x - frame[0] - own_i * frame[2], y - frame[1] - own_j * frame[2]
    apart = min(u, v, frame[2] - u, frame[2] - v)  # how far off the cells round its own are
    for ring in range(max(own_i - i0, i1 - own_i, own_j - j0, j1 - own_j) + 1):
        if ring > 0:
            if apart > 0 and apart * apart > found[2] * ALIKE:
                break
            apart += frame[2]
        for i in range(max(i0, own_i - ring), min(i1, own_i + ring) + 1):
            at_side = ring == 0 or abs(i - own_i) == ring
            for j in range(own_j - ring, own_j + ring + 1, 1 if at_side else 2 * ring):
                if j0 <= j <= j1:
                    found = _nearer(x, y, i * rows + j, found, edges, first, items)
    foot_x, foot_y, nearest, side, number = found
    return foot_x, foot_y, math.sqrt(nearest), side, number


@compiled
def _nearer(
    x: float, y: float, cell: int, found: Foot, edges: Floats, first: Ints, items: Ints
) -> Foot:
    """What is found of the nearest edge, its distance squared, once a cell more is looked at."""
    foot_x, foot_y, nearest, side, number = found
    for at in range(first[cell], first[cell + 1]):
        n = items[at]
        ax, ay = edges[n, 0] - x, edges[n, 1] - y
        wx, wy = edges[n, 2] - edges[n, 0], edges[n, 3] - edges[n, 1]
        long = wx * wx + wy * wy
        share = -(ax * wx + ay * wy) / long if long > 0 else 0.0
        share = min(max(share, 0.0), 1.0)
        ax, ay = ax + share * wx, ay + share * wy
        square = ax * ax + ay * ay
        if square >= nearest * ALIKE:
            continue
        across = (wy * ax - wx * ay) / math.sqrt(max(long * square, 1e-300))
        if square * ALIKE < nearest or abs(across) > abs(side):
            side = across
        if square < nearest:
            nearest, number = square, n
            foot_x, foot_y = x + ax, y + ay
    return foot_x, foot_y, nearest, side, number


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
        the edges, but for the cuts between tiles, n x 4, the material on their left; those cuts;
        where fronts meet a wall at which they begin, n x 4, place and direction away; and where
        they end.
    """
    pieces, cuts = np.empty((2 * len(xy) + 16, 4)), np.empty((len(xy), 4))
    starts, ends = np.empty((len(xy), 4)), np.empty((len(xy), 4))
    count = cut = begun = ended = 0
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
                cuts, cut = _added(cuts, cut, ax, ay, bx, by, longest)
                continue
            mx, my = (ax + bx) / 2, (ay + by) / 2
            near = _distance(mx, my, 2 * wall, edges, first, items, frame) <= wall
            kinds[i] = WALL if near else 0
            pieces, count = _added(pieces, count, ax, ay, bx, by, longest)
        for i in range(n):
            if kinds[i] != 0:
                continue
            ax, ay = xy[at + on * i, 0], xy[at + on * i, 1]
            bx, by = xy[at + on * (i + 1), 0], xy[at + on * (i + 1), 1]
            long = max(math.hypot(bx - ax, by - ay), 1e-12)
            hx, hy = (bx - ax) / long, (by - ay) / long
            # a front that is cut off near a wall may meet it in the next tile's very corner, where
            # there is nothing of it left to see
            after, before = kinds[_other(kinds, i, 1, n)], kinds[_other(kinds, i, -1, n)]
            if after == WALL or (
                after == SEAM and _distance(bx, by, 3 * wall, edges, first, items, frame) < 2 * wall
            ):
                starts[begun, 0], starts[begun, 1] = bx, by
                starts[begun, 2], starts[begun, 3] = -hx, -hy
                begun += 1
            if before == WALL or (
                before == SEAM
                and _distance(ax, ay, 3 * wall, edges, first, items, frame) < 2 * wall
            ):
                ends[ended, 0], ends[ended, 1], ends[ended, 2], ends[ended, 3] = ax, ay, hx, hy
                ended += 1
    return pieces[:count], cuts[:cut], starts[:begun], ends[:ended]


@compiled
def _added(
    pieces: Floats, count: int, ax: float, ay: float, bx: float, by: float, longest: float
) -> tuple[Floats, int]:
    """An edge added to so many pieces, none longer than `longest`; and how many they are then."""
    parts = max(1, math.ceil(math.hypot(bx - ax, by - ay) / longest))
    if count + parts > len(pieces):
        more = np.empty((2 * len(pieces) + parts, 4))
        for n in range(count):
            for k in range(4):
                more[n, k] = pieces[n, k]
        pieces = more
    for k in range(parts):
        s, e = k / parts, (k + 1) / parts
        pieces[count, 0], pieces[count, 1] = ax + s * (bx - ax), ay + s * (by - ay)
        pieces[count, 2], pieces[count, 3] = ax + e * (bx - ax), ay + e * (by - ay)
        count += 1
    return pieces, count


@compiled
def _other(kinds: Ints, i: int, way: int, n: int) -> int:
    """The next edge, or the one before, that is no speck of a seam."""
    k = (i + way) % n
    while kinds[k] == SPECK:
        k = (k + way) % n
    return k
