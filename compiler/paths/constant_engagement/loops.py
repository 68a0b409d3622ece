"""Closed paths: where to come on, and how, so that the cutter never meets material head-on.

A closed path lies wholly in material. It is led on by a spiral: from the edge of what is open it
drifts on to the path over a stretch so long that the drift adds little to the engaged angle; at the
end the path runs on over that stretch, where the spiral had left a wedge.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from compiler.paths.constant_engagement.smooth import resampled
from compiler.paths.task import Area

Points = NDArray[np.float64]
DRIFT = math.radians(2.0)  # mean slope of the spiral against the path


def spiralled(ring: Points, opened: Area, spacing: float) -> Points:
    """A closed ring (first point repeated last) as an open path that begins in `opened`.

    Starts where the way from the open area to the ring is shortest.
    """
    points = resampled(ring, spacing)[:-1]
    edge = opened.boundary
    gap = shapely.distance(edge, shapely.points(points))
    points = np.roll(points, -int(np.argmin(gap)), axis=0)
    gap = np.roll(gap, -int(np.argmin(gap)))
    count = len(points)
    length = spacing * count
    drift = min(float(gap.max()) / math.tan(DRIFT), 0.9 * length)
    taken = max(2, round(drift / spacing))
    ways = shapely.shortest_line(edge, shapely.points(points[:taken]))
    near = shapely.get_coordinates(ways)[::2]
    share = np.linspace(1.0, 0.0, taken)
    share = share * share * (3 - 2 * share)  # level at both ends
    on = points[:taken] + share[:, None] * (near - points[:taken])
    return np.vstack([on, points[taken:], points[: taken + 1]])
