"""Exact distances between moves and outlines: lines and arcs, many moves against one outline.

Plane geometry in the closed, pair by pair in `judge.apart`. Arrays run over moves; millimetres.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from compiler.geometry import Line, Region, Segment
from compiler.judge.apart import WIDTH, to_nearest, to_outline
from compiler.judge.inside import Flags, Floats, contains

Box = tuple[Floats, Floats, Floats, Floats]


@dataclass(frozen=True, slots=True)
class Tracks:
    """Paths of tool centres seen from above, one entry each; straight where `radius` is 0."""

    ax: Floats
    ay: Floats
    bx: Floats
    by: Floats
    cx: Floats
    cy: Floats
    radius: Floats
    start: Floats  # angle from the centre, rad
    sweep: Floats  # rad, signed
    box: Box | None = None  # where it is asked for often: `bounded`

    def __len__(self) -> int:
        return int(self.ax.size)

    def take(self, at: npt.NDArray[np.int64] | Flags) -> Tracks:
        """Some of them."""
        box = None if self.box is None else _some(self.box, at)
        some = Tracks(*(getattr(self, name)[at] for name in self.__slots__[:-1]))
        return some if box is None else replace(some, box=box)

    def bounded(self) -> Tracks:
        """The same with its boxes worked out once."""
        return replace(self, box=self.bounds())

    def bounds(self) -> Box:
        """The boxes of the tracks, arcs as far as they sweep: low x, low y, high x, high y."""
        if self.box is not None:
            return self.box
        arc = self.radius > 0

        def reached(dx: float, dy: float) -> Flags:
            return arc & _in_sweep(dx, dy, self.start, self.sweep)

        low_x, high_x = np.minimum(self.ax, self.bx), np.maximum(self.ax, self.bx)
        low_y, high_y = np.minimum(self.ay, self.by), np.maximum(self.ay, self.by)
        return (
            np.where(reached(-1, 0), np.minimum(low_x, self.cx - self.radius), low_x),
            np.where(reached(0, -1), np.minimum(low_y, self.cy - self.radius), low_y),
            np.where(reached(1, 0), np.maximum(high_x, self.cx + self.radius), high_x),
            np.where(reached(0, 1), np.maximum(high_y, self.cy + self.radius), high_y),
        )

    def rows(self) -> Floats:
        """The same as rows of `judge.apart`."""
        columns = (getattr(self, name) for name in self.__slots__[:-1])
        return np.ascontiguousarray(np.stack([*columns, *self.bounds()], axis=1))


def distance_to_region(tracks: Tracks, region: Region, reach: float) -> Floats:
    """Least distance of each track to the region, negative inside by the depth of its start.

    Only distances up to `reach` are worked out; further ones come back as infinity.
    """
    found = np.full(len(tracks), math.inf)
    if region.is_empty or not len(tracks):
        return found
    at = np.flatnonzero(comes_near(tracks, region, reach))
    if at.size:
        found[at] = _to_region(tracks.take(at), region, reach)
    return found


def comes_near(tracks: Tracks, region: Region, reach: float) -> Flags:
    """Which tracks may come within reach of a region, by their boxes."""
    return _boxes_meet(tracks.bounds(), region.bounds, reach)


def _some(box: Box, at: npt.NDArray[np.int64] | Flags) -> Box:
    low_x, low_y, high_x, high_y = box
    return low_x[at], low_y[at], high_x[at], high_y[at]


def _boxes_meet(box: Box, other: tuple[float, float, float, float], reach: float) -> Flags:
    """Which boxes come within reach of another; none whose bounds are not known."""
    low_x, low_y, high_x, high_y = box
    x0, y0, x1, y1 = other
    beside = (low_x <= x1 + reach) & (high_x >= x0 - reach)
    return np.asarray(beside & (low_y <= y1 + reach) & (high_y >= y0 - reach))


def _to_region(tracks: Tracks, region: Region, reach: float) -> Floats:
    """The distances of tracks that come near a region."""
    found, outline = np.empty(len(tracks)), _rows(region.segments())
    to_outline(tracks.rows(), outline, reach, found)
    for x, y in ((tracks.ax, tracks.ay), (tracks.bx, tracks.by)):
        deep = contains(region, x, y)
        if deep.any():
            depth = np.empty(int(deep.sum()))
            to_nearest(x[deep], y[deep], outline, depth)
            found[deep] = np.minimum(found[deep], -depth)
    return found


def distance_to_segment(tracks: Tracks, segment: Segment) -> Floats:
    """Distance of each track to one segment of an outline."""
    found = np.empty(len(tracks))
    to_outline(tracks.rows(), _rows([segment]), math.inf, found)
    return found


def _rows(segments: Iterable[Segment]) -> Floats:
    """Segments as `judge.apart` has stretches."""
    rows: list[tuple[float, ...]] = []
    for s in segments:
        turn = (0.0,) * 5
        if not isinstance(s, Line):
            turn = (*s.centre, s.radius, s.start_angle, s.sweep)
        rows.append((*s.start, *s.end, *turn, *s.bounds))
    return np.array(rows, dtype=np.float64).reshape(len(rows), WIDTH)


def _in_sweep(dx: float, dy: float, start: Floats, sweep: Floats) -> Flags:
    """Whether a direction from the centres falls in sweeps."""
    turn = np.arctan2(dy, dx) - start
    turn = np.where(sweep < 0, -turn, turn)
    return np.asarray(np.mod(turn, math.tau) <= np.abs(sweep) + 1e-12)
