"""Whether read motions make up a planned move: a rapid by way of its corner, an arc in pieces.

Each `match_` function gives how many read motions, from `at` on, are the planned move; 0 if they
are not.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from compiler.geometry import Point
from compiler.judge.case import Case
from compiler.motion import Move, OperationPath, Point3, Rapid, Straight, Turn
from compiler.read import Motion, Place
from compiler.units.number import SHORT

DUST = 1e-6  # mm: arithmetic on both sides
FEED_SHOWN = 0.05  # of a unit a minute: what the words about a feed show
FED_AT = "is fed at"
ALIKE = 0.01  # mm: an end so near is the planned one, for the words


@dataclass(frozen=True, slots=True)
class Step:
    """One planned move with where it starts and its operation."""

    move: Move
    start: Point3
    path: OperationPath
    first: bool  # of its operation


@dataclass(frozen=True, slots=True)
class Digits:
    """Half a last decimal, mm, for straight ends, for arcs, and for feeds (mm/min)."""

    line: float
    arc: float
    feed: float


def near(end: Place, to: Point3, within: float) -> bool:
    """Whether two places agree in each axis, mm."""
    return (
        abs(end.x - to.x) <= within and abs(end.y - to.y) <= within and abs(end.z - to.z) <= within
    )


def match_rapid(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> int:
    """One rapid, or two by way of a corner of the box between its ends."""
    for count in (1, 2):
        if at + count > len(read):
            return 0
        taken = [case.motions[k] for k in read[at : at + count]]
        if any(m.kind != "rapid" or m.machine for m in taken):
            return 0
        if near(taken[-1].end, step.move.to, digits.line):
            return count if count == 1 or _at_corner(step, taken[0], digits) else 0
    return 0


def _at_corner(step: Step, first: Motion, digits: Digits) -> bool:
    """Whether the first leg goes up alone, or across alone at the start's height."""
    start, to = step.start, step.move.to

    def same(a: float, b: float) -> bool:
        return math.isnan(b) or abs(a - b) <= digits.line

    up = same(first.end.x, start.x) and same(first.end.y, start.y) and same(first.end.z, to.z)
    # at the top of its travel Z is clear of everything, wherever that is
    level = same(first.end.z, start.z) or "Z" in first.end.home
    across = same(first.end.x, to.x) and same(first.end.y, to.y) and level
    return (up and to.z >= start.z) or (across and to.z <= start.z)


def match_line(case: Case, move: Straight, motion: Motion, digits: Digits) -> int:
    """One fed line to the same place at the same feed."""
    good = motion.kind == "line" and near(motion.end, move.to, digits.line)
    return 1 if good and feed_true(case, move.feed, motion, digits) else 0


def feed_true(case: Case, feed: float, motion: Motion, digits: Digits) -> bool:
    """Written to its last decimal, never above the machine's highest feed."""
    wanted = min(feed, case.job.machine.max_feed)
    return abs(motion.state.feed - wanted) <= 2 * digits.feed


def match_turn(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> int:
    """Pieces of one arc, in its sense, on its circle, until its end is reached."""
    move = step.move
    assert isinstance(move, Turn)
    radius = step.start.xy.distance(move.centre)
    whole = _sweep(step)
    turned = 0.0
    # both ends and the offset are rounded: three half steps in each axis, and a step of repair
    off_circle = 5 * digits.arc * math.sqrt(2) + digits.line
    for count in range(1, len(read) - at + 1):
        motion = case.motions[read[at + count - 1]]
        on = abs(motion.end.xy.distance(move.centre) - radius) <= off_circle
        if not on or not feed_true(case, move.feed, motion, digits):
            return 0
        if motion.kind == "arc":
            if motion.ccw != move.ccw or motion.centre is None:
                return 0
            if not _centre_true(motion, move.centre, radius, off_circle):
                return 0
            turned += motion.sweep
        elif motion.kind == "line":
            turned += _angle_between(motion, move.centre)
        else:
            return 0
        slack = 4 * off_circle / max(radius, 1e-6) + 1e-6
        if _arc_end(motion, move.to, digits) and abs(turned - whole) <= slack:
            return count
        if abs(turned) > abs(whole) + slack:
            return 0
    return 0


def _arc_end(motion: Motion, to: Point3, digits: Digits) -> bool:
    """Whether a piece of an arc ends where planned, to the finer decimals of arcs."""
    fine = digits.arc if motion.kind == "arc" else digits.line
    across = abs(motion.end.x - to.x) <= fine and abs(motion.end.y - to.y) <= fine
    return across and abs(motion.end.z - to.z) <= digits.line


def _centre_true(motion: Motion, centre: Point, radius: float, off: float) -> bool:
    """Whether the read arc lies on the planned circle: its middle is where it should be.

    A short flat arc's centre may move along its middle line without the arc leaving its place.
    """
    assert motion.centre is not None
    first = math.atan2(motion.start.y - motion.centre.y, motion.start.x - motion.centre.x)
    angle = first + motion.sweep / 2
    middle = Point(
        motion.centre.x + motion.radius * math.cos(angle),
        motion.centre.y + motion.radius * math.sin(angle),
    )
    return abs(middle.distance(centre) - radius) <= off


def _sweep(step: Step) -> float:
    """Of the planned arc, rad, signed."""
    move = step.move
    assert isinstance(move, Turn)
    a, b = step.start.xy.minus(move.centre), move.to.xy.minus(move.centre)
    closed = step.start.xy.distance(move.to.xy) < 1e-9
    turn = math.tau if closed else math.atan2(a.cross(b), a.dot(b)) % math.tau
    if move.ccw:
        return turn
    return -math.tau if closed else turn - math.tau


def _angle_between(motion: Motion, centre: Point) -> float:
    a, b = motion.start.xy.minus(centre), motion.end.xy.minus(centre)
    return math.atan2(a.cross(b), a.dot(b))


def tiny(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> bool:
    """Whether the planned move is lost in rounding: the text already stands where it ends."""
    if (
        isinstance(step.move, Turn)
        and abs(_sweep(step)) * step.start.xy.distance(step.move.centre) > 8 * digits.line
    ):
        return False
    if at == 0:
        return False
    return near(case.motions[read[at - 1]].end, step.move.to, digits.line)


def is_fed_otherwise(fault: str) -> bool:
    """Whether `difference` found the feed alone to be another."""
    return f" {FED_AT} " in fault


def difference(case: Case, move: Move, motion: Motion) -> str:
    """What the text says instead, in words: the feed, where that alone is another."""
    kinds = {Rapid: "a rapid", Straight: "a fed line", Turn: "an arc"}
    shown = {"rapid": "a rapid", "line": "a fed line", "arc": "an arc"}[motion.kind]
    end = motion.end
    if shown == kinds[type(move)] and not isinstance(move, Rapid) and near(end, move.to, ALIKE):
        unit = SHORT[case.job.units]
        wanted = min(move.feed, case.job.machine.max_feed)
        if abs(motion.state.feed - wanted) > FEED_SHOWN * _u(case):
            return (
                f"Line {motion.line} {FED_AT} {motion.state.feed / _u(case):.1f} {unit}/min; "
                f"planned are {wanted / _u(case):.1f} {unit}/min."
            )
    return (
        f"Line {motion.line} reads as {shown} to X{end.x / _u(case):.5f} Y{end.y / _u(case):.5f} "
        f"Z{end.z / _u(case):.5f}; planned is {kinds[type(move)]} to X{move.to.x / _u(case):.5f} "
        f"Y{move.to.y / _u(case):.5f} Z{move.to.z / _u(case):.5f}."
    )


def _u(case: Case) -> float:
    return 25.4 if case.job.units == "inch" else 1.0
