"""A window on the work: what is open, what is left, and the fronts between."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.cutter import Cutter
from compiler.paths.constant_engagement.ground import Box, Tiles, areas, common, grown, without
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.task import Area

Points = NDArray[np.float64]
TOUCH = 1e-6  # mm; what overlay leaves between a line and its own copy


@dataclass(frozen=True, slots=True)
class Front:
    """A run of the edge between open and closed, walked with the open side on the left."""

    line: LineString
    closed: bool
    cut: bool  # goes on outside the window


@dataclass(slots=True)
class View:
    """The sets inside `box`: `centres` C, `material` left (a radius wider), `todo` T, `open` P."""

    box: Box
    centres: Area
    material: Area
    todo: Area
    open: Area
    _fronts: list[Front] | None = None
    _walls: BaseGeometry | None = None

    @property
    def walls(self) -> BaseGeometry:
        """The edge of the centres."""
        if self._walls is None:
            self._walls = self.centres.boundary
            shapely.prepare(self._walls)
        return self._walls

    def fronts(self) -> list[Front]:
        """All runs of the edge of `todo` that are no wall."""
        if self._fronts is None:
            self._fronts = self._find()
        return self._fronts

    def _find(self) -> list[Front]:
        found: list[Front] = []
        if self.todo.is_empty:
            return found
        walls = self.walls
        for polygon in shapely.get_parts(shapely.orient_polygons(self.todo)):
            for ring in (polygon.exterior, *polygon.interiors):
                found.extend(self._runs(shapely.get_coordinates(ring)[::-1], walls))
        return found

    def _runs(self, ring: Points, walls: BaseGeometry) -> list[Front]:
        free = ~on(walls, ring)
        found = []
        for run, closed in runs(ring, free):
            ends = run[[0, -1]]
            cut = not closed and bool(_at_edge(ends, self.box).any())
            found.append(Front(LineString(run), closed, cut))
        return found


def on(line: BaseGeometry, ring: Points, within: float = TOUCH) -> NDArray[np.bool_]:
    """For each edge of a ring, whether its middle lies on a line."""
    middles = (ring[:-1] + ring[1:]) / 2
    return np.asarray(shapely.dwithin(line, shapely.points(middles), within), dtype=np.bool_)


def runs(ring: Points, wanted: NDArray[np.bool_]) -> list[tuple[Points, bool]]:
    """Unbroken runs of the wanted edges of a closed ring, and whether one is the whole ring."""
    if wanted.all():
        return [(ring, True)]
    if not wanted.any():
        return []
    count = len(wanted)
    shift = int(np.argmin(wanted))  # start at an unwanted edge, so that no run is split
    turned = np.roll(wanted, -shift)
    change = np.diff(np.concatenate([[0], turned.astype(np.int8), [0]]))
    starts, stops = np.nonzero(change == 1)[0], np.nonzero(change == -1)[0]
    open_ring = ring[:-1]
    found = []
    for a, b in zip(starts, stops, strict=True):
        index = (np.arange(a, b + 1) + shift) % count
        found.append((open_ring[index], False))
    return found


def _at_edge(points: Points, box: Box) -> NDArray[np.bool_]:
    x, y = points[:, 0], points[:, 1]
    eps = 1e-6
    answer: NDArray[np.bool_] = (
        (np.abs(x - box[0]) < eps)
        | (np.abs(x - box[2]) < eps)
        | (np.abs(y - box[1]) < eps)
        | (np.abs(y - box[3]) < eps)
    )
    return answer


def look(centres: Tiles, material: Tiles, box: Box, cutter: Cutter) -> View:
    """The window `box` on the work.

    The open side is taken a film too wide: what chords leave on a wall is no work.
    """
    c = centres.within(box)
    m = material.within(grown(box, cutter.radius))
    view = View(box, c, m, Polygon(), c)
    refresh(view, cutter)
    return view


def refresh(view: View, cutter: Cutter) -> None:
    """Work `todo` and `open` out again from the material."""
    view._fronts = None
    if view.material.is_empty:
        view.todo, view.open = Polygon(), view.centres
        return
    reach = cutter.radius - cutter.film
    view.material = areas(view.material.simplify(cutter.tolerance))
    chords = quarter_chords(reach, 2 * cutter.tolerance)
    touching = view.material.buffer(reach, quad_segs=chords)
    view.todo = common(view.centres, touching)
    view.open = without(view.centres, touching)
