"""What is left of the material while strokes are being cut, one after the other.

The one value in this package that changes: it is made, used and dropped inside one function. The
material is kept in tiles, so that a question about one place looks only at what lies near it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from hashlib import blake2b
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from compiler.geometry import Point, Segment
from compiler.paths.chords import broken
from compiler.paths.run import polyline
from compiler.paths.sets import disc_segments, joined
from compiler.paths.task import Area
from compiler.paths.tiles import Tiles, boxes
from compiler.paths.ways import STANDS, UNSURE, Edges, Ways

Floats = NDArray[np.float64]
SPECK = 0.004  # mm: half the width of what chords of disc and sweep leave along a rim
SLACK = 0.015  # mm: a link may touch what a row beside it has left by as much
TILE = 6.0  # of the radius: squares by which material and places are kept


class Progress:
    """Material at one depth, less what a cutter of this radius has swept so far."""

    def __init__(self, material: Area, radius: float) -> None:
        self.material = material
        self.radius = radius
        self.mark = b""  # the same for the same cuts in the same order
        self._tiles = Tiles(material, TILE * radius)
        self._swept: list[BaseGeometry] = []
        self._edges: Edges | None = None
        self._ways = Ways(radius)
        self._quads = disc_segments(radius)
        shapely.prepare(material)

    def cut(self, segments: Iterable[Segment]) -> None:
        """Sweep along the segments."""
        points = polyline(segments)
        if len(points) < 2:
            return
        self.mark = blake2b(points.tobytes(), key=self.mark, digest_size=16).digest()
        parts = _chunks(points, TILE * self.radius)
        lines = np.array([LineString(part) for part in parts])
        swept = shapely.buffer(lines, self.radius, quad_segs=self._quads)
        for area, box in zip(swept, boxes(swept), strict=True):
            self._tiles.take_off(area, box)
        self._swept.extend(swept)
        for part in parts:
            self._ways.add(part)

    def copy(self) -> Progress:
        """The same, to be cut on without changing this one."""
        other = Progress(self.material, self.radius)
        other._tiles = self._tiles.copy()
        other.mark = self.mark
        other._swept = list(self._swept)
        other._edges, other._ways = self._edges, self._ways.copy()
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

    def visited_near(self, place: Point, within: float) -> Floats:
        """Where the centre has been (n x 2, a third of the radius apart), no farther than that."""
        return self._ways.places_near(place, within, self.radius / 3)

    def swept(self) -> Area:
        """Everything swept so far."""
        return joined(self._swept)

    def loaded(self, rim: Floats) -> NDArray[np.bool_]:
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


def _chunks(points: Floats, longest: float) -> list[Floats]:
    """The polyline in pieces of about that length, so that each has a small box around it."""
    bounds = broken(points, longest).tolist()
    return [points[a : b + 1] for a, b in pairwise(bounds)]


def spaced(points: Floats, pitch: float) -> Floats:
    """Points about a pitch apart along the polyline, ends included."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    marks = np.concatenate([[0.0], np.cumsum(steps)])
    wanted = np.linspace(0, marks[-1], max(2, math.ceil(marks[-1] / pitch) + 1))
    return np.column_stack(
        [np.interp(wanted, marks, points[:, 0]), np.interp(wanted, marks, points[:, 1])]
    )
