"""Spindle speed, feed and removal rate.

n = 1000 vc / (pi D), vf = n z fz, Q = ae ap vf: handbook formulas, as in Machinery's Handbook,
31st ed., section on milling (from memory). Diameters and depths mm, cutting speed m/min, feed
mm/min.

>>> round(spindle_speed(150, 10))
4775
"""

import math


def spindle_speed(surface_speed: float, diameter: float) -> float:
    """Revolutions per minute that give this cutting speed (m/min) at this diameter (mm)."""
    return 1000 * surface_speed / (math.pi * diameter)


def surface_speed(rpm: float, diameter: float) -> float:
    """Cutting speed, m/min, of this diameter (mm) at this many revolutions per minute."""
    return math.pi * diameter * rpm / 1000


def table_feed(rpm: float, flutes: int, feed_per_tooth: float) -> float:
    """Feed, mm/min, of a cutter with that many teeth."""
    return rpm * flutes * feed_per_tooth


def chip_load(feed: float, rpm: float, flutes: int) -> float:
    """Feed per tooth, mm. Raises ValueError for a spindle at rest."""
    if rpm <= 0:
        raise ValueError("a spindle at rest has no feed per tooth")
    return feed / (rpm * flutes)


def removal_rate(radial_depth: float, axial_depth: float, feed: float) -> float:
    """Material removed, mm3/min."""
    return radial_depth * axial_depth * feed
