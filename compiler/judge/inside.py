"""Which points lie in a region: crossings of a ray along +X, arcs exactly. Millimetres."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from compiler.geometry import Line, Region, Segment

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]


def contains(region: Region, x: Floats, y: Floats) -> Flags:
    """Which points lie in the region: crossings of a ray along +X, arcs exactly."""
    low_x, low_y, high_x, high_y = region.bounds
    inside = np.zeros(x.size, dtype=bool)
    near = np.flatnonzero((x >= low_x) & (x <= high_x) & (y >= low_y) & (y <= high_y))
    if not near.size:
        return inside
    px, py = x[near], y[near]
    odd = np.zeros(near.size, dtype=bool)
    for segment in region.segments():
        if isinstance(segment, Line):
            odd ^= _line_crossed(segment, px, py)
        else:
            for y_from, y_to, side in _rising_pieces(segment):
                dy = py - segment.centre.y
                half = np.sqrt(np.maximum(segment.radius**2 - dy * dy, 0.0))
                spans = (py >= min(y_from, y_to)) & (py < max(y_from, y_to))
                odd ^= spans & (px < segment.centre.x + side * half)
    inside[near] = odd
    return inside


def _line_crossed(line: Line, px: Floats, py: Floats) -> Flags:
    (ax, ay), (bx, by) = line.start, line.end
    if ay == by:
        return np.zeros(px.size, dtype=bool)
    spans = (py >= min(ay, by)) & (py < max(ay, by))
    return spans & (px < ax + (bx - ax) * (py - ay) / (by - ay))


def _rising_pieces(segment: Segment) -> list[tuple[float, float, float]]:
    """An arc split where it turns round in Y: y from, y to, side of the centre (+1 right)."""
    assert not isinstance(segment, Line)
    first, sweep = segment.start_angle, segment.sweep
    low, high = min(first, first + sweep), max(first, first + sweep)
    turns = [
        k * math.pi + math.pi / 2
        for k in range(-4, 5)
        if low + 1e-12 < k * math.pi + math.pi / 2 < high - 1e-12
    ]
    angles = [low, *turns, high]
    ys = [segment.centre.y + segment.radius * math.sin(angle) for angle in angles]
    ends = (segment.start.y, segment.end.y)
    ys[0], ys[-1] = ends if sweep > 0 else ends[::-1]
    return [
        (ys[k], ys[k + 1], 1.0 if math.cos((angles[k] + angles[k + 1]) / 2) > 0 else -1.0)
        for k in range(len(angles) - 1)
    ]
