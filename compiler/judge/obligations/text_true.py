"""The program read back gives the planned motions within half its last decimal.

Planned and read motions are laid side by side in order. A planned move may stand in the text as
several blocks (a rapid by way of its corner, an arc in pieces), or in none where it is shorter
than a step; the end must be met, and every piece must lie on its arc. Moves that the plan does not
hold may only be rapids at clearance or in machine coordinates between operations.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from compiler.geometry import Point
from compiler.judge.case import Case
from compiler.judge.model import Obligation
from compiler.motion import Move, OperationPath, Point3, Rapid, Straight, Turn
from compiler.read import Motion, Place

_RPM = 1.0  # spindle speeds are written in whole turns
_DUST = 1e-6  # mm: arithmetic on both sides


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


@dataclass(slots=True)
class Found:
    """What the comparison comes to: the greatest distance between planned and read, and faults."""

    worst: float = 0.0
    at: int = -1
    fault: str = ""
    fault_at: int = -1


def check(case: Case) -> Obligation:
    """The greatest distance between a planned and a read position."""
    digits = _digits(case)
    found = _compare(case, list(_steps(case)), digits)
    allowed = digits.line
    if found.fault:
        return Obligation(
            name="text_true",
            held=False,
            what=found.fault,
            allowed=allowed,
            unit="mm",
            worst=case.place(found.fault_at) if found.fault_at >= 0 else None,
            remedy="do not run this program; the text and the plan say different things",
        )
    return Obligation(
        name="text_true",
        held=True,
        what=f"{len(case.motions)} motions read back stand where they were planned.",
        measured=found.worst,
        allowed=allowed,
        margin=allowed - found.worst,
        unit="mm",
        worst=case.place(found.at) if found.at >= 0 else None,
    )


def _digits(case: Case) -> Digits:
    style = case.job.machine.program
    inch = case.job.units == "inch"
    places = style.decimals if style.decimals is not None else (4 if inch else 3)
    fine = style.decimals if style.decimals is not None else (5 if inch else 4)
    unit = 25.4 if inch else 1.0
    return Digits(
        line=0.5 * unit * 10.0**-places + _DUST,
        arc=0.5 * unit * 10.0**-fine + _DUST,
        feed=0.5 * unit * (0.01 if inch else 0.1) + 1e-6,
    )


def _steps(case: Case) -> Iterator[Step]:
    for path in case.planned.paths:
        here = Point3(math.nan, math.nan, case.plan.clearance_mm)
        for k, move in enumerate(path.moves):
            yield Step(move, here, path, k == 0)
            here = move.to


def _compare(case: Case, steps: list[Step], digits: Digits) -> Found:
    found = Found()
    read = [k for k, m in enumerate(case.motions)]
    at = 0
    for step in steps:
        if step.first:
            at = _skip_between(case, read, at, step)
            if at < len(read) and (fault := _stop_fault(case, step.path, read[at])):
                found.fault, found.fault_at = fault, read[at]
                return found
        at = _match(case, step, read, at, digits, found)
        if found.fault:
            return found
    for k in read[at:]:
        if not _is_passage(case, case.motions[k]):
            found.fault = f"Line {case.motions[k].line} moves where no motion is planned."
            found.fault_at = k
            return found
    return found


def _is_passage(case: Case, motion: Motion) -> bool:
    """A rapid that is safe wherever it leads: at home, or at clearance and above."""
    if motion.kind != "rapid":
        return False
    if motion.machine:
        return True
    floor = case.plan.clearance_mm - 0.1
    return motion.end.z >= floor and not motion.start.z < floor


def _skip_between(case: Case, read: list[int], at: int, step: Step) -> int:
    """Past passages that lead up to an operation, up to the one that reaches its first place."""
    while at < len(read):
        motion = case.motions[read[at]]
        there = not math.isnan(motion.end.x) and _near(motion.end, step.move.to, 0.1)
        if there or not _is_passage(case, motion):
            return at
        following = case.motions[read[at + 1]] if at + 1 < len(read) else None
        if following is None or following.kind != "rapid":
            return at
        at += 1
    return at


def _near(end: Place, to: Point3, within: float) -> bool:
    return (
        abs(end.x - to.x) <= within and abs(end.y - to.y) <= within and abs(end.z - to.z) <= within
    )


def _match(case: Case, step: Step, read: list[int], at: int, digits: Digits, found: Found) -> int:
    """Takes the read motions that make up one planned move; the index after them."""
    move = step.move
    if at < len(read):
        motion = case.motions[read[at]]
        match move:
            case Rapid():
                taken = _match_rapid(case, step, read, at, digits)
            case Straight():
                taken = _match_line(case, move, motion, digits)
            case Turn():
                taken = _match_turn(case, step, read, at, digits)
        if taken:
            _weigh(case, read[at + taken - 1], move.to, found)
            if fault := _state_fault(case, step, read[at]):
                found.fault, found.fault_at = fault, read[at]
            return at + taken
        if _tiny(case, step, read, at, digits):
            return at
        found.fault_at = read[at]
        found.fault = _difference(case, move, motion)
        return at
    if _tiny(case, step, read, at, digits):
        return at
    found.fault = f"The text ends before operation `{step.path.operation}` does."
    return at


def _state_fault(case: Case, step: Step, index: int) -> str:
    """What else the plan says of a move: tool, speed, coolant, and a stop before its operation."""
    motion, path = case.motions[index], step.path
    state = motion.state
    tool = case.job.tool(path.tool)
    if state.tool != tool.number:
        return f"Line {motion.line} runs with T{state.tool}; planned is T{tool.number}."
    if isinstance(step.move, Rapid):
        return ""
    if abs(state.rpm - min(path.rpm, case.job.machine.max_rpm)) > _RPM:
        return f"Line {motion.line} runs at {state.rpm:.0f} rpm; planned are {path.rpm:.0f}."
    flood, mist = path.coolant == "flood", path.coolant in ("mist", "air")
    if (state.flood, state.mist) != (flood, mist):
        return f"Line {motion.line} runs with another coolant than `{path.coolant}`."
    return ""


def _stop_fault(case: Case, path: OperationPath, first: int) -> str:
    """Whether a planned stop stands between the operation and the fed moves before it."""
    if not path.stop_before:
        return ""
    line = case.motions[first].line
    before = max((m.line for m in case.motions[:first] if m.kind != "rapid"), default=0)
    for block in case.program.blocks:
        if before < block.line < line and block.says("M", 0):
            return ""
    return f"No stop (M0) stands before operation `{path.operation}`, as planned."


def _weigh(case: Case, index: int, to: Point3, found: Found) -> None:
    end = case.motions[index].end
    off = max(abs(end.x - to.x), abs(end.y - to.y), abs(end.z - to.z))
    if off > found.worst:
        found.worst, found.at = off, index


def _match_rapid(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> int:
    """One rapid, or two by way of a corner of the box between its ends."""
    for count in (1, 2):
        if at + count > len(read):
            return 0
        taken = [case.motions[k] for k in read[at : at + count]]
        if any(m.kind != "rapid" or m.machine for m in taken):
            return 0
        if _near(taken[-1].end, step.move.to, digits.line):
            return count if count == 1 or _at_corner(step, taken[0], digits) else 0
    return 0


def _at_corner(step: Step, first: Motion, digits: Digits) -> bool:
    """Whether the first leg goes up alone, or across alone at the start's height."""
    start, to = step.start, step.move.to

    def same(a: float, b: float) -> bool:
        return math.isnan(b) or abs(a - b) <= digits.line

    up = same(first.end.x, start.x) and same(first.end.y, start.y) and same(first.end.z, to.z)
    across = same(first.end.x, to.x) and same(first.end.y, to.y) and same(first.end.z, start.z)
    return (up and to.z >= start.z) or (across and to.z <= start.z)


def _match_line(case: Case, move: Straight, motion: Motion, digits: Digits) -> int:
    good = motion.kind == "line" and _near(motion.end, move.to, digits.line)
    return 1 if good and _feed_true(case, move.feed, motion, digits) else 0


def _feed_true(case: Case, feed: float, motion: Motion, digits: Digits) -> bool:
    """Written to its last decimal, never above the machine's highest feed."""
    wanted = min(feed, case.job.machine.max_feed)
    return abs(motion.state.feed - wanted) <= 2 * digits.feed


def _match_turn(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> int:
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
        if not on or not _feed_true(case, move.feed, motion, digits):
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
        if _near(motion.end, move.to, digits.line) and abs(turned - whole) <= slack:
            return count
        if abs(turned) > abs(whole) + slack:
            return 0
    return 0


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


def _tiny(case: Case, step: Step, read: list[int], at: int, digits: Digits) -> bool:
    """Whether the planned move is lost in rounding: the text already stands where it ends."""
    if (
        isinstance(step.move, Turn)
        and abs(_sweep(step)) * step.start.xy.distance(step.move.centre) > 8 * digits.line
    ):
        return False
    if at == 0:
        return False
    return _near(case.motions[read[at - 1]].end, step.move.to, digits.line)


def _difference(case: Case, move: Move, motion: Motion) -> str:
    """What the text says instead, in words."""
    kinds = {Rapid: "a rapid", Straight: "a fed line", Turn: "an arc"}
    shown = {"rapid": "a rapid", "line": "a fed line", "arc": "an arc"}[motion.kind]
    end = motion.end
    return (
        f"Line {motion.line} reads as {shown} to X{end.x / _u(case):.5f} Y{end.y / _u(case):.5f} "
        f"Z{end.z / _u(case):.5f}; planned is {kinds[type(move)]} to X{move.to.x / _u(case):.5f} "
        f"Y{move.to.y / _u(case):.5f} Z{move.to.z / _u(case):.5f}."
    )


def _u(case: Case) -> float:
    return 25.4 if case.job.units == "inch" else 1.0
