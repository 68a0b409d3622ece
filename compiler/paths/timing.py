"""How long moves take: trapezoids of speed from rest to rest, on through where it is straight."""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.geometry import Arc, Segment
from compiler.job.model import Machine

STRAIGHT = math.cos(math.radians(10))  # a lesser turn is taken without a halt (common practice)


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


def way_seconds(way: Sequence[Segment], rates: Sequence[float], acceleration: float) -> float:
    """Time along lines and arcs that follow on, at rest at both ends, s; it halts at corners.

    `rates` mm/min of each, `acceleration` mm/s2. Where the way goes on without a corner only the
    speed changes. An arc is gone no quicker than the machine bears across it: v2 / r = a.
    """
    found = [(segment, rate) for segment, rate in zip(way, rates, strict=True) if segment.length]
    legs = [
        (segment, segment.length, _speed(segment, rate, acceleration)) for segment, rate in found
    ]
    joints = [0.0] * (len(legs) + 1)
    for k in range(1, len(legs)):
        (one, _, slow), (other, _, fast) = legs[k - 1], legs[k]
        if one.tangent(1.0).dot(other.tangent(0.0)) >= STRAIGHT:
            joints[k] = min(slow, fast)
    for k in range(len(legs) - 1, -1, -1):  # no faster than can be braked
        joints[k] = min(joints[k], math.sqrt(joints[k + 1] ** 2 + 2 * acceleration * legs[k][1]))
    for k in range(len(legs)):  # nor than can be reached
        joints[k + 1] = min(
            joints[k + 1], math.sqrt(joints[k] ** 2 + 2 * acceleration * legs[k][1])
        )
    return sum(
        _leg(length, joints[k], joints[k + 1], speed, acceleration)
        for k, (_, length, speed) in enumerate(legs)
    )


def _speed(segment: Segment, rate: float, acceleration: float) -> float:
    """The most along a line or arc, mm/s."""
    if isinstance(segment, Arc):
        return min(rate / 60, math.sqrt(acceleration * segment.radius))
    return rate / 60


def _leg(length: float, first: float, last: float, most: float, acceleration: float) -> float:
    """Seconds for a leg, mm, entered and left at speeds, at most at one; mm/s and mm/s2."""
    top = min(most, math.sqrt((first**2 + last**2) / 2 + acceleration * length))
    up, down = (top**2 - first**2) / (2 * acceleration), (top**2 - last**2) / (2 * acceleration)
    level = max(0.0, length - up - down)
    return (2 * top - first - last) / acceleration + level / top
