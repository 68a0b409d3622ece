"""Cutting power, torque and the force behind them.

The specific cutting force of a material is the handbooks' unit power: that of a sharp tool at a
chip of 0.3 mm (0.012 in), as in Machinery's Handbook, 31st ed., p. 1147, table 1b. Thinner chips
take more force for their section; the handbook's feed factors (same chapter, from memory) say how
much, and `specific_force` applies them with an allowance for a worn edge.

>>> round(cutting_power(14323.945, 2000), 6)
0.477465
"""

import math
from bisect import bisect_right

from compiler.units.number import MM_PER_INCH

WORN_EDGE = 1.25  # Machinery's Handbook, tool wear factor in milling, upper value; from memory
EFFICIENCY = 0.8  # spindle power over motor power; common practice 0.7-0.85, no source
UNIT_POWER = 2730.324  # N/mm2 in one hp/(in3/min)

# Feed factor C by feed per tooth, inch. Machinery's Handbook, "feed factors", from memory.
_FEED_FACTORS = (
    (0.001, 1.60),
    (0.002, 1.40),
    (0.003, 1.30),
    (0.004, 1.25),
    (0.005, 1.19),
    (0.006, 1.15),
    (0.008, 1.08),
    (0.010, 1.04),
    (0.012, 1.00),
)
_THIN_CHIP_EXPONENT = 0.19  # (0.012 in / fz)^0.19 passes through the first and the last row


def cutting_power(removal_rate: float, specific_force: float) -> float:
    """Power at the cutter, kW, for mm3/min removed at N/mm2."""
    return removal_rate * specific_force / 60e6


def torque(power: float, rpm: float) -> float:
    """Torque, N m, of a power in kW at that many revolutions per minute."""
    return 60000 * power / (math.tau * rpm)


def mean_force(power: float, surface_speed: float) -> float:
    """Tangential force, N, averaged over a turn, from kW and m/min."""
    return 60000 * power / surface_speed


def horsepower(removal_rate: float, unit_power: float) -> float:
    """Power, hp, for in3/min removed at hp/(in3/min)."""
    return removal_rate * unit_power


def specific_force_at(chip: float, kc11: float, exponent: float) -> float:
    """Specific cutting force, N/mm2, at a chip thickness in mm: kc1.1 h^-mc (Kienzle)."""
    return float(kc11 * chip**-exponent)


def feed_factor(feed_per_tooth: float) -> float:
    """How much more force a section of chip takes at this feed per tooth (mm) than at 0.3 mm.

    Linear between the handbook's rows, a power law below the first, 1 above the last.
    """
    feed = feed_per_tooth / MM_PER_INCH
    first, last = _FEED_FACTORS[0], _FEED_FACTORS[-1]
    if feed <= first[0]:
        return float(first[1] * (first[0] / max(feed, 1e-6)) ** _THIN_CHIP_EXPONENT)
    if feed >= last[0]:
        return last[1]
    above = bisect_right(_FEED_FACTORS, feed, key=lambda row: row[0])
    (x0, c0), (x1, c1) = _FEED_FACTORS[above - 1], _FEED_FACTORS[above]
    return c0 + (c1 - c0) * (feed - x0) / (x1 - x0)


def specific_force(handbook_force: float, feed_per_tooth: float) -> float:
    """Specific cutting force, N/mm2, to reckon with at this feed per tooth (mm), edge worn."""
    return handbook_force * feed_factor(feed_per_tooth) * WORN_EDGE
