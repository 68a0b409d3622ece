"""What no loop fits into: corners of the walls, and channels hardly wider than the cutter.

There the cutter goes along the wall itself, from air to air where it can, and as slowly as the
engaged angle asks for.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from compiler.paths.constant_engagement import rim
from compiler.paths.constant_engagement.ground import Box, areas, clipped, meet
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.left import Left
from compiler.paths.task import Area

Floats = NDArray[np.float64]
Stretch = tuple[int, float, float]  # the number of a wall, from where to where along it, mm
PITCH = 0.06  # of the radius, between looks
LEAD = 0.3  # of the radius: run on and off along the wall, where that is free
BEFORE_TURN = (0.0, 0.03, 0.1, 0.2)  # mm: what a corner holds is met on the last of the way
FILM = 0.02  # mm: material so thin is no work; walks have taken a hair more for gone than they cut
THIN = 0.1  # mm: a film that walks have left beside a wall
SHARP = 0.15  # rad: walls that are round turn less from chord to chord
SLIVER = 0.002  # mm: thinner is what chords leave
WORTH = 2e-5  # of the radius squared: less is dust


class Corners:
    """Runs along the walls of the centres, through what is left beside them."""

    def __init__(self, centres: Area, left: Left, radius: float, tolerance: float) -> None:
        self._left, self._radius, self._tolerance = left, radius, tolerance
        self._centres = centres
        self._walls = [
            LineString(ring)
            for polygon in shapely.get_parts(shapely.orient_polygons(centres))
            for ring in (polygon.exterior, *polygon.interiors)
        ]
        self._tree = shapely.STRtree(self._walls)

    def runs(self, narrowest: float, place: Box) -> Iterator[Floats]:
        """Rows x, y, hx, hy, engaged along walls in a place, where no circle of `narrowest` (mm)
        rolls.

        What a run clears is not taken away here; the next is found in what is left after it.
        """
        tried = set()
        # pieces that nothing was taken from are the same objects again; each is held on to, so that
        # no other has its number
        known: dict[int, tuple[Polygon, list[Stretch]]] = {}
        while True:
            for part in self._left.pieces.all():
                if not meet(part.bounds, place):
                    continue
                if id(part) not in known:
                    known[id(part)] = part, list(self._stretches(part, narrowest))
                fresh = [s for s in known[id(part)][1] if _key(s) not in tried]
                if fresh:
                    tried.add(_key(fresh[0]))
                    yield self._rows(*fresh[0])
                    break
            else:
                return

    def _stretches(self, part: Polygon, narrowest: float) -> Iterator[Stretch]:
        """From where to where along which walls a piece of the material is left that is narrow."""
        film = self._tolerance
        reach = self._radius - film
        if part.area < WORTH * self._radius**2 or part.buffer(-FILM / 2).is_empty:
            return
        near = part.buffer(reach, quad_segs=quarter_chords(reach, self._tolerance))
        thin = part.buffer(-THIN / 2).is_empty
        for piece in self._pieces(near, 0.0 if thin else narrowest):
            around = piece.buffer(3 * film, quad_segs=2)
            for i in self._tree.query(around).tolist():
                yield from _within(i, self._walls[i], around)

    def _pieces(self, near: Area, narrowest: float) -> list[Polygon]:
        """Where the centre must go, but for where a circle of the narrowest radius rolls."""
        todo = areas(near.intersection(clipped(self._centres, near.bounds)))
        if narrowest > 0:
            chords = quarter_chords(narrowest, self._tolerance)
            roomy = todo.buffer(-narrowest, quad_segs=chords)
            todo = areas(todo.difference(roomy.buffer(1.01 * narrowest, quad_segs=chords)))
        return [part for part in shapely.get_parts(todo) if part.area > SLIVER * part.length]

    def _rows(self, number: int, start: float, end: float) -> Floats:
        """A stretch of a wall with leads, in the wall's direction, and what it engages."""
        wall = self._walls[number]
        lead = LEAD * self._radius
        start, end = start - lead, end + lead
        count = max(4, math.ceil((end - start) / (PITCH * self._radius)))
        marks = np.linspace(start, end, count + 1)
        corners = shapely.line_locate_point(wall, _corners(wall))
        turns = [c + k * wall.length for c in corners for k in (-1, 0, 1)]
        turns = [t - before for t in turns for before in BEFORE_TURN if start < t - before < end]
        marks = np.union1d(marks, turns)
        places = shapely.get_coordinates(shapely.line_interpolate_point(wall, marks % wall.length))
        way = np.diff(places, axis=0)
        far = np.hypot(way[:, 0], way[:, 1])
        kept = np.concatenate([[True], far > 1e-6])
        places, way = places[kept], way[far > 1e-6] / far[far > 1e-6][:, None]
        way = np.vstack([way, way[-1:]])
        r = self._radius
        x0, y0 = places.min(axis=0) - 1.5 * r
        x1, y1 = places.max(axis=0) + 1.5 * r
        near = self._left.tiles.within((x0, y0, x1, y1))
        engaged = rim.engaged(places, way, near, r)
        return np.column_stack([places, way, engaged])


def _corners(wall: LineString) -> NDArray[np.object_]:
    """The places at which a closed wall turns sharply."""
    xy = shapely.get_coordinates(wall)[:-1]
    before, after = xy - np.roll(xy, 1, axis=0), np.roll(xy, -1, axis=0) - xy
    across = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
    turn = np.abs(np.arctan2(across, (before * after).sum(axis=1)))
    return np.asarray(shapely.points(xy[turn > SHARP]))


def _key(stretch: Stretch) -> Stretch:
    number, start, end = stretch
    return number, round(start, 2), round(end, 2)


def _within(number: int, wall: LineString, area: Area) -> Iterator[Stretch]:
    """From where to where along a closed wall it lies in an area."""
    for part in shapely.get_parts(shapely.line_merge(wall.intersection(area))):
        if part.geom_type != "LineString" or part.length < 1e-6:
            continue
        marks = [wall.project(shapely.Point(xy)) for xy in (part.coords[0], part.coords[-1])]
        middle = wall.project(part.interpolate(0.5, normalized=True))
        start, end = min(marks), max(marks)
        if not start <= middle <= end:  # it goes over the wall's own beginning
            start, end = end - wall.length, start
        yield number, start, end
