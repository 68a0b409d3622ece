"""Runs of points made even."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


def resampled(points: Points, spacing: float) -> Points:
    """The same run with points about `spacing` apart, mm, all alike; the ends kept."""
    step = np.hypot(*np.diff(points, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(step)])
    count = max(2, int(np.ceil(run[-1] / spacing)) + 1)
    where = np.linspace(0.0, run[-1], count)
    return np.column_stack(
        [np.interp(where, run, points[:, 0]), np.interp(where, run, points[:, 1])]
    )
