"""The program read back gives the planned motions within half its last decimal.

Planned and read motions are laid side by side in order. A planned move may stand in the text as
several blocks (a rapid by way of its corner, an arc in pieces), or in none where it is shorter
than a step; the end must be met, and every piece must lie on its arc. Moves that the plan does not
hold may only be rapids at clearance or in machine coordinates between operations.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

from compiler.job.model import Tool
from compiler.judge.case import Case
from compiler.judge.match import (
    DUST,
    Digits,
    Step,
    difference,
    feed_true,
    is_fed_otherwise,
    match_line,
    match_rapid,
    match_turn,
    near,
    tiny,
)
from compiler.judge.model import Obligation
from compiler.judge.one_to_one import RPM, OneToOne
from compiler.motion import Move, OperationPath, Point3, Rapid, Side, Straight, Turn
from compiler.read import Motion

_DWELL = 0.0005 + 1e-9  # s: times are written in thousandths


@dataclass(slots=True)
class Found:
    """What the comparison comes to: the greatest distance between planned and read, and faults."""

    worst: float = 0.0
    at: int = -1
    fault: str = ""
    fault_at: int = -1
    fed: list[int] = field(default_factory=list)  # fed otherwise than planned, but for that true


def check(case: Case) -> Obligation:
    """The greatest distance between a planned and a read position."""
    digits = _digits(case)
    steps = list(_steps(case))
    found = _compare(case, steps, digits)
    if found.fault and is_fed_otherwise(found.fault):
        found.fault = _and_more(case, steps, digits, found)
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


def _and_more(case: Case, steps: list[Step], digits: Digits, first: Found) -> str:
    """The first feed that is another, and how many more there are, up to what differs else."""
    other = _compare(case, steps, replace(digits, feed=math.inf), feed=digits.feed)
    lines = sorted({case.motions[k].line for k in other.fed} - {case.motions[first.fault_at].line})
    said = first.fault.rstrip(".")
    if lines:
        where = f"line {lines[0]}" if len(lines) == 1 else f"lines {lines[0]} to {lines[-1]}"
        said = f"{said}, and {len(lines)} more fed otherwise, {where}"
    if other.fault:
        said = f"{said}; further on {other.fault[0].lower()}{other.fault[1:].rstrip('.')}"
    return f"{said}."


def _digits(case: Case) -> Digits:
    style = case.job.machine.program
    inch = case.job.units == "inch"
    places = style.decimals if style.decimals is not None else (4 if inch else 3)
    fine = style.decimals if style.decimals is not None else (5 if inch else 4)
    unit = 25.4 if inch else 1.0
    return Digits(
        line=0.5 * unit * 10.0**-places + DUST,
        arc=0.5 * unit * 10.0**-fine + DUST,
        feed=0.5 * unit * (0.01 if inch else 0.1) + 1e-6,
    )


def _steps(case: Case) -> Iterator[Step]:
    for path in case.planned.paths:
        here = Point3(math.nan, math.nan, case.plan.clearance_mm)
        for k, move in enumerate(path.moves):
            yield Step(move, here, path, k == 0)
            here = move.to


def _compare(case: Case, steps: list[Step], digits: Digits, feed: float | None = None) -> Found:
    """Up to the first fault; with `feed` (half its last decimal) feeds that differ are gathered."""
    found = Found()
    read = [k for k, m in enumerate(case.motions)]
    plain = OneToOne(case, steps, digits) if feed is None else None
    at = n = 0
    while n < len(steps):
        step = steps[n]
        count, off, index = plain.run(n, at) if plain is not None else (0, 0.0, -1)
        if count:
            if off > found.worst:
                found.worst, found.at = off, index
            n, at = n + count, at + count
            continue
        if step.first:
            at = _skip_between(case, read, at, step)
            if at < len(read) and (fault := _stop_fault(case, step.path, read[at])):
                found.fault, found.fault_at = fault, read[at]
                return found
        begun, at = at, _match(case, step, read, at, digits, found)
        if found.fault:
            return found
        if feed is not None and not isinstance(step.move, Rapid):
            taken = read[begun:at]
            strict = replace(digits, feed=feed)
            found.fed += [
                k for k in taken if not feed_true(case, step.move.feed, case.motions[k], strict)
            ]
        n += 1
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
        there = not math.isnan(motion.end.x) and near(motion.end, step.move.to, 0.1)
        if there or not _is_passage(case, motion):
            return at
        following = case.motions[read[at + 1]] if at + 1 < len(read) else None
        if following is None or following.kind != "rapid":
            return at
        at += 1
    return at


def _match(case: Case, step: Step, read: list[int], at: int, digits: Digits, found: Found) -> int:
    """Takes the read motions that make up one planned move; the index after them."""
    move = step.move
    if at < len(read):
        motion = case.motions[read[at]]
        match move:
            case Rapid():
                taken = match_rapid(case, step, read, at, digits)
            case Straight():
                taken = match_line(case, move, motion, digits)
            case Turn():
                taken = match_turn(case, step, read, at, digits)
        if taken:
            _weigh(case, read[at + taken - 1], move.to, found)
            last = read[at + taken - 1]
            if fault := _state_fault(case, step, read[at]) or _dwell_fault(case, move, last):
                found.fault, found.fault_at = fault, read[at]
            return at + taken
        if tiny(case, step, read, at, digits):
            return at
        found.fault_at = read[at]
        found.fault = difference(case, move, motion)
        return at
    if tiny(case, step, read, at, digits):
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
    if abs(state.rpm - min(path.rpm, case.job.machine.max_rpm)) > RPM:
        return f"Line {motion.line} runs at {state.rpm:.0f} rpm; planned are {path.rpm:.0f}."
    if fault := _compensation_fault(motion, step.move.side, tool):
        return fault
    flood, mist = path.coolant == "flood", path.coolant in ("mist", "air")
    if (state.flood, state.mist) != (flood, mist):
        return f"Line {motion.line} runs with another coolant than `{path.coolant}`."
    return ""


def _dwell_fault(case: Case, move: Move, index: int) -> str:
    """Whether the tool stays at a planned move's end, before the next one begins."""
    if not isinstance(move, Straight) or not move.dwell:
        return ""
    first = case.motions[index].line
    following = case.motions[index + 1].line if index + 1 < len(case.motions) else math.inf
    until = max(following, first + 1)  # a cycle's block holds the next motion too
    stayed = sum(b.dwell for b in case.program.blocks if first <= b.line < until)
    if abs(stayed - move.dwell) <= _DWELL:
        return ""
    return f"Line {first} stays {stayed:.3f} s; planned are {move.dwell:.3f} s."


def _compensation_fault(motion: Motion, side: Side | None, tool: Tool) -> str:
    """Whether the control compensates as planned, by the tool's own offset."""
    words = {"off": "G40", "left": "G41", "right": "G42"}
    is_on, planned = words[motion.state.compensation], words[side or "off"]
    if side is not None:
        planned += f" D{tool.diameter_offset}"
    if motion.state.diameter_offset is not None:
        is_on += f" D{motion.state.diameter_offset}"
    return (
        "" if is_on == planned else f"Line {motion.line} runs with {is_on}; planned is {planned}."
    )


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
