"""How far a cutter may step so that no more than a wanted arc of its rim is in material.

All angles rad, all lengths in the unit of the radius. Derived from the law of cosines in the
triangle of the path's centre of curvature, the cutter's centre and the rim's last point in
material; the straight case is the handbook formula ae = r (1 - cos phi).
"""

from __future__ import annotations

import math


def straight_step(radius: float, engagement: float) -> float:
    """The radial depth that engages a cutter of `radius` by `engagement` along a straight wall."""
    return radius * (1 - math.cos(engagement))


def curved_step(radius: float, engagement: float, path_radius: float) -> float:
    """The step between concentric paths that grow outwards, the new one of `path_radius`.

    Less than the straight step: the smaller the circle, the more of the rim it buries.
    """
    rim = path_radius + radius
    bite = 2 * radius * path_radius * (1 - math.cos(engagement))
    return rim - math.sqrt(max(rim * rim - bite, 0.0))


def ladder(widest: float, narrowest: float) -> tuple[float, ...]:
    """Radii of paths to try, from the widest down, a factor of about 1.5 apart."""
    steps = max(1, math.ceil(math.log(widest / narrowest) / math.log(1.8)))
    ratio = (narrowest / widest) ** (1 / steps)
    return tuple(widest * ratio**i for i in range(steps + 1))


def quarter_chords(radius: float, tolerance: float) -> int:
    """Chords to a quarter circle of `radius` so that none is farther than `tolerance` from it."""
    if radius <= 2 * tolerance:
        return 2
    half = math.acos(1 - tolerance / radius)
    return max(2, math.ceil(math.pi / 4 / half))
