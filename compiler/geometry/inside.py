"""Whether a point lies inside a region: exact crossings of a ray with lines and arcs."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable
from typing import TYPE_CHECKING, NamedTuple

from compiler.geometry.outline import Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Segment

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class _Rise(NamedTuple):
    """A stretch that only rises or only falls, from `low` to `high` in Y.

    A straight one has its X as `base + (y - low) * slope`. One on a circle round `base`, `height`
    has it at `base + slope * sqrt(square - (y - height)^2)`, with slope +1 or -1 for its side.
    """

    low: float
    high: float
    base: float
    slope: float
    height: float
    square: float  # of the radius; negative for a straight stretch

    def x_at(self, y: float) -> float:
        if self.square < 0.0:
            return self.base + (y - self.low) * self.slope
        rest = self.square - (y - self.height) ** 2
        return self.base + self.slope * math.sqrt(rest) if rest > 0.0 else self.base


class InsideTest:
    """A region, or any closed run of segments, made ready for many questions.

    Even-odd: right for every region, and for outlines of either sense. A point on the boundary
    itself may come out either way; ask `distance` where that matters.
    """

    def __init__(self, segments: Iterable[Segment]) -> None:
        rises = [rise for segment in segments for rise in _rises(segment)]
        self._rises = rises
        self._low = min((r.low for r in rises), default=0.0)
        self._high = max((r.high for r in rises), default=0.0)
        self._rows: list[list[_Rise]] = [[] for _ in range(max(1, min(len(rises), 512)))]
        self._per_mm = len(self._rows) / (self._high - self._low) if rises else 0.0
        for rise in rises:
            for row in range(self._row(rise.low), self._row(rise.high) + 1):
                self._rows[row].append(rise)

    def _row(self, y: float) -> int:
        return min(len(self._rows) - 1, int((y - self._low) * self._per_mm))

    def contains(self, point: Point) -> bool:
        """Whether the point is inside."""
        x, y = point
        if not self._low <= y < self._high:
            return False
        inside = False
        for rise in self._rows[self._row(y)]:
            if rise.low <= y < rise.high and rise.x_at(y) > x:
                inside = not inside
        return inside

    def contains_many(self, xy: NDArray[np.float64]) -> NDArray[np.bool_]:
        """The same for an array of shape (n, 2), as an array of n truths."""
        import numpy as np

        inside = np.zeros(len(xy), dtype=bool)
        if not self._rises:
            return inside
        order = np.argsort(xy[:, 1], kind="stable")
        x, y = xy[order, 0], xy[order, 1]
        for rise in self._rises:
            first, last = np.searchsorted(y, (rise.low, rise.high), side="left")
            if first == last:
                continue
            rows = y[first:last]
            if rise.square < 0.0:
                at = rise.base + (rows - rise.low) * rise.slope
            else:
                rest = np.maximum(rise.square - (rows - rise.height) ** 2, 0.0)
                at = rise.base + rise.slope * np.sqrt(rest)
            inside[order[first:last]] ^= at > x[first:last]
        return inside


def contains(region: Region, point: Point) -> bool:
    """Whether the point lies inside the region. For many points make one `InsideTest`."""
    return InsideTest(region.segments()).contains(point)


def contains_many(region: Region, xy: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Which rows of an array of shape (n, 2) lie inside the region."""
    return InsideTest(region.segments()).contains_many(xy)


def _rises(segment: Segment) -> Iterable[_Rise]:
    if not isinstance(segment, Arc):
        (ax, ay), (bx, by) = segment.start, segment.end
        if ay > by:
            ax, ay, bx, by = bx, by, ax, ay
        if ay < by:
            yield _Rise(ay, by, ax, (bx - ax) / (by - ay), 0.0, -1.0)
        return
    radius, (cx, cy) = segment.radius, segment.centre
    start, sweep = segment.start_angle, segment.sweep
    low, high = (start, start + sweep) if sweep > 0 else (start + sweep, start)
    first, last = (segment.start, segment.end) if sweep > 0 else (segment.end, segment.start)
    # cut where the tangent is level: at a quarter up and a quarter down
    cuts = [first.y]
    half = math.ceil((low - math.pi / 2) / math.pi + 1e-12)
    turns = []
    while math.pi / 2 + half * math.pi < high - 1e-12:
        turns.append(math.pi / 2 + half * math.pi)
        cuts.append(cy + radius if half % 2 == 0 else cy - radius)
        half += 1
    cuts.append(last.y)
    angles = [low, *turns, high]
    for i, (y0, y1) in enumerate(itertools.pairwise(cuts)):
        side = 1.0 if math.cos((angles[i] + angles[i + 1]) / 2) >= 0 else -1.0
        if y0 != y1:
            yield _Rise(min(y0, y1), max(y0, y1), cx, side, cy, radius * radius)
