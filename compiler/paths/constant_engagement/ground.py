"""The state of the work: where the centre may be, and what material is left to clear.

Both are kept in square tiles, so that looking at a window and clearing a strip cost what the
window holds and not what the whole plate holds.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from compiler.paths.task import Area

Box = tuple[float, float, float, float]
NOTHING = Polygon()
EVERYWHERE: Box = (-math.inf, -math.inf, math.inf, math.inf)
GRID = 1e-6  # mm
NONE = 1e-9  # mm2: less is what overlays leave or take where areas do not meet


def grown(box: Box, by: float) -> Box:
    """A box with a margin on all sides."""
    return (box[0] - by, box[1] - by, box[2] + by, box[3] + by)


def overlap(a: Box, b: Box) -> Box:
    """The box that two overlapping boxes share."""
    return (max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3]))


def holds(outer: Box, inner: Box) -> bool:
    """Whether one box holds the other, edges included."""
    return overlap(grown(outer, 1e-6), inner) == inner


def meet(a: Box, b: Box) -> bool:
    """Whether two boxes have anything in common."""
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def aside(box: Box, x: float, y: float) -> float:
    """How far a place is from a box; 0 inside."""
    return math.hypot(max(box[0] - x, x - box[2], 0.0), max(box[1] - y, y - box[3], 0.0))


def gathered(boxes: Sequence[Box], apart: float) -> list[Box]:
    """Boxes round those that are nearer to each other than `apart`, which they have round them."""
    found: list[Box] = []
    for box in boxes:
        one = grown(box, apart / 2)
        while True:
            near = [other for other in found if meet(one, other)]
            if not near:
                break
            found = [other for other in found if not meet(one, other)]
            low, high = np.array([one, *near])[:, :2].min(axis=0), np.array([one, *near])[:, 2:]
            one = (*low.tolist(), *high.max(axis=0).tolist())
        found.append(one)
    return found


def areas(shape: BaseGeometry) -> Area:
    """Only the polygons of a mixed result of an overlay."""
    if shape.geom_type in ("Polygon", "MultiPolygon"):
        return shape  # type: ignore[return-value]
    parts = [g for g in shapely.get_parts(shape) if g.geom_type in ("Polygon", "MultiPolygon")]
    if not parts:
        return NOTHING
    return parts[0] if len(parts) == 1 else shapely.union_all(parts)  # type: ignore[return-value]


def clipped(area: Area, window: Box) -> Area:
    """The part of an area inside a box. The quick clip fails on some rings; then the exact one."""
    try:
        return areas(shapely.clip_by_rect(area, *window))
    except shapely.errors.GEOSException:
        return areas(area.intersection(shapely.box(*window)))


def _overlaid(overlay: Callable[..., BaseGeometry], a: BaseGeometry, b: BaseGeometry) -> Area:
    """An overlay of two areas; where the exact one fails, of mended areas on a fine grid."""
    try:
        return areas(overlay(a, b))
    except shapely.errors.GEOSException:
        mended = [areas(shapely.make_valid(shape)).buffer(0) for shape in (a, b)]
        return areas(overlay(*mended, grid_size=GRID))


def joined(a: Area, b: BaseGeometry) -> Area:
    """Both together."""
    return _overlaid(shapely.union, a, b)


def common(a: Area, b: BaseGeometry) -> Area:
    """What two areas share."""
    return _overlaid(shapely.intersection, a, b)


def without(a: Area, b: BaseGeometry) -> Area:
    """One area less another."""
    return _overlaid(shapely.difference, a, b)


def _each_without(cells: list[Area], area: Area) -> list[Area]:
    """Each of some areas less another one."""
    try:
        return [areas(cell) for cell in shapely.difference(cells, area).tolist()]
    except shapely.errors.GEOSException:
        return [without(cell, area) for cell in cells]


@dataclass(slots=True)
class Tiles:
    """An area cut into squares of side `size`, mm."""

    size: float
    origin: tuple[float, float] = (0.0, 0.0)
    cells: dict[tuple[int, int], Area] = field(default_factory=dict)

    @staticmethod
    def of(area: Area, size: float, origin: tuple[float, float] = (0.0, 0.0)) -> Tiles:
        """Cut an area up, a tile's corner at `origin`; in halves, so that no cut goes over all."""
        tiles = Tiles(size, origin)
        if area.is_empty:
            return tiles
        (i0, j0), (i1, j1) = tiles._range(area.bounds)
        tiles._split(area, i0, j0, i1 + 1, j1 + 1)
        return tiles

    def _range(self, box: Box) -> tuple[tuple[int, int], tuple[int, int]]:
        """The first and the last tile that a box lies in."""
        (x, y), size = self.origin, self.size
        first = math.floor((box[0] - x) / size), math.floor((box[1] - y) / size)
        return first, (math.floor((box[2] - x) / size), math.floor((box[3] - y) / size))

    def box(self, at: tuple[int, int]) -> Box:
        """The square of a tile."""
        (x, y), size = self.origin, self.size
        i, j = at
        return (x + i * size, y + j * size, x + (i + 1) * size, y + (j + 1) * size)

    def _split(self, area: Area, i0: int, j0: int, i1: int, j1: int) -> None:
        if area.is_empty:
            return
        if i1 - i0 == 1 and j1 - j0 == 1:
            self.cells[i0, j0] = area
            return
        if i1 - i0 >= j1 - j0:
            cut = (i0 + i1) // 2
            halves = [(i0, j0, cut, j1), (cut, j0, i1, j1)]
        else:
            cut = (j0 + j1) // 2
            halves = [(i0, j0, i1, cut), (i0, cut, i1, j1)]
        for a, b, c, d in halves:
            low, high = self.box((a, b)), self.box((c, d))
            part = clipped(area, (*low[:2], *high[:2]))
            self._split(part, a, b, c, d)

    def over(self, box: Box) -> Iterator[tuple[int, int]]:
        """The tiles that a box lies in, as far as they hold anything."""
        (i0, j0), (i1, j1) = self._range(box)
        for i in range(i0, i1 + 1):
            for j in range(j0, j1 + 1):
                if (i, j) in self.cells:
                    yield i, j

    def within(self, box: Box) -> Area:
        """The area inside a box."""
        parts = [clipped(self.cells[at], box) for at in self.over(box)]
        parts = [part for part in parts if not part.is_empty]
        if not parts:
            return NOTHING
        return parts[0] if len(parts) == 1 else areas(shapely.union_all(parts))

    def remove(self, area: Area) -> tuple[list[tuple[int, int]], float]:
        """Take an area away; the tiles that it took anything from, and what they held, mm2."""
        if area.is_empty:
            return [], 0.0
        over = list(self.over(area.bounds))
        cells = [self.cells[at] for at in over]
        left = _each_without(cells, area)
        held = shapely.area(cells)
        taken = np.flatnonzero(held - shapely.area(left) > NONE).tolist()
        for k in taken:
            if left[k].is_empty:
                del self.cells[over[k]]
            else:
                self.cells[over[k]] = left[k]
        return [over[k] for k in taken], float(held[taken].sum())

    @property
    def bounds(self) -> Box:
        """Round all that is left. Raises ValueError where nothing is."""
        boxes = [cell.bounds for cell in self.cells.values()]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )
