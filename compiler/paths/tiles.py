"""An area that is cut at again and again, kept in square tiles: each question meets but a few."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from compiler.paths.sets import area_of
from compiler.paths.task import Area

LAP = 0.01  # mm that neighbouring tiles overlap, so that their parts join again without a crack
MANY = 6  # cuts that wait at a tile before they are taken off it

Box = tuple[float, float, float, float]


class Tile:
    """One square of the area, and the cuts that are still to be taken off it."""

    __slots__ = ("area", "bounds", "cuts")

    def __init__(self, area: Area) -> None:
        self.area = area
        self.cuts: list[BaseGeometry] = []
        self.bounds: list[Box] = []

    def left(self) -> Area:
        """What is there, all cuts taken off."""
        if self.cuts:
            left: BaseGeometry = self.area
            for cut in self.cuts:  # one by one: quicker than all in one, which reach far beyond
                if left.is_empty:
                    break
                left = left.difference(cut)
            self.area = area_of(left)
            self.cuts, self.bounds = [], []
        return self.area

    def left_in(self, window: BaseGeometry, box: Box) -> BaseGeometry:
        """What is there within the window, whose bounds are given."""
        if len(self.cuts) >= MANY:
            self.left()
        if self.area.is_empty or not self.area.intersects(window):
            return Polygon()
        there = self.area.intersection(window)
        # the last cut is the likeliest to have taken all of it
        for cut, bounds in zip(reversed(self.cuts), reversed(self.bounds), strict=True):
            if there.is_empty:
                break
            if _meet(bounds, box):
                there = there.difference(cut)
        return there

    def copy(self) -> Tile:
        """The same, to be cut at without changing this one."""
        other = Tile(self.area)
        other.cuts, other.bounds = list(self.cuts), list(self.bounds)
        return other


class Tiles:
    """An area in square tiles of a size, cut up as they are asked for."""

    def __init__(self, area: Area, size: float) -> None:
        self._whole = area
        self._size = size
        self._tiles: dict[tuple[int, int], Tile] = {}
        self._box: Box = area.bounds if not area.is_empty else (0.0, 0.0, -1.0, -1.0)

    def take_off(self, cut: BaseGeometry, box: Box) -> None:
        """The cut, with its bounds, is no longer part of the area."""
        for tile in self.meeting(box):
            tile.cuts.append(cut)
            tile.bounds.append(box)

    def left_in(self, window: BaseGeometry) -> Area:
        """What is left within the window."""
        if window.is_empty:
            return area_of(Polygon())
        box = window.bounds
        parts = [tile.left_in(window, box) for tile in self.meeting(box)]
        parts = [part for part in parts if not part.is_empty]
        if not parts:
            return area_of(Polygon())
        return area_of(parts[0] if len(parts) == 1 else shapely.union_all(parts))

    def meeting(self, box: Box) -> Iterator[Tile]:
        """The tiles that a box meets."""
        low_x, low_y = max(box[0], self._box[0]), max(box[1], self._box[1])
        high_x, high_y = min(box[2], self._box[2]), min(box[3], self._box[3])
        if low_x > high_x or low_y > high_y:
            return
        for i in range(int(low_x // self._size), int(high_x // self._size) + 1):
            for j in range(int(low_y // self._size), int(high_y // self._size) + 1):
                yield self._tile(i, j)

    def copy(self) -> Tiles:
        """The same, to be cut at without changing this one."""
        other = Tiles(self._whole, self._size)
        other._tiles = {at: tile.copy() for at, tile in self._tiles.items()}
        return other

    def _tile(self, i: int, j: int) -> Tile:
        tile = self._tiles.get((i, j))
        if tile is None:
            x, y, size = i * self._size, j * self._size, self._size
            square = shapely.box(x - LAP, y - LAP, x + size + LAP, y + size + LAP)
            area = square if self._whole.covers(square) else self._whole.intersection(square)
            tile = self._tiles[i, j] = Tile(area_of(area))
        return tile


def boxes(shapes: Iterable[BaseGeometry]) -> list[Box]:
    """The bounds of the shapes."""
    return [(a, b, c, d) for a, b, c, d in shapely.bounds(list(shapes)).tolist()]


def _meet(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
