"""Links at depth back along the pass that was just cut: there it is free, whatever stands beside.

A pass goes round what is left, so the straight way back to where the next begins leads through it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from shapely import LineString

from compiler.geometry import Segment
from compiler.paths.constant_engagement.course import chords
from compiler.paths.constant_engagement.joins import ways
from compiler.paths.constant_engagement.walk import Pose

TURN = 5.0  # radii of the pass within which the cutter turns round on to it
TRIED = 9  # places at which it may come on to the pass, and as many at which it may leave it
CHORD = 0.05  # rad: arcs of links as chords

Free = Callable[[LineString], bool]
Way = tuple[Segment, ...]


def back(
    at: Pose, start: Pose, done: Sequence[Segment], radius: float, longest: float, free: Free
) -> Way | None:
    """A way without corners from `at`, the end of what was `done`, to where the next pass starts.

    `radius` is that of its turns, mm; it is no longer than `longest`, mm. `free` tells whether the
    cutter may go along a line.
    """
    if not done:
        return None
    reverse = [segment.reversed() for segment in reversed(done)]
    marks = np.concatenate([[0.0], np.cumsum([segment.length for segment in reverse])])
    poses = [_begin(segment) for segment in reverse]
    places = np.array([pose[:2] for pose in poses])
    near = np.flatnonzero(marks[:-1] < TURN * 2 * radius).tolist()
    on = _first([(at, poses[k], marks[k], k) for k in _some(near)], radius, free)
    if on is None:
        return None
    first, k = on
    rest = np.arange(k, len(poses))
    length = marks[rest] - marks[k] + np.hypot(*(places[rest] - start[:2]).T)
    best = rest[length < longest].tolist()
    off = _first([(poses[j], start, marks[j] - marks[k], j) for j in _some(best)], radius, free)
    if off is None:
        return None
    last, j = off
    way = (*first, *reverse[k:j], *last)
    return way if sum(segment.length for segment in way) <= longest else None


def _some(numbers: list[int]) -> list[int]:
    """A few of them, evenly."""
    return numbers[:: -(-len(numbers) // TRIED)] if numbers else []


def _first(
    tried: list[tuple[Pose, Pose, float, int]], radius: float, free: Free
) -> tuple[Way, int] | None:
    """The shortest free way of several from pose to pose, each with the way it adds; its number."""
    found = sorted(
        (
            (length + further, k, way)
            for a, b, further, k in tried
            for length, way in ways(a, b, radius)[:2]
        ),
        key=lambda one: one[:2],
    )
    for _, k, way in found:
        if free(LineString(chords(way, CHORD))):
            return way, k
    return None


def _begin(segment: Segment) -> Pose:
    way = segment.tangent(0.0)
    return (segment.start.x, segment.start.y, way.x, way.y)
