"""An independent look at motions: a height map that the cutter's disc is pressed into.

numpy only, no sets and no offsets: what the planner decides with polygons is asked again here of
a raster. Pitch and sampling are stated; the disc is taken smaller by what they can't resolve.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Arc
from compiler.geometry.inside import contains_many
from compiler.motion import Motions, Move, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Part

PITCH = 0.8  # mm
BLIND = 0.3  # mm: rim contact below this is not seen


@dataclass
class Seen:
    """What was met on the way: contacts where there should be none."""

    rapids: list[Point3] = field(default_factory=list)
    plunges: list[Point3] = field(default_factory=list)
    links: list[Point3] = field(default_factory=list)


class Heights:
    """The stock as heights over a grid of points."""

    def __init__(self, part: Part) -> None:
        x0, y0, x1, y1 = part.stock.bounds
        self.x = np.arange(x0 + PITCH / 2, x1, PITCH)
        self.y = np.arange(y0 + PITCH / 2, y1, PITCH)
        xx, yy = np.meshgrid(self.x, self.y)
        inside = contains_many(part.stock, np.column_stack([xx.ravel(), yy.ravel()]))
        self.z: NDArray[np.float64] = np.where(
            inside.reshape(xx.shape), part.stock_top, part.stock_bottom
        )
        self.inside = inside.reshape(xx.shape)

    def highest_under(self, at: Point3, radius: float) -> float:
        """Top of what the disc covers; minus infinity over air."""
        rows, columns, near = self._disc(at, radius)
        heights = self.z[rows, columns][near & self.inside[rows, columns]]
        return float(heights.max()) if heights.size else -math.inf

    def press(self, at: Point3, radius: float) -> None:
        """Take away what is above the tip within the disc."""
        rows, columns, near = self._disc(at, radius)
        window = self.z[rows, columns]
        window[near & (window > at.z)] = at.z

    def _disc(self, at: Point3, radius: float) -> tuple[slice, slice, NDArray[np.bool_]]:
        rows = slice(*np.searchsorted(self.y, [at.y - radius, at.y + radius]))
        columns = slice(*np.searchsorted(self.x, [at.x - radius, at.x + radius]))
        dx, dy = self.x[columns] - at.x, self.y[rows] - at.y
        return rows, columns, (dx[None, :] ** 2 + dy[:, None] ** 2) <= radius**2


def replay(motions: Motions, part: Part, radii: dict[str, float]) -> tuple[Heights, Seen]:
    """Cut the stock with the motions; `radii` by tool name."""
    heights, seen = Heights(part), Seen()
    for path in motions.paths:
        radius = radii[path.tool]
        at: Point3 | None = None
        for move in path.moves:
            for place in samples(at, move):
                _look(heights, seen, move, place, radius)
                if not isinstance(move, Rapid):
                    heights.press(place, radius)
            at = move.to
    return heights, seen


def _look(heights: Heights, seen: Seen, move: Move, place: Point3, radius: float) -> None:
    top = heights.highest_under(place, radius - BLIND)
    if top <= place.z + 1e-6:
        return
    if isinstance(move, Rapid):
        seen.rapids.append(place)
    elif move.role is Role.PLUNGE:
        seen.plunges.append(place)
    elif move.role is Role.LINK:
        seen.links.append(place)


def samples(at: Point3 | None, move: Move, pitch: float = 1.0) -> Iterator[Point3]:
    """Places along a move, its end included."""
    if at is None:
        yield move.to
        return
    if isinstance(move, Turn):
        arc = Arc(at.xy, move.to.xy, move.centre, move.ccw)
        count = max(1, math.ceil(arc.length / pitch))
        for k in range(1, count + 1):
            xy = arc.at(k / count)
            yield Point3(xy.x, xy.y, at.z + (move.to.z - at.z) * k / count)
        return
    length = math.dist((at.x, at.y, at.z), (move.to.x, move.to.y, move.to.z))
    count = max(1, math.ceil(length / pitch))
    for k in range(1, count + 1):
        t = k / count
        yield Point3(
            at.x + t * (move.to.x - at.x),
            at.y + t * (move.to.y - at.y),
            at.z + t * (move.to.z - at.z),
        )


def segments(motions: Motions) -> Iterator[tuple[str, Move, Point3]]:
    """Every fed move with where it starts, by tool."""
    for path in motions.paths:
        at: Point3 | None = None
        for move in path.moves:
            if at is not None and isinstance(move, Straight | Turn):
                yield path.tool, move, at
            at = move.to
