"""How far the cutter is engaged along each motion, in few numbers: the greatest of each stretch."""

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from compiler.read import Motion
from compiler.simulate import Cut

STRETCH = 3.0  # mm of path for one number
MOST = 48  # numbers a motion


def stretches(motions: Sequence[Motion], cut: Cut) -> tuple[list[int], list[int]]:
    """Greatest engaged angle, whole degrees, of evenly spread stretches of each motion.

    Returns:
        How many stretches each motion has (0 where nothing was measured), and all angles in order.
    """
    counts = np.array([_count(motion) for motion in motions], dtype=np.int64)
    samples = cut.samples
    measured = np.zeros(len(motions), dtype=bool)
    measured[samples.motion] = True
    counts[~measured] = 0
    first = np.concatenate(([0], np.cumsum(counts)))
    angles = np.zeros(int(first[-1]), dtype=np.float64)
    if samples.motion.size:
        share = _share(motions, samples.motion, samples.x, samples.y)
        many = counts[samples.motion]
        within = np.minimum((share * many).astype(np.int64), many - 1)
        np.maximum.at(angles, first[samples.motion] + within, samples.angle)
    degrees = [round(math.degrees(angle)) for angle in angles.tolist()]
    return [int(count) for count in counts], degrees


def _count(motion: Motion) -> int:
    length = motion.plan_length
    if math.isnan(length) or length <= 0:
        return 1
    return min(MOST, max(1, math.ceil(length / STRETCH)))


def _share(
    motions: Sequence[Motion],
    index: npt.NDArray[np.int64],
    x: npt.NDArray[np.float64],
    y: npt.NDArray[np.float64],
) -> npt.NDArray[np.float64]:
    """How far along its motion each place lies, from 0 to 1."""
    table = np.array([_measures(motion) for motion in motions], dtype=np.float64)[index]
    from_x, from_y, ahead_x, ahead_y, length, sweep = table.T
    dx, dy = x - from_x, y - from_y
    straight = (dx * ahead_x + dy * ahead_y) / np.maximum(length, 1e-9)
    turned = np.arctan2(ahead_x * dy - ahead_y * dx, ahead_x * dx + ahead_y * dy)
    round_arc = np.mod(turned * np.sign(sweep), math.tau) / np.maximum(np.abs(sweep), 1e-9)
    share = np.where(sweep == 0, straight, round_arc)
    clipped: npt.NDArray[np.float64] = np.clip(np.nan_to_num(share), 0.0, 1.0)
    return clipped


def _measures(motion: Motion) -> tuple[float, float, float, float, float, float]:
    """A line's start, direction and length; an arc's centre, first radius and sweep."""
    start, end, centre = motion.start, motion.end, motion.centre
    if centre is not None:
        out = start.xy.minus(centre)
        return (centre.x, centre.y, out.x, out.y, 0.0, motion.sweep)
    length = max(motion.plan_length, 1e-9)
    ahead = ((end.x - start.x) / length, (end.y - start.y) / length)
    return (start.x, start.y, *ahead, length, 0.0)
