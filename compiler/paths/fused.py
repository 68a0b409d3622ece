"""Two level moves in one, where the second only goes on with the first at the same feed.

A row is cut stretch by stretch, with what is cleared already between; a control reads the same
straight line, or the same arc, as one block.
"""

from __future__ import annotations

import math
from dataclasses import replace

from compiler.geometry import Arc
from compiler.motion import Point3, Role, Straight, Turn

SAME = 1e-7  # mm, and mm/min
ASIDE = 1e-6  # mm that the place between may lie off the one line
WIDEST = 3.0  # rad: no arc is made as long as a half turn, whose radius says too little of it
ALIKE = frozenset({Role.CUT, Role.LINK})


def in_one(
    start: Point3, first: Straight | Turn, second: Straight | Turn
) -> Straight | Turn | None:
    """The one move from `start` for both; None where they are not of one line or arc, or differ.

    What is cut and what is crossed on the way count as cut.
    """
    level = abs(start.z - first.to.z) <= SAME and abs(first.to.z - second.to.z) <= SAME
    alike = first.role is second.role or {first.role, second.role} == ALIKE
    if not (level and alike and first.side == second.side):
        return None
    if abs(first.feed - second.feed) > SAME:
        return None
    role = first.role if first.role is second.role else Role.CUT
    if isinstance(first, Straight) and isinstance(second, Straight):
        goes_on = first.dwell == 0 and _straight_on(start, first.to, second.to)
        return replace(second, role=role) if goes_on else None
    if isinstance(first, Turn) and isinstance(second, Turn):
        return replace(second, role=role) if _turns_on(start, first, second) else None
    return None


def _straight_on(a: Point3, b: Point3, c: Point3) -> bool:
    """Whether b lies on the line from a to c, between them."""
    whole, part = c.xy.minus(a.xy), b.xy.minus(a.xy)
    length = whole.norm()
    if length <= SAME:
        return False
    return abs(whole.cross(part)) <= ASIDE * length and 0 < whole.dot(part) < length * length


def _turns_on(start: Point3, first: Turn, second: Turn) -> bool:
    """Whether both are parts of one arc, that is less than half a turn."""
    if first.ccw != second.ccw or first.centre.distance(second.centre) > SAME:
        return False
    sweeps = [
        abs(Arc(a.xy, move.to.xy, move.centre, move.ccw).sweep)
        for a, move in ((start, first), (first.to, second))
    ]
    return math.fsum(sweeps) <= WIDEST
