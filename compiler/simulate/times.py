"""How long each motion takes, from distance, feed, rapid rate and acceleration.

Each move speeds up and slows down at the machine's acceleration along its path (a trapezoid, or a
triangle where it is short). Between fed moves the speed is kept where the direction turns by no
more than 10 degrees and drops to zero at sharper turns and round rapids: an exact stop. Feed is
that of the tool's centre along the path, helices included (NISTIR 6556 sec. 2.1.2.6 applies it so;
some controls take the plan length). Every axis is taken to bear the same acceleration.
"""

import math
from collections.abc import Sequence

from compiler.read import Block, Motion, Place

# Direction changes up to this are taken without slowing: common practice, no source.
SMOOTH = math.cos(math.radians(10))

Vector = tuple[float, float, float]


def motion_times(
    motions: Sequence[Motion], *, rapid: float, acceleration: float, most_feed: float
) -> list[float]:
    """Seconds of each motion; 0 where its ends are not known.

    `rapid` and `most_feed` mm/min, `acceleration` mm/s2.
    """
    lengths = [m.length if not math.isnan(m.length) else 0.0 for m in motions]
    wanted = [(rapid if m.kind == "rapid" else min(m.state.feed, most_feed)) / 60 for m in motions]
    joints = _joints(motions, lengths, wanted)
    # Backwards: no joint faster than what can still be braked; forwards: than can be reached.
    for k in range(len(motions) - 1, -1, -1):
        joints[k] = min(joints[k], math.sqrt(joints[k + 1] ** 2 + 2 * acceleration * lengths[k]))
    for k in range(len(motions)):
        joints[k + 1] = min(
            joints[k + 1], math.sqrt(joints[k] ** 2 + 2 * acceleration * lengths[k])
        )
    return [
        _trapezoid(lengths[k], joints[k], joints[k + 1], wanted[k], acceleration)
        for k in range(len(motions))
    ]


def total_time(
    motion_seconds: Sequence[float], blocks: Sequence[Block], *, change_time: float
) -> float:
    """The whole program: motions, dwells, tool changes. Stops for the operator are not counted."""
    changes = sum(1 for block in blocks if block.says("M", 6))
    return sum(motion_seconds) + sum(b.dwell for b in blocks) + change_time * changes


def _joints(
    motions: Sequence[Motion], lengths: Sequence[float], wanted: Sequence[float]
) -> list[float]:
    """Highest speed at each start, mm/s; one more entry for the end."""
    speeds = [0.0] * (len(motions) + 1)
    leaving: Vector | None = None
    before = -1
    for k, motion in enumerate(motions):
        if lengths[k] <= 0:
            continue
        arriving, next_leaving = _directions(motion, lengths[k])
        fed = motion.kind != "rapid"
        if leaving is not None and fed and motions[before].kind != "rapid" and before == k - 1:
            turn = sum(a * b for a, b in zip(leaving, arriving, strict=True))
            if turn >= SMOOTH:
                speeds[k] = min(wanted[before], wanted[k])
        leaving, before = next_leaving, k
    return speeds


def _directions(motion: Motion, length: float) -> tuple[Vector, Vector]:
    """Unit direction at the start and at the end."""
    rise = (motion.end.z - motion.start.z) / length
    if motion.centre is None:
        dx = (motion.end.x - motion.start.x) / length
        dy = (motion.end.y - motion.start.y) / length
        return (dx, dy, rise), (dx, dy, rise)
    level = math.sqrt(max(0.0, 1 - rise * rise))
    first, last = _tangent(motion, motion.start), _tangent(motion, motion.end)
    return (
        (level * first[0], level * first[1], rise),
        (level * last[0], level * last[1], rise),
    )


def _tangent(motion: Motion, place: Place) -> tuple[float, float]:
    """Unit direction of travel along an arc seen from above."""
    assert motion.centre is not None
    out = (1.0 if motion.ccw else -1.0) / max(motion.radius, 1e-12)
    return (-out * (place.y - motion.centre.y), out * (place.x - motion.centre.x))


def _trapezoid(length: float, v0: float, v1: float, wanted: float, acceleration: float) -> float:
    """Seconds over `length` from v0 to v1, cruising at `wanted` if there is room; mm, s."""
    if length <= 0 or wanted <= 0:
        return 0.0
    to_wanted = (2 * wanted**2 - v0**2 - v1**2) / (2 * acceleration)
    if to_wanted <= length:
        ramps = (2 * wanted - v0 - v1) / acceleration
        return ramps + (length - to_wanted) / wanted
    peak = math.sqrt(max(0.0, (2 * acceleration * length + v0**2 + v1**2) / 2))
    return max(0.0, (2 * peak - v0 - v1) / acceleration)
