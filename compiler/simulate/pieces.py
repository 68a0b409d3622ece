"""Motions cut into pieces that can be swept one by one: short arcs, level steps of slopes.

All motions at once, as columns. Arcs turn at most a third of a turn at a time, and not beyond the
tool's radius along the path where they are tight, so that what a loop has just cleared counts for
its next part. Long arcs and oblique lines are cut to a few radii: their windows would be mostly
empty.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.read import Columns

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]
Ints = npt.NDArray[np.int64]

# A slope is cut in level steps of at most this drop, each at its lower end: on the way down a
# ramp the simulated tool is early by no more than this, mm.
SLOPE_STEP = 0.02
MOST_STEPS = 5000  # of one slope: 100 mm of drop, longer ones go in coarser steps


@dataclass(frozen=True, slots=True)
class Stretches:
    """Parts of motions, in order: both ends with the tip's heights there, and the plan length."""

    x0: Floats
    y0: Floats
    z0: Floats
    x1: Floats
    y1: Floats
    z1: Floats
    length: Floats
    motion: Ints  # the index of the motion that each is a part of
    first: Flags  # whether it is its motion's first


def stretches(m: Columns, radius: Floats, whole: Flags) -> Stretches:
    """Every motion in parts, for a tool of `radius` in each.

    Slopes are cut into level steps, but for those that are `whole`: they keep their slope.
    """
    count = np.where(whole, _windows(m, radius), _steps(m, radius))
    motion = np.repeat(np.arange(len(m)), count)
    begin = np.cumsum(count) - count
    k = np.arange(motion.size) - begin[motion] + 1
    x1, y1 = _places(m, motion, k / count[motion])
    last = begin + count - 1
    x1[last], y1[last] = m.bx, m.by
    x0, y0 = np.append(0.0, x1)[:-1], np.append(0.0, y1)[:-1]
    x0[begin], y0[begin] = m.ax, m.ay
    drop = (m.bz - m.az)[motion]
    z0 = m.az[motion] + (k - 1) / count[motion] * drop
    z1 = m.az[motion] + k / count[motion] * drop
    lower = np.minimum(z0, z1)
    stepped = ~whole[motion]
    z0, z1 = np.where(stepped, lower, z0), np.where(stepped, lower, z1)
    first = np.zeros(motion.size, dtype=bool)
    first[begin] = True
    return Stretches(x0, y0, z0, x1, y1, z1, (m.plan_length / count)[motion], motion, first)


def _places(m: Columns, motion: Ints, t: Floats) -> tuple[Floats, Floats]:
    """Where motions are after shares of their ways."""
    ax, ay, radius = m.ax[motion], m.ay[motion], m.radius[motion]
    x, y = ax + t * (m.bx[motion] - ax), ay + t * (m.by[motion] - ay)
    at = np.flatnonzero(radius > 0)
    cx, cy = m.cx[motion[at]], m.cy[motion[at]]
    angle = np.arctan2(ay[at] - cy, ax[at] - cx) + t[at] * m.sweep[motion[at]]
    x[at], y[at] = cx + radius[at] * np.cos(angle), cy + radius[at] * np.sin(angle)
    return x, y


def _steps(m: Columns, radius: Floats) -> Ints:
    """In how many parts each motion goes that is taken level."""
    drop = np.abs(m.bz - m.az)
    slopes = (drop > 1e-9) & (m.plan_length > 1e-9)
    steps = np.where(slopes, np.minimum(MOST_STEPS, np.ceil(drop / SLOPE_STEP)), 1)
    tight = (m.radius > 0) & (m.radius < 2 * radius)
    steps = np.maximum(steps, np.where(tight, np.ceil(m.plan_length / radius), 1))
    found: Ints = np.maximum(steps, _windows(m, radius)).astype(np.int64)
    return found


def _windows(m: Columns, radius: Floats) -> Ints:
    """In how many parts no window is too empty."""
    turns = np.ceil(np.abs(m.sweep) / (math.tau / 3) - 1e-9)
    arcs = np.maximum(turns, np.ceil(m.plan_length / (4 * radius)))
    oblique = np.minimum(np.abs(m.bx - m.ax), np.abs(m.by - m.ay)) > 2 * radius
    lines = np.where(oblique, np.ceil(m.plan_length / (6 * radius)), 1)
    found: Ints = np.maximum(1, np.where(m.radius > 0, arcs, lines)).astype(np.int64)
    return found
