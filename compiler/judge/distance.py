"""Exact distances between moves and outlines: lines and arcs, many moves against one segment.

Plane geometry in the closed: for each pair of line and arc the distance is 0 where they meet, else
the least over the ends of each against the other and over the points where the common normal can
stand. Arrays run over moves; millimetres.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from compiler.geometry import Line, Region, Segment
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
            return arc & _in_sweep(np.float64(dx), np.float64(dy), self.start, self.sweep)

        low_x, high_x = np.minimum(self.ax, self.bx), np.maximum(self.ax, self.bx)
        low_y, high_y = np.minimum(self.ay, self.by), np.maximum(self.ay, self.by)
        return (
            np.where(reached(-1, 0), np.minimum(low_x, self.cx - self.radius), low_x),
            np.where(reached(0, -1), np.minimum(low_y, self.cy - self.radius), low_y),
            np.where(reached(1, 0), np.maximum(high_x, self.cx + self.radius), high_x),
            np.where(reached(0, 1), np.maximum(high_y, self.cy + self.radius), high_y),
        )


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
    found, box = np.full(len(tracks), math.inf), tracks.bounds()
    for segment in region.segments():
        near = np.flatnonzero(_boxes_meet(box, segment.bounds, reach))
        if near.size:
            np.minimum.at(found, near, distance_to_segment(tracks.take(near), segment))
    found[found > reach] = math.inf
    for x, y in ((tracks.ax, tracks.ay), (tracks.bx, tracks.by)):
        deep = contains(region, x, y)
        if deep.any():
            depth = _point_depth(x[deep], y[deep], region)
            found[deep] = np.minimum(found[deep], -depth)
    return found


def _point_depth(x: Floats, y: Floats, region: Region) -> Floats:
    """Distance of points to the nearest segment of the region."""
    depth = np.full(x.size, math.inf)
    for segment in region.segments():
        np.minimum(depth, point_to_segment(x, y, segment), out=depth)
    return depth


def point_to_segment(x: Floats, y: Floats, segment: Segment) -> Floats:
    """Distance of points to one segment."""
    (ax, ay), (bx, by) = segment.start, segment.end
    if isinstance(segment, Line):
        return _to_line(x, y, ax, ay, bx, by)
    cx, cy = segment.centre
    return _to_arc(x, y, cx, cy, segment.radius, segment.start_angle, segment.sweep)


def distance_to_segment(tracks: Tracks, segment: Segment) -> Floats:
    """Distance of each track to one segment of an outline."""
    straight = tracks.radius == 0
    out = np.empty(len(tracks))
    for mask, curved in ((straight, False), (~straight, True)):
        at = np.flatnonzero(mask)
        if at.size:
            out[at] = _pairs(tracks.take(at), segment, curved)
    return out


def _pairs(t: Tracks, segment: Segment, curved: bool) -> Floats:
    """Tracks all straight or all curved against one segment."""
    (px, py), (qx, qy) = segment.start, segment.end
    best = np.minimum(point_to_segment(t.ax, t.ay, segment), point_to_segment(t.bx, t.by, segment))
    for x, y in ((px, py), (qx, qy)):
        best = np.minimum(best, _to_track(x, y, t, curved))
    if isinstance(segment, Line):
        if curved:
            return _curve_line(best, t, segment)
        return np.where(_lines_cross(t, segment), 0.0, best)
    cx, cy = segment.centre
    if not curved:
        foot_x, foot_y = _foot(cx, cy, t.ax, t.ay, t.bx, t.by)
        best = np.minimum(best, point_to_segment(foot_x, foot_y, segment))
        for mx, my, valid in _line_circle(t.ax, t.ay, t.bx, t.by, cx, cy, segment.radius):
            hit = valid & _in_sweep(mx - cx, my - cy, segment.start_angle, segment.sweep)
            best = np.where(hit, 0.0, best)
        return best
    return _curve_curve(best, t, segment)


def _curve_line(best: Floats, t: Tracks, line: Line) -> Floats:
    (px, py), (qx, qy) = line.start, line.end
    n = len(t)
    lx0, ly0, lx1, ly1 = (np.full(n, v) for v in (px, py, qx, qy))
    foot_x, foot_y = _foot(t.cx, t.cy, lx0, ly0, lx1, ly1)
    best = np.minimum(best, _to_arc(foot_x, foot_y, t.cx, t.cy, t.radius, t.start, t.sweep))
    for x, y, valid in _line_circle(lx0, ly0, lx1, ly1, t.cx, t.cy, t.radius):
        hit = valid & _in_sweep(x - t.cx, y - t.cy, t.start, t.sweep)
        best = np.where(hit, 0.0, best)
    return best


def _curve_curve(best: Floats, t: Tracks, arc: Segment) -> Floats:
    assert not isinstance(arc, Line)
    cx, cy = arc.centre
    dx, dy = cx - t.cx, cy - t.cy
    apart = np.hypot(dx, dy)
    safe = np.where(apart > 1e-12, apart, 1.0)
    ux, uy = dx / safe, dy / safe
    for sign in (1.0, -1.0):
        # the common normal runs through both centres
        x, y = t.cx + sign * t.radius * ux, t.cy + sign * t.radius * uy
        on = _in_sweep(x - t.cx, y - t.cy, t.start, t.sweep) & (apart > 1e-12)
        best = np.where(on, np.minimum(best, point_to_segment(x, y, arc)), best)
    # where the circles meet: along the line of centres, then to both sides
    along = (apart**2 + t.radius**2 - arc.radius**2) / (2 * safe)
    high2 = t.radius**2 - along**2
    meets = (high2 >= 0) & (apart > 1e-12)
    high = np.sqrt(np.maximum(high2, 0.0))
    for side in (1.0, -1.0):
        x = t.cx + along * ux - side * high * uy
        y = t.cy + along * uy + side * high * ux
        hit = (
            meets
            & _in_sweep(x - t.cx, y - t.cy, t.start, t.sweep)
            & _in_sweep(x - cx, y - cy, arc.start_angle, arc.sweep)
        )
        best = np.where(hit, 0.0, best)
    return best


def _to_track(x: float, y: float, t: Tracks, curved: bool) -> Floats:
    """Distance of one point to each track."""
    n = len(t)
    xs, ys = np.full(n, x), np.full(n, y)
    if curved:
        return _to_arc(xs, ys, t.cx, t.cy, t.radius, t.start, t.sweep)
    return _to_line(xs, ys, t.ax, t.ay, t.bx, t.by)


def _foot(
    x: float | Floats, y: float | Floats, ax: Floats, ay: Floats, bx: Floats, by: Floats
) -> tuple[Floats, Floats]:
    """The point of each straight stretch that is nearest to a point."""
    dx, dy = bx - ax, by - ay
    length2 = dx * dx + dy * dy
    t = ((x - ax) * dx + (y - ay) * dy) / np.where(length2 > 0, length2, 1.0)
    t = np.clip(t, 0.0, 1.0)
    return ax + t * dx, ay + t * dy


def _to_line(
    x: Floats,
    y: Floats,
    ax: float | Floats,
    ay: float | Floats,
    bx: float | Floats,
    by: float | Floats,
) -> Floats:
    dx, dy = np.asarray(bx) - ax, np.asarray(by) - ay
    length2 = dx * dx + dy * dy
    t = ((x - ax) * dx + (y - ay) * dy) / np.where(length2 > 0, length2, 1.0)
    t = np.clip(t, 0.0, 1.0)
    return np.asarray(np.hypot(x - ax - t * dx, y - ay - t * dy))


def _to_arc(
    x: Floats,
    y: Floats,
    cx: float | Floats,
    cy: float | Floats,
    radius: float | Floats,
    start: float | Floats,
    sweep: float | Floats,
) -> Floats:
    """Distance of points to arcs: to the circle within the sweep, else to the nearer end."""
    rx, ry = x - cx, y - cy
    ring = np.abs(np.hypot(rx, ry) - radius)
    last = np.asarray(start) + sweep
    to_start = np.hypot(rx - radius * np.cos(start), ry - radius * np.sin(start))
    to_end = np.hypot(rx - radius * np.cos(last), ry - radius * np.sin(last))
    return np.where(_in_sweep(rx, ry, start, sweep), ring, np.minimum(to_start, to_end))


def _in_sweep(
    dx: Floats | np.float64, dy: Floats | np.float64, start: float | Floats, sweep: float | Floats
) -> Flags:
    """Whether directions from a centre fall in a sweep."""
    turn = np.arctan2(dy, dx) - start
    turn = np.where(np.asarray(sweep) < 0, -turn, turn)
    return np.asarray(np.mod(turn, math.tau) <= np.abs(sweep) + 1e-12)


def _lines_cross(t: Tracks, line: Line) -> Flags:
    """Whether straight tracks properly cross the line; touching ends are found otherwise."""
    (px, py), (qx, qy) = line.start, line.end
    dx, dy = t.bx - t.ax, t.by - t.ay
    ex, ey = qx - px, qy - py
    a = ex * (t.ay - py) - ey * (t.ax - px)
    b = ex * (t.by - py) - ey * (t.bx - px)
    c = dx * (py - t.ay) - dy * (px - t.ax)
    d = dx * (qy - t.ay) - dy * (qx - t.ax)
    return np.asarray((a * b < 0) & (c * d < 0))


def _line_circle(
    ax: Floats,
    ay: Floats,
    bx: Floats,
    by: Floats,
    cx: float | Floats,
    cy: float | Floats,
    radius: float | Floats,
) -> list[tuple[Floats, Floats, Flags]]:
    """Where straight stretches meet circles: two places each, and whether they are any."""
    dx, dy = bx - ax, by - ay
    fx, fy = ax - cx, ay - cy
    a = dx * dx + dy * dy
    half_b = fx * dx + fy * dy
    c = fx * fx + fy * fy - np.asarray(radius) ** 2
    disc = half_b * half_b - a * c
    root = np.sqrt(np.maximum(disc, 0.0))
    safe = np.where(a > 0, a, 1.0)
    found = []
    for sign in (-1.0, 1.0):
        s = (-half_b + sign * root) / safe
        valid = (disc >= 0) & (a > 0) & (s >= 0) & (s <= 1)
        found.append((ax + s * dx, ay + s * dy, valid))
    return found
