"""How far a cutter may step so that no more than a wanted arc of its rim is in material.

All angles rad, all lengths in the unit of the radius: the handbook formula ae = r (1 - cos phi).
"""

from __future__ import annotations

import math


def straight_step(radius: float, engagement: float) -> float:
    """The radial depth that engages a cutter of `radius` by `engagement` along a straight wall."""
    return radius * (1 - math.cos(engagement))


def quarter_chords(radius: float, tolerance: float) -> int:
    """Chords to a quarter circle of `radius` so that none is farther than `tolerance` from it."""
    if radius <= 2 * tolerance:
        return 2
    half = math.acos(1 - tolerance / radius)
    return max(2, math.ceil(math.pi / 4 / half))
