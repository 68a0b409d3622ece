"""Places along lines and arcs, many at once."""

from __future__ import annotations

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
