"""What is left of the material while strokes are being cut, one after the other.

The one value in this package that changes: it is made, used and dropped inside one function. The
material is kept in tiles, so that a question about one place looks only at what lies near it.
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
from compiler.paths.sets import disc_segments, joined
from compiler.paths.task import Area
from compiler.paths.tiles import Tiles, boxes
from compiler.paths.ways import STANDS, UNSURE, Edges, Ways

SPECK = 0.004  # mm: half the width of what chords of disc and sweep leave along a rim
SLACK = 0.015  # mm: a link may touch what a row beside it has left by as much
TILE = 6.0  # of the radius: squares by which material and places are kept


class Progress:
    """Material at one depth, less what a cutter of this radius has swept so far."""

    def __init__(self, material: Area, radius: float) -> None:
        self.material = material
        self.radius = radius
        self._tiles = Tiles(material, TILE * radius)
        self._swept: list[BaseGeometry] = []
        self._edges: Edges | None = None
        self._ways = Ways(radius)
        self._places: dict[tuple[int, int], list[NDArray[np.float64]]] = {}
        self._gone_along: list[NDArray[np.float64]] = []  # not among the places as yet
        self._quads = disc_segments(radius)
        shapely.prepare(material)

    def cut(self, segments: Iterable[Segment]) -> None:
        """Sweep along the segments."""
        points = polyline(segments)
        if len(points) == 0:
            return
        parts = [part for part in _chunks(points, TILE * self.radius) if len(part) > 1]
        lines = np.array([LineString(part) for part in parts])
        swept = shapely.buffer(lines, self.radius, quad_segs=self._quads)
        for area, box in zip(swept, boxes(swept), strict=True):
            self._tiles.take_off(area, box)
        self._swept.extend(swept)
        for part in parts:
            self._ways.add(part)
        self._gone_along.append(points)

    def _remember(self, places: NDArray[np.float64]) -> None:
        """Where the centre has been, by squares."""
        size = TILE * self.radius
        cells = np.floor(places / size).astype(int)
        if (cells == cells[0]).all():
            self._places.setdefault((int(cells[0, 0]), int(cells[0, 1])), []).append(places)
            return
        for i, j in np.unique(cells, axis=0).tolist():
            there = places[(cells[:, 0] == i) & (cells[:, 1] == j)]
            self._places.setdefault((i, j), []).append(there)

    def copy(self) -> Progress:
        """The same, to be cut on without changing this one."""
        other = Progress(self.material, self.radius)
        other._tiles = self._tiles.copy()
        other._swept = list(self._swept)
        other._edges, other._ways = self._edges, self._ways.copy()
        other._gone_along = list(self._gone_along)
        other._places = {cell: list(places) for cell, places in self._places.items()}
        return other

    def left_in(self, area: BaseGeometry) -> Area:
        """Material still there within the area."""
        return self._tiles.left_in(area)

    def is_free(self, line: BaseGeometry, slack: float = SLACK) -> bool:
        """Whether the cutter, going along the line (or standing at the point), touches nothing.

        Touching by less than `slack` mm is let pass: links run along rows that are just cut.
        """
        reach = self.radius - slack
        if self._ways.surely_meets(shapely.get_coordinates(line), reach, self._material_edges()):
            return False
        low_x, low_y, high_x, high_y = line.bounds
        box = (low_x - reach, low_y - reach, high_x + reach, high_y + reach)
        swath: BaseGeometry | None = None
        for tile in self._tiles.meeting(box):
            if not shapely.dwithin(tile.area, line, reach):
                continue  # what is still to be taken off it only makes it less
            if swath is None:
                swath = line.buffer(reach, quad_segs=self._quads)
            rest = tile.left_in(swath, box)
            # chords of disc and sweep leave specks along the rim
            if not rest.is_empty and not rest.buffer(-SPECK).is_empty:
                return False
        return True

    def is_free_at(self, place: Point) -> bool:
        """Whether the cutter can come down there in air: here nothing is let pass."""
        return self.is_free(shapely.Point(place), slack=0.0)

    def visited_near(self, place: Point, within: float) -> NDArray[np.float64]:
        """Where the centre has been (n x 2, a third of the radius apart), no farther than that."""
        for points in self._gone_along:
            self._remember(spaced(points, self.radius / 3))
        self._gone_along.clear()
        size = TILE * self.radius
        low_i, high_i = int((place.x - within) // size), int((place.x + within) // size)
        low_j, high_j = int((place.y - within) // size), int((place.y + within) // size)
        found = [
            places
            for i in range(low_i, high_i + 1)
            for j in range(low_j, high_j + 1)
            for places in self._places.get((i, j), ())
        ]
        if not found:
            return np.empty((0, 2))
        all_near = np.concatenate(found)
        return all_near[np.hypot(all_near[:, 0] - place.x, all_near[:, 1] - place.y) <= within]

    def swept(self) -> Area:
        """Everything swept so far."""
        return joined(self._swept)

    def loaded(self, rim: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Which of the points (n x 2) lie in material that is still there."""
        told = self._ways.told(rim, self._material_edges())
        found: NDArray[np.bool_] = told == STANDS
        for k in np.flatnonzero(told == UNSURE).tolist():
            x, y = rim[k].tolist()
            near = [self._swept[i] for i in self._ways.near((x, y))]
            found[k] = not shapely.contains_xy(near, x, y).any()
        return found

    def _material_edges(self) -> Edges:
        if self._edges is None:
            self._edges = Edges.of(self.material)
        return self._edges


def _chunks(points: NDArray[np.float64], longest: float) -> list[NDArray[np.float64]]:
    """The polyline in pieces of about that length, so that each has a small box around it."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    marks = np.concatenate([[0.0], np.cumsum(steps)])
    count = max(1, math.ceil(marks[-1] / longest))
    if count == 1:
        return [points]
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
