"""Finding what lies near, so that a few thousand segments stay quick."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from compiler.geometry.point import Point
from compiler.geometry.segment import Segment

Box = tuple[float, float, float, float]


def overlap(a: Box, b: Box, margin: float = 0.0) -> bool:
    """Whether two boxes (min x, min y, max x, max y) come within `margin` of each other."""
    return (
        a[0] <= b[2] + margin
        and b[0] <= a[2] + margin
        and a[1] <= b[3] + margin
        and b[1] <= a[3] + margin
    )


def apart(a: Box, b: Box) -> float:
    """Distance between two boxes, mm; 0 where they overlap."""
    dx = max(a[0] - b[2], b[0] - a[2], 0.0)
    dy = max(a[1] - b[3], b[1] - a[3], 0.0)
    return math.hypot(dx, dy)


def near_pairs(boxes: Sequence[Box], margin: float) -> Iterator[tuple[int, int]]:
    """Every pair i < j of boxes that come within `margin`, by a sweep along X."""
    order = sorted(range(len(boxes)), key=lambda i: (boxes[i][0], i))
    active: list[tuple[float, float, float, int]] = []
    for i in order:
        low_x, low_y, high_x, high_y = boxes[i]
        low_y, high_y, from_x = low_y - margin, high_y + margin, low_x - margin
        active = [kept for kept in active if kept[0] >= from_x]
        for _, other_low, other_high, j in active:
            if other_low <= high_y and other_high >= low_y:
                yield (i, j) if i < j else (j, i)
        active.append((high_x, boxes[i][1], boxes[i][3], i))


class BoxGrid:
    """Boxes by the cells of a square grid that they cover, each widened by `reach`."""

    def __init__(self, boxes: Sequence[Box], reach: float = 0.0) -> None:
        sizes = sorted(max(b[2] - b[0], b[3] - b[1]) for b in boxes)
        typical = sizes[len(sizes) // 2] if sizes else 1.0
        self._cell = max(reach, typical, (sizes[-1] if sizes else 1.0) / 64, 1e-6)
        self._cells: dict[tuple[int, int], list[int]] = {}
        for i, (low_x, low_y, high_x, high_y) in enumerate(boxes):
            widened = (low_x - reach, low_y - reach, high_x + reach, high_y + reach)
            for cell in self._covered(widened):
                self._cells.setdefault(cell, []).append(i)

    def _covered(self, box: Box) -> Iterator[tuple[int, int]]:
        x0, y0, x1, y1 = (int(value // self._cell) for value in box)
        for x in range(x0, x1 + 1):
            for y in range(y0, y1 + 1):
                yield (x, y)

    def around(self, point: Point) -> Sequence[int]:
        """Every box that comes within `reach` of the point, and some more, in their order."""
        return self._cells.get((int(point.x // self._cell), int(point.y // self._cell)), ())

    def touching(self, box: Box) -> list[int]:
        """Every box that comes within `reach` of the box, and some more, in their order."""
        return sorted({i for cell in self._covered(box) for i in self._cells.get(cell, ())})


class SegmentGrid:
    """Segments by where their boxes, widened by `reach`, are."""

    def __init__(self, segments: Sequence[Segment], reach: float) -> None:
        self._segments = segments
        self._grid = BoxGrid([segment.bounds for segment in segments], reach)

    def around(self, point: Point) -> Iterator[Segment]:
        """All segments whose box comes within `reach` of the point, and some more."""
        return (self._segments[i] for i in self._grid.around(point))

    def touching(self, box: Box) -> list[Segment]:
        """All segments whose box comes within `reach` of the box, and some more; in their order."""
        return [self._segments[i] for i in self._grid.touching(box)]
