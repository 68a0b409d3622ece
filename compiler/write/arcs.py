"""Arcs in whole steps: rounded so that a control finds the same circle from both ends.

NISTIR 6556 sec. 3.5.3.2 refuses an arc whose centre is not equally far from start and end within
0.002 mm or 0.0002 in. The start is what the control already stands on, rounded; so the offset is
taken from there, and where rounding alone breaks the rule the centre is moved by a few steps, and
where that is not enough the arc is split.
"""

import math
from dataclasses import dataclass

from compiler.geometry import Arc, Point
from compiler.write.digits import Digits

# An arc may use no more of the rule than this share, so that a control's own arithmetic has room.
SHARE_OF_RULE = 0.75
# The R word: the report advises against sweeps near a half and a full turn (sec. 3.5.3.1), where
# the centre hangs on the last digit. A third of a turn is well conditioned.
LARGEST_RADIUS_SWEEP = 2 * math.pi / 3
WINDOW = 1  # how far the centre may be moved to meet the rule, steps; more would show in the wall

Steps = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Piece:
    """One block of an arc: end and centre in whole steps; no centre: a straight line."""

    end: Steps
    centre: Steps | None
    share: float  # of the whole arc's sweep that ends here, 0..1


def mismatch(start: Steps, end: Steps, centre: Steps) -> float:
    """By how much the distances from the centre to start and end differ, steps."""
    return abs(math.dist(start, centre) - math.dist(end, centre))


def pieces(arc: Arc, start: Steps, digits: Digits, *, largest_sweep: float) -> list[Piece]:
    """The blocks for one arc that begins at `start`, where the control stands.

    Args:
        arc: The exact arc, mm.
        start: The rounded start.
        digits: The program's decimals.
        largest_sweep: Greatest sweep of one block, rad.

    Returns:
        Blocks in order; none where the arc is smaller than a step.
    """
    count = max(1, math.ceil(abs(arc.sweep) / largest_sweep - 1e-9))
    made: list[Piece] = []
    for index in range(count):
        made += _fitted(arc, index / count, (index + 1) / count, start, digits, depth=0)
        start = made[-1].end if made else start
    return made


def _fitted(
    arc: Arc, t0: float, t1: float, start: Steps, digits: Digits, depth: int
) -> list[Piece]:
    """The stretch t0..t1 as one block, or as two halves where one can't be rounded well."""
    place = arc.at(t1)
    end = (digits.fine(place.x), digits.fine(place.y))
    sweep = (t1 - t0) * abs(arc.sweep)
    if end == start and sweep < math.pi:
        return []  # shorter than a step: as one block it would be read as a full turn
    centre = _centre(arc, start, end, digits)
    if centre is not None and _same_sense(arc, sweep, start, end, centre):
        return [Piece(end, centre, t1)]
    radius = digits.steps(arc.radius)
    sagitta = radius * (1 - math.cos(min(sweep, math.pi) / 2))
    if sagitta <= 0.5 or depth >= 12:
        return [Piece(end, None, t1)]  # a straight line is as near as the digits can say
    middle = (t0 + t1) / 2
    first = _fitted(arc, t0, middle, start, digits, depth + 1)
    onward = first[-1].end if first else start
    return first + _fitted(arc, middle, t1, onward, digits, depth + 1)


def _centre(arc: Arc, start: Steps, end: Steps, digits: Digits) -> Steps | None:
    """The whole-step centre: the exact one rounded, else the nearest that meets the rule."""
    exact = (digits.steps(arc.centre.x), digits.steps(arc.centre.y))
    nearest = (round(exact[0]), round(exact[1]))
    limit = digits.radius_rule * SHARE_OF_RULE
    if mismatch(start, end, nearest) <= limit:
        return nearest
    ideal = _on_bisector(start, end, exact)
    around = range(-WINDOW, WINDOW + 1)
    tries = [(round(ideal[0]) + dx, round(ideal[1]) + dy) for dx in around for dy in around]
    tries.sort(key=lambda c: (math.dist(c, ideal), c))
    return next((c for c in tries if mismatch(start, end, c) <= limit), None)


def _on_bisector(start: Steps, end: Steps, centre: tuple[float, float]) -> tuple[float, float]:
    """The point equally far from both rounded ends that is nearest to the exact centre."""
    chord = Point(end[0] - start[0], end[1] - start[1])
    if chord.norm() == 0:
        return centre
    along = chord.unit()
    middle = Point((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    off = Point(*centre).minus(middle).dot(along)
    return Point(*centre).plus(along, -off)


def _same_sense(arc: Arc, sweep: float, start: Steps, end: Steps, centre: Steps) -> bool:
    """Whether the rounded arc turns about as far as the exact one; a flipped end does not."""
    if start == end:
        return sweep > math.pi
    if centre in (start, end):
        return False
    rounded = abs(Arc(Point(*start), Point(*end), Point(*centre), arc.ccw).sweep)
    return abs(rounded - sweep) <= 0.1 + 4 / max(math.dist(start, centre), 1.0)
