"""What is left of the material while strokes are being cut, one after the other.

The one value in this package that changes: it is made, used and dropped inside one function. What
the cutter swept is kept as many small polygons, so that a question about one place looks only at
the few of them that lie near it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from compiler.geometry import Point, Segment
from compiler.paths.run import polyline
from compiler.paths.sets import area_of, disc_segments, joined
from compiler.paths.task import Area

SPECK = 0.004  # mm: half the width of what chords of disc and sweep leave along a rim
SLACK = 0.015  # mm: a link may touch what a row beside it has left by as much
Bounds = NDArray[np.float64]


class Progress:
    """Material at one depth, less what a cutter of this radius has swept so far."""

    def __init__(self, material: Area, radius: float) -> None:
        self.material = material
        self.radius = radius
        self._swept: list[BaseGeometry] = []
        self._bounds: Bounds = np.empty((64, 4))
        self._visited: list[NDArray[np.float64]] = []
        self._quads = disc_segments(radius)
        shapely.prepare(material)

    def cut(self, segments: Iterable[Segment]) -> None:
        """Sweep along the segments."""
        points = polyline(segments)
        if len(points) == 0:
            return
        lines = [LineString(part) for part in _chunks(points, 6 * self.radius) if len(part) > 1]
        swept = shapely.buffer(np.array(lines), self.radius, quad_segs=self._quads)
        count = len(self._swept)
        while count + len(swept) > len(self._bounds):
            self._bounds = np.concatenate([self._bounds, np.empty_like(self._bounds)])
        self._bounds[count : count + len(swept)] = shapely.bounds(swept)
        self._swept.extend(swept)
        self._visited.append(spaced(points, self.radius / 3))

    def copy(self) -> Progress:
        """The same, to be cut on without changing this one."""
        other = Progress(self.material, self.radius)
        other._swept = list(self._swept)
        other._bounds = self._bounds.copy()
        other._visited = list(self._visited)
        return other

    def left_in(self, area: BaseGeometry) -> Area:
        """Material still there within the area."""
        if not self.material.intersects(area):
            return area_of(shapely.Polygon())
        there = self.material.intersection(area)
        near = self._near(area.bounds)
        return area_of(there.difference(shapely.union_all(near)) if near else there)

    def is_free(self, line: BaseGeometry, slack: float = SLACK) -> bool:
        """Whether the cutter, going along the line (or standing at the point), touches nothing.

        Touching by less than `slack` mm is let pass: links run along rows that are just cut.
        """
        swath = line.buffer(self.radius - slack, quad_segs=self._quads)
        if not self.material.intersects(swath):
            return True
        # chords of disc and sweep leave specks along the rim
        rest = self.left_in(swath)
        return rest.is_empty or rest.buffer(-SPECK).is_empty

    def is_free_at(self, place: Point) -> bool:
        """Whether the cutter can come down there in air: here nothing is let pass."""
        return self.is_free(shapely.Point(place), slack=0.0)

    def visited(self) -> NDArray[np.float64]:
        """Places where the centre has been, a third of the radius apart."""
        return np.concatenate(self._visited) if self._visited else np.empty((0, 2))

    def swept(self) -> Area:
        """Everything swept so far."""
        return joined(self._swept)

    def loaded(self, rim: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which of the points (n x 2) lie in material that is still there."""
        found: NDArray[np.bool_] = shapely.contains_xy(self.material, rim[:, 0], rim[:, 1])
        if not found.any() or not self._swept:
            return found
        low, high = rim[found].min(axis=0), rim[found].max(axis=0)
        for area in self._near((low[0], low[1], high[0], high[1])):
            there = np.flatnonzero(found)
            if len(there) == 0:
                break
            shapely.prepare(area)
            found[there] &= ~shapely.contains_xy(area, rim[there, 0], rim[there, 1])
        return found

    def _near(self, box: tuple[float, float, float, float]) -> list[BaseGeometry]:
        bounds = self._bounds[: len(self._swept)]
        apart = (
            (bounds[:, 0] > box[2])
            | (bounds[:, 2] < box[0])
            | (bounds[:, 1] > box[3])
            | (bounds[:, 3] < box[1])
        )
        return [self._swept[i] for i in np.flatnonzero(~apart)]


def _chunks(points: NDArray[np.float64], longest: float) -> list[NDArray[np.float64]]:
    """The polyline in pieces of about that length, so that each has a small box around it."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    marks = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(1, math.ceil(marks[-1] / longest))
    cuts = np.unique(np.searchsorted(marks, np.linspace(0, marks[-1], count + 1)[1:-1]))
    starts = [0, *[int(i) for i in cuts if 0 < i < len(points) - 1]]
    ends = [*starts[1:], len(points) - 1]
    return [points[a : b + 1] for a, b in zip(starts, ends, strict=True)]


def spaced(points: NDArray[np.float64], pitch: float) -> NDArray[np.float64]:
    """Points about a pitch apart along the polyline, ends included."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    marks = np.concatenate([[0.0], np.cumsum(steps)])
    wanted = np.linspace(0, marks[-1], max(2, math.ceil(marks[-1] / pitch) + 1))
    return np.column_stack(
        [np.interp(wanted, marks, points[:, 0]), np.interp(wanted, marks, points[:, 1])]
    )
