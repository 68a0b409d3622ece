"""Going down at an angle, and the feed on arcs. Lengths mm, angles radians, feeds mm/min.

>>> round(helix_pitch(2.5, math.radians(3)), 6)
0.823219
"""

import math


def ramp_length(depth: float, angle: float) -> float:
    """Plan length of a straight ramp of that angle to that depth: depth / tan(angle)."""
    return depth / math.tan(angle)


def helix_pitch(path_radius: float, angle: float) -> float:
    """Depth of one turn of a helix that goes down at that angle: 2 pi rho tan(angle)."""
    return math.tau * path_radius * math.tan(angle)


def helix_angle(path_radius: float, pitch: float) -> float:
    """The angle at which a helix of that pitch goes down."""
    return math.atan2(pitch, math.tau * path_radius)


def helix_length(depth: float, angle: float) -> float:
    """Length of the centre's path down a helix (or ramp) of that angle: depth / sin(angle)."""
    return depth / math.sin(angle)


def feed_in_hole(feed: float, radius: float, wall_radius: float) -> float:
    """Feed of the centre that moves the edge along a concave wall at `feed`: vf (R - r) / R.

    Raises ValueError where the cutter does not fit.
    """
    if wall_radius <= radius:
        raise ValueError("the cutter does not fit in the wall's radius")
    return feed * (wall_radius - radius) / wall_radius


def feed_round_boss(feed: float, radius: float, wall_radius: float) -> float:
    """Feed of the centre that moves the edge along a convex wall at `feed`: vf (R + r) / R."""
    return feed * (wall_radius + radius) / wall_radius
