"""Where the cutter has been, and what of a material that surely takes away: loops over numbers.

What still stands is worked out with polygons (`tiles.py`), whose chords err by hundredths. Farther
than that from every rim the distance from the ways tells by itself whether a place is cut.
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
BANDS = 64  # into which the edges of a material are sorted by y
CHORDS = 0.02  # mm: polygons of what is cut lie inside the true ones by less
CLEAR = 0.009  # mm: material that reaches so far round a place stands for any question
LITTLE = 0.95  # cosine: a turn of 18 degrees
STANDS, GONE, UNSURE = 1, 0, 2


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of an area, n x 4; those of band k are `items` from `first[k]` to `first[k + 1]`.

    `frame` is the lowest y and the height of a band.
    """

    rows: Floats
    first: Ints
    items: Ints
    frame: Floats

    @staticmethod
    def of(area: Area) -> Edges:
        """The edges of all its rings."""
        rings = shapely.get_rings(shapely.get_parts(area))
        xy, part = shapely.get_coordinates(rings, return_index=True)
        follows = part[:-1] == part[1:]
        rows = np.hstack([xy[:-1][follows], xy[1:][follows]])
        low, high = (xy[:, 1].min(), xy[:, 1].max()) if len(xy) else (0.0, 1.0)
        frame = np.array([low, max(high - low, 1e-9) / BANDS])
        return Edges(rows, *_banded(rows, frame, BANDS), frame)


class Ways:
    """Chains of places along which the centre went, and how far the cutter reaches, mm."""

    def __init__(self, radius: float) -> None:
        self.radius = radius
        self.count = 0
        self._xy: Floats = np.empty((256, 2))
        self._first: Ints = np.zeros(32, np.int64)
        self._boxes: Floats = np.empty((32, 4))

    def add(self, chain: Floats) -> None:
        """One more chain, n x 2."""
        k, used = self.count, int(self._first[self.count])
        if k + 2 > len(self._first):
            self._first = np.concatenate([self._first, np.zeros(k + 2, np.int64)])
            self._boxes = np.concatenate([self._boxes, np.empty((k + 2, 4))])
        if used + len(chain) > len(self._xy):
            self._xy = np.concatenate([self._xy, np.empty((used + len(chain), 2))])
        self._xy[used : used + len(chain)] = chain
        self._first[k + 1] = used + len(chain)
        self._boxes[k, :2], self._boxes[k, 2:] = chain.min(axis=0), chain.max(axis=0)
        self.count += 1

    def copy(self) -> Ways:
        """The same, to be gone on without changing this one."""
        other = Ways(self.radius)
        other.count, other._first = self.count, self._first.copy()
        other._xy, other._boxes = self._xy.copy(), self._boxes.copy()
        return other

    def told(self, places: Floats, material: Edges) -> Ints:
        """For each place (n x 2) whether material stands there, is gone, or which is unsure."""
        return _told(places, *self._with(material))

    def near(self, place: tuple[float, float]) -> list[int]:
        """The numbers of the chains whose boxes come as near to a place as the cutter reaches."""
        (x, y), box, r = place, self._boxes[: self.count], self.radius
        across = (box[:, 0] - r <= x) & (x <= box[:, 2] + r)
        found: list[int] = np.flatnonzero(
            across & (box[:, 1] - r <= y) & (y <= box[:, 3] + r)
        ).tolist()
        return found

    def places_near(self, place: tuple[float, float], within: float, pitch: float) -> Floats:
        """Places along the chains (n x 2), both ends of each and others a pitch apart at most, that
        are no farther from a place than `within`, mm.
        """
        return _places_near(*place, within, pitch, self._xy, self._first, self._boxes, self.count)

    def surely_meets(self, line: Floats, reach: float, material: Edges) -> bool:
        """Whether what surely stands comes within a reach of a line (n x 2; one place: a point).

        Looked for at places beside the line: no is no answer.
        """
        return _meets(line, reach - CHORDS, *self._with(material))

    def _with(
        self, material: Edges
    ) -> tuple[float, Floats, Ints, Ints, Floats, Floats, Ints, Floats, int]:
        """The cutter, the material and the ways as the loops take them."""
        edges = (material.rows, material.first, material.items, material.frame)
        return (self.radius, *edges, self._xy, self._first, self._boxes, self.count)


@compiled
def _banded(rows: Floats, frame: Floats, bands: int) -> tuple[Ints, Ints]:
    """For each band the first of its edges, and the edges band by band."""
    first = np.empty(bands + 1, np.int64)
    first[:] = 0
    items = np.empty(0, np.int64)
    for filling in (False, True):
        for n in range(len(rows)):
            low, high = min(rows[n, 1], rows[n, 3]), max(rows[n, 1], rows[n, 3])
            for k in range(_band(low, frame, bands), _band(high, frame, bands) + 1):
                if filling:
                    first[k] -= 1
                    items[first[k]] = n
                else:
                    first[k] += 1
        if not filling:
            for k in range(1, bands + 1):
                first[k] += first[k - 1]
            items = np.empty(first[-1], np.int64)
    return first, items


@compiled
def _band(y: float, frame: Floats, bands: int) -> int:
    found: int = min(max(math.floor((y - frame[0]) / frame[1]), 0), bands - 1)
    return found


@compiled
def _inside(x: float, y: float, rows: Floats, first: Ints, items: Ints, frame: Floats) -> bool:
    """Whether a place is in the material: so many edges lie to its right (Jordan's theorem)."""
    inside = False
    k = _band(y, frame, len(first) - 1)
    for at in range(first[k], first[k + 1]):
        n = items[at]
        ay, by = rows[n, 1], rows[n, 3]
        if (ay > y) != (by > y) and rows[n, 0] + (y - ay) / (by - ay) * (
            rows[n, 2] - rows[n, 0]
        ) > x:
            inside = not inside
    return inside


@compiled
def _square(x: float, y: float, x0: float, y0: float, x1: float, y1: float) -> float:
    """The square of a place's distance from a straight way, mm2."""
    wx, wy = x1 - x0, y1 - y0
    long = wx * wx + wy * wy
    ax, ay = x0 - x, y0 - y
    if long > 0:
        share = min(max(-(ax * wx + ay * wy) / long, 0.0), 1.0)
        ax, ay = ax + share * wx, ay + share * wy
    return ax * ax + ay * ay


@compiled
def _listed(
    x0: float, y0: float, x1: float, y1: float, reach: float, boxes: Floats, count: int
) -> Ints:
    """The chains whose boxes come within a reach of a box; the last ones first."""
    found = np.empty(count, np.int64)
    many = 0
    for k in range(count - 1, -1, -1):
        if (
            boxes[k, 0] - reach <= x1
            and x0 <= boxes[k, 2] + reach
            and boxes[k, 1] - reach <= y1
            and y0 <= boxes[k, 3] + reach
        ):
            found[many] = k
            many += 1
    return found[:many]


@compiled
def _from_ways(
    x: float,
    y: float,
    inner: float,
    outer: float,
    listed: Ints,
    xy: Floats,
    first: Ints,
    boxes: Floats,
) -> float:
    """How far a place is from the chains listed, mm: at most `outer`; `inner` where it is less."""
    least = outer * outer
    for k in listed:
        if (
            boxes[k, 0] - outer > x
            or boxes[k, 2] + outer < x
            or boxes[k, 1] - outer > y
            or boxes[k, 3] + outer < y
        ):
            continue
        for n in range(first[k], first[k + 1] - 1):
            square = _square(x, y, xy[n, 0], xy[n, 1], xy[n + 1, 0], xy[n + 1, 1])
            if square < least:
                if square <= inner * inner:
                    return inner
                least = square
    return math.sqrt(least)


@compiled
def _told(
    places: Floats,
    radius: float,
    rows: Floats,
    first_row: Ints,
    items: Ints,
    frame: Floats,
    xy: Floats,
    first: Ints,
    boxes: Floats,
    count: int,
) -> Ints:
    found = np.empty(len(places), np.int64)
    x0 = y0 = math.inf
    x1 = y1 = -math.inf
    for n in range(len(places)):
        x0, x1 = min(x0, places[n, 0]), max(x1, places[n, 0])
        y0, y1 = min(y0, places[n, 1]), max(y1, places[n, 1])
    inner, outer = radius - CHORDS, radius + 1e-6
    listed = _listed(x0, y0, x1, y1, outer, boxes, count)
    for n in range(len(places)):
        x, y = places[n, 0], places[n, 1]
        found[n] = GONE
        if _inside(x, y, rows, first_row, items, frame):
            far = _from_ways(x, y, inner, outer, listed, xy, first, boxes)
            if far >= outer:
                found[n] = STANDS
            elif far > inner:
                found[n] = UNSURE
    return found


@compiled
def _stands(
    x: float,
    y: float,
    radius: float,
    rows: Floats,
    first_row: Ints,
    items: Ints,
    frame: Floats,
    listed: Ints,
    xy: Floats,
    first: Ints,
    boxes: Floats,
) -> bool:
    """Whether material surely stands at a place and `CLEAR` round it."""
    if not _inside(x, y, rows, first_row, items, frame):
        return False
    outer = radius + CLEAR
    if _from_ways(x, y, radius, outer, listed, xy, first, boxes) < outer:
        return False
    bands = len(first_row) - 1
    for k in range(_band(y - CLEAR, frame, bands), _band(y + CLEAR, frame, bands) + 1):
        for at in range(first_row[k], first_row[k + 1]):
            n = items[at]
            square = _square(x, y, rows[n, 0], rows[n, 1], rows[n, 2], rows[n, 3])
            if square <= CLEAR * CLEAR:
                return False
    return True


@compiled
def _meets(
    line: Floats,
    reach: float,
    radius: float,
    rows: Floats,
    first_row: Ints,
    items: Ints,
    frame: Floats,
    xy: Floats,
    first: Ints,
    boxes: Floats,
    count: int,
) -> bool:
    if reach <= 0 or len(rows) == 0:
        return False
    x0 = y0 = math.inf
    x1 = y1 = -math.inf
    for n in range(len(line)):
        x0, x1 = min(x0, line[n, 0]), max(x1, line[n, 0])
        y0, y1 = min(y0, line[n, 1]), max(y1, line[n, 1])
    listed = _listed(x0 - reach, y0 - reach, x1 + reach, y1 + reach, radius + CLEAR, boxes, count)
    # all round each sharp corner and each end, at two distances
    last = len(line) - 1
    for n in range(last + 1):
        if 0 < n < last and _goes_on(line, n):
            continue
        for k in range(33):
            far = 0.0 if k == 32 else (reach if k % 2 == 0 else 0.6 * reach)
            turn = (k // 2) * math.pi / 8
            x, y = line[n, 0] + far * math.cos(turn), line[n, 1] + far * math.sin(turn)
            if _stands(x, y, radius, rows, first_row, items, frame, listed, xy, first, boxes):
                return True
    # and beside the line, at even places along all of it
    pitch = 0.3 * radius
    ahead = pitch
    for n in range(last):
        wx, wy = line[n + 1, 0] - line[n, 0], line[n + 1, 1] - line[n, 1]
        long = math.hypot(wx, wy)
        while ahead < long:
            for side in range(-2, 3):
                off = 0.5 * side * reach / long
                x = line[n, 0] + ahead / long * wx - off * wy
                y = line[n, 1] + ahead / long * wy + off * wx
                if _stands(x, y, radius, rows, first_row, items, frame, listed, xy, first, boxes):
                    return True
            ahead += pitch
        ahead -= long
    return False


@compiled
def _goes_on(line: Floats, n: int) -> bool:
    """Whether a line turns little at one of its places, as along the chords of an arc."""
    ax, ay = line[n, 0] - line[n - 1, 0], line[n, 1] - line[n - 1, 1]
    bx, by = line[n + 1, 0] - line[n, 0], line[n + 1, 1] - line[n, 1]
    lengths = math.hypot(ax, ay) * math.hypot(bx, by)
    return bool(ax * bx + ay * by > LITTLE * lengths)


@compiled
def _places_near(
    x: float,
    y: float,
    within: float,
    pitch: float,
    xy: Floats,
    first: Ints,
    boxes: Floats,
    count: int,
) -> Floats:
    listed = _listed(x, y, x, y, within, boxes, count)
    most = 0
    for k in listed:
        most += first[k + 1] - first[k] + math.ceil(_length(xy, first[k], first[k + 1]) / pitch) + 1
    found = np.empty((most, 2))
    many = 0
    for at in range(len(listed) - 1, -1, -1):  # in the order in which they were gone along
        k = listed[at]
        length = _length(xy, first[k], first[k + 1])
        apart = length / max(1, math.ceil(length / pitch))
        ahead = 0.0  # from the start of the edge to the next place
        for n in range(first[k], first[k + 1] - 1):
            ax, ay, bx, by = xy[n, 0], xy[n, 1], xy[n + 1, 0], xy[n + 1, 1]
            long = math.hypot(bx - ax, by - ay)
            last = n + 2 == first[k + 1]
            while ahead < long or (last and ahead <= long + apart / 2):
                t = min(ahead / long, 1.0) if long > 0 else 1.0
                px, py = ax + t * (bx - ax), ay + t * (by - ay)
                if (px - x) ** 2 + (py - y) ** 2 <= within * within:
                    found[many, 0], found[many, 1] = px, py
                    many += 1
                ahead += apart
                if apart == 0.0:
                    break
            ahead -= long
    return found[:many]


@compiled
def _length(xy: Floats, start: int, end: int) -> float:
    """Of the chain in rows from the one to before the other, mm."""
    total = 0.0
    for n in range(start, end - 1):
        total += math.hypot(xy[n + 1, 0] - xy[n, 0], xy[n + 1, 1] - xy[n, 1])
    return total
