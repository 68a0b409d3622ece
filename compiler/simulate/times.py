"""How long each motion takes, from distance, feed, rapid rate and acceleration.

Each move speeds up and slows down at the machine's acceleration along its path (a trapezoid, or a
triangle where it is short). Between fed moves the speed is kept where the direction turns by no
more than 10 degrees and drops to zero at sharper turns and round rapids: an exact stop. Feed is
that of the tool's centre along the path, helices included (NISTIR 6556 sec. 2.1.2.6 applies it so;
some controls take the plan length). Every axis is taken to bear the same acceleration.
"""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from compiler.read import Block, Columns

# Direction changes up to this are taken without slowing: common practice, no source.
SMOOTH = math.cos(math.radians(10))

Floats = npt.NDArray[np.float64]


def motion_times(
    motions: Columns, *, rapid: float, acceleration: float, most_feed: float
) -> list[float]:
    """Seconds of each motion; 0 where its ends are not known.

    `rapid` and `most_feed` mm/min, `acceleration` mm/s2.
    """
    length = np.where(np.isnan(motions.length), 0.0, motions.length)
    wanted = np.where(motions.rapid, rapid, np.minimum(motions.feed, most_feed)) / 60
    joints = _joints(motions, length, wanted).tolist()
    lengths = length.tolist()
    # Backwards: no joint faster than what can still be braked; forwards: than can be reached.
    for k in range(len(lengths) - 1, -1, -1):
        if joints[k]:
            most = math.sqrt(joints[k + 1] ** 2 + 2 * acceleration * lengths[k])
            joints[k] = min(joints[k], most)
    for k, gone in enumerate(lengths):
        if joints[k + 1]:
            most = math.sqrt(joints[k] ** 2 + 2 * acceleration * gone)
            joints[k + 1] = min(joints[k + 1], most)
    ends = np.array(joints)
    seconds: list[float] = _trapezoids(length, ends[:-1], ends[1:], wanted, acceleration).tolist()
    return seconds


def total_time(
    motion_seconds: Sequence[float], blocks: Sequence[Block], *, change_time: float
) -> float:
    """The whole program: motions, dwells, tool changes. Stops for the operator are not counted."""
    changes = sum(1 for block in blocks if block.says("M", 6))
    return sum(motion_seconds) + sum(b.dwell for b in blocks) + change_time * changes


def _joints(m: Columns, length: Floats, wanted: Floats) -> Floats:
    """Highest speed at each start, mm/s; one more entry for the end."""
    speeds = np.zeros(length.size + 1)
    first, last = _directions(m, length, m.ax, m.ay), _directions(m, length, m.bx, m.by)
    turn = np.sum(last[:, :-1] * first[:, 1:], axis=0)
    long, fed = length > 0, ~m.rapid
    goes_on = long[:-1] & long[1:] & fed[:-1] & fed[1:] & (turn >= SMOOTH)
    speeds[1:-1] = np.where(goes_on, np.minimum(wanted[:-1], wanted[1:]), 0.0)
    return speeds


def _directions(m: Columns, length: Floats, x: Floats, y: Floats) -> Floats:
    """(3, n) unit directions of travel at places on the motions."""
    safe = np.where(length > 0, length, 1.0)
    dx, dy, rise = (m.bx - m.ax) / safe, (m.by - m.ay) / safe, (m.bz - m.az) / safe
    arc = m.radius > 0
    level = np.sqrt(np.maximum(0.0, 1 - rise * rise))
    out = np.where(m.ccw, 1.0, -1.0) * level / np.where(arc, m.radius, 1.0)
    x_part, y_part = np.where(arc, -out * (y - m.cy), dx), np.where(arc, out * (x - m.cx), dy)
    return np.stack([x_part, y_part, rise])


def _trapezoids(
    length: Floats, v0: Floats, v1: Floats, wanted: Floats, acceleration: float
) -> Floats:
    """Seconds over each `length` from v0 to v1, cruising at `wanted` if there is room; mm, s."""
    moves = (length > 0) & (wanted > 0)
    speed = np.where(moves, wanted, 1.0)
    to_wanted = (2 * speed**2 - v0**2 - v1**2) / (2 * acceleration)
    ramps = (2 * speed - v0 - v1) / acceleration
    peak = np.sqrt(np.maximum(0.0, (2 * acceleration * length + v0**2 + v1**2) / 2))
    cruising = ramps + (length - to_wanted) / speed
    braking = np.maximum(0.0, (2 * peak - v0 - v1) / acceleration)
    return np.where(moves, np.where(to_wanted <= length, cruising, braking), 0.0)
