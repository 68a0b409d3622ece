"""The nearest a moving cutter comes to something that stands up to a height.

A move is first taken at its lowest point all along. Where that breaks and the move slopes, it is
looked at again in short steps, each at its own height.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from compiler.geometry import Region
from compiler.judge.case import SLACK, tracks_of
from compiler.judge.distance import Tracks, comes_near, distance_to_region
from compiler.read import Motion, Place, columns
from compiler.simulate.pieces import stretches

# From the height of the tip above which nothing is asked, the radius that must stay clear.
RadiusAt = Callable[[Motion, float], float]


@dataclass(frozen=True, slots=True)
class Nearest:
    """The least room: distance less radius, mm, and the motion it was met on; inf where none."""

    room: float
    index: int
    distance: float = 0.0
    radius: float = 0.0


def nearest(
    motions: Sequence[Motion],
    tracks: Tracks,
    z_low: npt.NDArray[np.float64],
    region: Region,
    top: float,
    radius_at: RadiusAt,
    *,
    most_radius: float,
    skip: npt.NDArray[np.bool_] | None = None,
) -> Nearest:
    """How near `motions` come to `region`, which stands below `top`.

    `radius_at(motion, height)` is the radius to keep clear, `height` mm from tip up to `top`.
    """
    below = (z_low < top - SLACK) & comes_near(tracks, region, most_radius + 2.0)
    low = np.flatnonzero(below if skip is None else below & ~skip)
    if not low.size:
        return Nearest(np.inf, -1)
    distance = distance_to_region(tracks.take(low), region, most_radius + 2.0)
    near = np.isfinite(distance)
    low, distance = low[near], distance[near]
    radius = np.array([radius_at(motions[int(k)], top - z_low[k]) for k in low])
    room = distance - radius
    best = Nearest(np.inf, -1)
    for at in np.argsort(room, kind="stable"):
        if room[at] >= best.room:
            break
        index = int(low[at])
        found = Nearest(float(room[at]), index, float(distance[at]), float(radius[at]))
        motion = motions[index]
        if found.room < 0 and motion.start.z != motion.end.z and motion.plan_length > 1e-9:
            found = _in_steps(motion, index, region, top, radius_at, most_radius)
        if found.room < best.room:
            best = found
    return best


def _in_steps(
    motion: Motion,
    index: int,
    region: Region,
    top: float,
    radius_at: RadiusAt,
    most_radius: float,
) -> Nearest:
    """A sloping move in level steps."""
    one = columns([motion])
    step = stretches(one, np.array([most_radius]), np.zeros(1, dtype=bool))
    sides = step.x0, step.y0, step.x1, step.y1, step.z1
    ends = zip(*(side.tolist() for side in sides), strict=True)
    low = [(_level(motion, *end), end[-1]) for end in ends if end[-1] < top - SLACK]
    if not low:
        return Nearest(np.inf, index)
    tracks = tracks_of(columns([s for s, _ in low]))
    distance = distance_to_region(tracks, region, most_radius + 2.0)
    radius = np.array([radius_at(motion, top - z) for _, z in low])
    at = int(np.argmin(distance - radius))
    return Nearest(float(distance[at] - radius[at]), index, float(distance[at]), float(radius[at]))


def _level(motion: Motion, x0: float, y0: float, x1: float, y1: float, z: float) -> Motion:
    return replace(motion, start=Place(x0, y0, z), end=Place(x1, y1, z))
