"""Motions cut into pieces that can be swept one by one: short arcs, level steps of slopes."""

import math
from collections.abc import Iterator

from compiler.read import Motion
from compiler.simulate.distance import Piece

# A slope is cut in level steps of at most this drop, each at its lower end: on the way down a
# ramp the simulated tool is early by no more than this, mm.
SLOPE_STEP = 0.02
MOST_STEPS = 5000  # of one slope: 100 mm of drop, longer ones go in coarser steps


Stretch = tuple[float, float, float, float, float, float]


def pieces(motion: Motion, radius: float) -> Iterator[tuple[Piece, float, float]]:
    """Pieces with the height of the tip over each (its lower end) and its plan length.

    Arcs turn at most a third of a turn at a time, and not beyond the tool's radius along the path
    where they are tight, so that what a loop has just cleared counts for its next part. Long arcs
    and oblique lines are cut to a few radii: their windows would be mostly empty.
    """
    circle = _circle(motion)
    for x0, y0, x1, y1, z, length in stretches(motion, radius):
        yield Piece(x0, y0, x1, y1, *circle), z, length


def stretches(motion: Motion, radius: float) -> Iterator[Stretch]:
    """The same as plain numbers: x and y of both ends, height of the tip, plan length."""
    drop = abs(motion.end.z - motion.start.z)
    length = motion.plan_length
    steps = min(MOST_STEPS, math.ceil(drop / SLOPE_STEP)) if drop > 1e-9 and length > 1e-9 else 1
    steps = max(steps, _windows(motion, radius))
    if motion.centre is not None and motion.radius < 2 * radius:
        steps = max(steps, math.ceil(length / radius))
    for x0, y0, x1, y1, from_z, to_z in _split(motion, steps):
        yield x0, y0, x1, y1, min(from_z, to_z), length / steps


def slopes(motion: Motion, radius: float) -> Iterator[tuple[Piece, float, float]]:
    """A slope's pieces with the heights of the tip at their starts and ends, in few windows."""
    circle = _circle(motion)
    for x0, y0, x1, y1, from_z, to_z in _split(motion, _windows(motion, radius)):
        yield Piece(x0, y0, x1, y1, *circle), from_z, to_z


def _circle(motion: Motion) -> tuple[float, float, float, bool]:
    """Centre, radius and sense of an arc's pieces; all nothing for a straight move."""
    if motion.centre is None:
        return 0.0, 0.0, 0.0, False
    return motion.centre.x, motion.centre.y, motion.radius, motion.ccw


def _windows(motion: Motion, radius: float) -> int:
    """In how many pieces no window is too empty."""
    start, end, length = motion.start, motion.end, motion.plan_length
    if motion.centre is not None:
        turns = math.ceil(abs(motion.sweep) / (math.tau / 3) - 1e-9)
        return max(1, turns, math.ceil(length / (4 * radius)))
    if min(abs(end.x - start.x), abs(end.y - start.y)) > 2 * radius:
        return max(1, math.ceil(length / (6 * radius)))
    return 1


def _split(motion: Motion, steps: int) -> Iterator[Stretch]:
    """X and Y of both ends of each piece, and the heights of the tip there."""
    start, end, centre = motion.start, motion.end, motion.centre
    if steps == 1:
        yield start.x, start.y, end.x, end.y, start.z, end.z
        return
    x, y = start.x, start.y
    sweep = motion.sweep
    radius = motion.radius
    first = 0.0 if centre is None else math.atan2(y - centre.y, x - centre.x)
    for k in range(1, steps + 1):
        t = k / steps
        if k == steps:
            nx, ny = end.x, end.y
        elif centre is None:
            nx, ny = start.x + t * (end.x - start.x), start.y + t * (end.y - start.y)
        else:
            angle = first + t * sweep
            nx, ny = centre.x + radius * math.cos(angle), centre.y + radius * math.sin(angle)
        za = start.z + (k - 1) / steps * (end.z - start.z)
        zb = start.z + t * (end.z - start.z)
        yield x, y, nx, ny, za, zb
        x, y = nx, ny


def direction(motion: Motion, *, at_end: bool) -> tuple[float, float]:
    """Unit direction of travel seen from above, at the start or the end; (0, 0) straight down."""
    if motion.centre is None:
        length = motion.plan_length
        if length < 1e-9:
            return (0.0, 0.0)
        return (
            (motion.end.x - motion.start.x) / length,
            (motion.end.y - motion.start.y) / length,
        )
    place = motion.end if at_end else motion.start
    out = (1.0 if motion.ccw else -1.0) / max(motion.radius, 1e-12)
    return (-out * (place.y - motion.centre.y), out * (place.x - motion.centre.x))
