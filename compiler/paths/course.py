"""Places along lines and arcs, many at once."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.geometry import Arc, Line, Point, Segment

Points = NDArray[np.float64]


def along(segment: Segment, share: Points) -> tuple[Points, Points]:
    """Places and unit headings at shares (0..1) of a segment's length."""
    if isinstance(segment, Arc):
        sweep, radius = segment.sweep, segment.radius
        angle = segment.start_angle + share * sweep
        outward = np.column_stack([np.cos(angle), np.sin(angle)])
        turn = 1.0 if sweep > 0 else -1.0
        heading = np.column_stack([-outward[:, 1], outward[:, 0]]) * turn
        return np.array(segment.centre) + radius * outward, heading
    start, end = np.array(segment.start), np.array(segment.end)
    way = (end - start) / max(segment.length, 1e-12)
    return start + share[:, None] * (end - start), np.tile(way, (len(share), 1))


def segments(table: Points) -> list[Segment]:
    """Lines and arcs of rows of start, end, centre and sweep; a line has a sweep of none."""
    return [
        Arc(Point(x0, y0), Point(x1, y1), Point(cx, cy), sweep > 0)
        if sweep
        else Line(Point(x0, y0), Point(x1, y1))
        for x0, y0, x1, y1, cx, cy, sweep in table.tolist()
    ]


@compiled
def places(table: Points, turn: float, longest: float) -> Points:
    """Places along segments that follow on, rows as for `segments`; n x 2: all ends, and between
    them on arcs so many that no chord turns by more than `turn`, rad; and on both that none is
    longer than `longest`, mm.
    """
    counts = np.empty(len(table), np.int64)
    total = 0
    for i in range(len(table)):
        x0, y0, x1, y1, cx, cy, sweep = table[i]
        length = math.hypot(x1 - x0, y1 - y0)
        if sweep != 0.0:
            length = abs(sweep) * math.hypot(x0 - cx, y0 - cy)
        counts[i] = max(1, math.ceil(abs(sweep) / turn), math.ceil(length / longest))
        total += counts[i]
    found = np.empty((total + 1, 2))
    n = 0
    for i in range(len(table)):
        x0, y0, x1, y1, cx, cy, sweep = table[i]
        for k in range(counts[i]):
            if sweep == 0.0:
                found[n, 0] = x0 + k / counts[i] * (x1 - x0)
                found[n, 1] = y0 + k / counts[i] * (y1 - y0)
            else:
                cos, sin = math.cos(k / counts[i] * sweep), math.sin(k / counts[i] * sweep)
                found[n, 0] = cx + (x0 - cx) * cos - (y0 - cy) * sin
                found[n, 1] = cy + (x0 - cx) * sin + (y0 - cy) * cos
            n += 1
    found[n, 0], found[n, 1] = table[-1, 2], table[-1, 3]
    return found
