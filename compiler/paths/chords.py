"""Lines and arcs as points along them, arcs as chords: for deciding, by the thousand."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.geometry import Arc, Segment

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]


def points_along(segments: Iterable[Segment], chord: float) -> Floats:
    """Points (n x 2) along a chain of segments, both ends included, arcs as chords within `chord`.

    The way from one segment's end to the next one's start, if there is any, is left out.
    """
    return _along(_numbers(segments), chord, False)[0]


def points_of_each(segments: Iterable[Segment], chord: float) -> tuple[Floats, Ints]:
    """The same of each segment for itself, one after the other; and which each point is of."""
    return _along(_numbers(segments), chord, True)


def _numbers(segments: Iterable[Segment]) -> Floats:
    """Start, end, centre and sense of each: n x 7; sense 0 for a line."""
    rows = [
        (*s.start, *s.end, *s.centre, 1.0 if s.ccw else -1.0)
        if isinstance(s, Arc)
        else (*s.start, *s.end, 0.0, 0.0, 0.0)
        for s in segments
    ]
    return np.array(rows).reshape(-1, 7)


@compiled
def _along(rows: Floats, chord: float, apart: bool) -> tuple[Floats, Ints]:
    counts = np.empty(len(rows), np.int64)
    counts[:] = 1
    total = 0
    for n in range(len(rows)):
        if rows[n, 6] != 0.0:
            radius, _, sweep = _arc(rows[n])
            # sagitta r (1 - cos(step / 2)) of each chord
            half = math.acos(max(0.0, 1 - chord / radius))
            counts[n] = max(1, math.ceil(abs(sweep) / (2 * half) - 1e-9))
        total += counts[n] + 1
    xy, of = np.empty((total, 2)), np.empty(total, np.int64)
    at = 0
    for n in range(len(rows)):
        if apart or n == 0:
            xy[at, 0], xy[at, 1], of[at] = rows[n, 0], rows[n, 1], n
            at += 1
        if counts[n] > 1:
            radius, start, sweep = _arc(rows[n])
            for k in range(1, counts[n]):
                angle = start + k / counts[n] * sweep
                xy[at, 0] = rows[n, 4] + radius * math.cos(angle)
                xy[at, 1] = rows[n, 5] + radius * math.sin(angle)
                of[at] = n
                at += 1
        xy[at, 0], xy[at, 1], of[at] = rows[n, 2], rows[n, 3], n
        at += 1
    return xy[:at], of[:at]


@compiled
def _arc(row: Floats) -> tuple[float, float, float]:
    """Radius, start angle and sweep of an arc, as `geometry.Arc` has them."""
    start = math.atan2(row[1] - row[5], row[0] - row[4])
    turn = (math.atan2(row[3] - row[5], row[2] - row[4]) - start) % (2 * math.pi)
    whole = row[0] == row[2] and row[1] == row[3]
    if row[6] < 0:
        turn = 2 * math.pi - turn
    sweep = turn if turn > 0 and not whole else 2 * math.pi
    return math.hypot(row[0] - row[4], row[1] - row[5]), start, sweep if row[6] > 0 else -sweep


@compiled
def broken(points: Floats, longest: float) -> Ints:
    """The first place, those at which a polyline is broken into pieces of about that length, and
    the last.
    """
    last = len(points) - 1
    total = 0.0
    for n in range(last):
        total += math.hypot(points[n + 1, 0] - points[n, 0], points[n + 1, 1] - points[n, 1])
    pieces = max(1, math.ceil(total / longest))
    found = np.empty(pieces + 1, np.int64)
    found[:] = 0
    many, next_one, gone = 1, 1, 0.0
    for n in range(1, last):
        gone += math.hypot(points[n, 0] - points[n - 1, 0], points[n, 1] - points[n - 1, 1])
        if gone >= total * next_one / pieces and next_one < pieces:
            found[many] = n
            many += 1
            while gone >= total * next_one / pieces:
                next_one += 1
    found[many] = last
    return found[: many + 1]
