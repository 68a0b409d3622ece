"""How long moves take: trapezoids of speed, each move from rest to rest."""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.job.model import Machine


def seconds(length: float, rate: float, acceleration: float) -> float:
    """Time for `length` mm at up to `rate` mm/min, starting and ending at rest, mm/s2.

    Short moves never reach the rate: t = 2 sqrt(l/a). Longer ones add v/a to l/v.
    """
    speed = rate / 60
    if length <= 0:
        return 0.0
    if length < speed**2 / acceleration:
        return 2 * math.sqrt(length / acceleration)
    return length / speed + speed / acceleration


def up_over_down(
    machine: Machine,
    across: float,
    up: float,
    rapid_down: float,
    fed_down: Sequence[tuple[float, float]],
) -> float:
    """Time to retract, traverse and come down again, s.

    Lengths mm; `fed_down` is the length and the rate, mm/min, of each fed part of the way down.
    """
    a = machine.acceleration
    rapids = sum(seconds(length, machine.rapid, a) for length in (up, across, rapid_down))
    return rapids + sum(seconds(length, rate, a) for length, rate in fed_down)
