"""Places along lines and arcs, many at once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Arc, Segment

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


def chords(segments: Sequence[Segment], turn: float) -> Points:
    """Places along segments that follow on, n x 2: all ends, and between them on arcs so many that
    no chord turns by more than `turn`, rad.
    """
    ends = np.array([[*s.start, *s.end] for s in segments])
    sweep = np.array([s.sweep if isinstance(s, Arc) else 0.0 for s in segments])
    centre = np.array([s.centre if isinstance(s, Arc) else s.start for s in segments])
    count = np.maximum(1, np.ceil(np.abs(sweep) / turn)).astype(int)
    owner = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(owner)) - np.repeat(np.cumsum(count) - count, count)
    angle = number / count[owner] * sweep[owner]
    cos, sin = np.cos(angle), np.sin(angle)
    x, y = (ends[:, :2] - centre)[owner].T
    places = centre[owner] + np.column_stack([x * cos - y * sin, x * sin + y * cos])
    return np.vstack([places, ends[-1:, 2:]])
