"""Take the roughness of overlaid polygons out of a run of points, without leaving it far."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]


def resampled(points: Points, spacing: float) -> Points:
    """The same run with points evenly spaced, the ends kept."""
    step = np.hypot(*np.diff(points, axis=0).T)
    run = np.concatenate([[0.0], np.cumsum(step)])
    count = max(2, int(np.ceil(run[-1] / spacing)) + 1)
    where = np.linspace(0.0, run[-1], count)
    return np.column_stack(
        [np.interp(where, run, points[:, 0]), np.interp(where, run, points[:, 1])]
    )


def relaxed(points: Points, allowed: Points, reach: int = 3, rounds: int = 3) -> Points:
    """Each point moved towards the mean of its neighbours, at most as far as is allowed to it."""
    if len(points) < 2 * reach + 2:
        return points
    moved = points.copy()
    kernel = np.ones(2 * reach + 1) / (2 * reach + 1)
    for _ in range(rounds):
        mean = np.column_stack([np.convolve(moved[:, k], kernel, mode="valid") for k in (0, 1)])
        moved[reach:-reach] = mean
        shift = moved - points
        far = np.hypot(shift[:, 0], shift[:, 1])
        share = np.minimum(1.0, allowed / np.maximum(far, 1e-12))
        moved = points + shift * share[:, None]
        moved[0], moved[-1] = points[0], points[-1]
    return moved
