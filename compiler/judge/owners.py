"""Which planned operation each line of a program belongs to, told from the program itself.

A program that we wrote names its operations in comments. One made elsewhere may not: there the
tool in the spindle tells, and where several operations in a row share a tool, the heights that are
cut. An operation promises limits; lines that belong to none have no promise to be held to, which
`engagement_held` refuses.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import groupby

from compiler.job.model import Job
from compiler.plan.model import Operation, OperationList
from compiler.read import Block, Program

NAMED = re.compile(r"^\s*operation\s+([^:]+?)\s*(?::|$)", re.IGNORECASE)
_SAME_HEIGHT = 0.01  # mm: a cut this near to an operation's level is at it


def owners(program: Program, job: Job, plan: OperationList) -> tuple[str | None, ...]:
    """For each line of the program the operation that it belongs to; None for head and end.

    A comment that names an operation of another tool than the one in the spindle is not believed.
    """
    found: list[str | None] = [None] * program.lines
    numbers = {op.id: job.tool(op.tool).number for op in plan.operations}
    runs = [list(run) for _, run in groupby(plan.operations, key=lambda op: numbers[op.id])]
    taken = 0
    for section in _sections(program.blocks):
        number = _tool_of(section)
        run, taken = _next_run(runs, numbers, number, taken)
        named = _by_comment(section, numbers, number)
        marks = named or _by_height(section, run)
        for at, (line, name) in enumerate(marks):
            until = marks[at + 1][0] if at + 1 < len(marks) else _end(section) + 1
            found[line - 1 : until - 1] = [name] * (until - line)
    return tuple(found)


def _sections(blocks: Sequence[Block]) -> list[list[Block]]:
    """The blocks parted where tools change; a comment that names an operation opens the change."""
    parts: list[list[Block]] = [[]]
    opened: int | None = None  # where a named operation began that has not cut yet
    for block in blocks:
        if NAMED.match(block.comment):
            opened = len(parts[-1])
        if block.says("M", 6):
            before = parts[-1][:opened] if opened is not None else parts[-1]
            ahead = parts[-1][opened:] if opened is not None else []
            parts[-1] = before
            parts.append(ahead)
        parts[-1].append(block)
        if any(motion.kind != "rapid" for motion in block.motions):
            opened = None
    return [part for part in parts if part]


def _tool_of(section: Sequence[Block]) -> int | None:
    """The tool that the section ends with: changes stand at its beginning."""
    return section[-1].state.tool


def _next_run(
    runs: list[list[Operation]], numbers: dict[str, int], number: int | None, taken: int
) -> tuple[list[Operation], int]:
    """The operations that one section may hold: the next run of its tool, else the last one."""
    fitting = [k for k, run in enumerate(runs) if numbers[run[0].id] == number]
    if not fitting:
        return [], taken
    ahead = next((k for k in fitting if k >= taken), None)
    if ahead is None:
        return runs[fitting[-1]], taken
    return runs[ahead], ahead + 1


def _by_comment(
    section: Sequence[Block], numbers: dict[str, int], number: int | None
) -> list[tuple[int, str]]:
    """Lines where a comment names an operation of the tool in the spindle."""
    marks = []
    for block in section:
        match = NAMED.match(block.comment)
        if match and numbers.get(match[1]) == number:
            marks.append((block.line, match[1]))
    return marks


def _by_height(section: Sequence[Block], run: list[Operation]) -> list[tuple[int, str]]:
    """The run's operations in turn: the next one begins where a cut is at its height only."""
    if not run:
        return []
    start = next((b.line for b in section if b.says("M", 6)), section[0].line)
    marks = [(start, run[0].id)]
    at, lifted = 0, start
    for block in section:
        for motion in block.motions:
            if motion.kind == "rapid":
                lifted = motion.line if motion.end.z > motion.start.z else lifted
                continue
            if abs(motion.end.z - motion.start.z) > 1e-6 or _cuts_at(run[at], motion.end.z):
                continue
            later = [k for k in range(at + 1, len(run)) if _cuts_at(run[k], motion.end.z)]
            if later:
                at = later[0]
                marks.append((max(lifted, marks[-1][0]) + 1, run[at].id))
    return marks


def _cuts_at(operation: Operation, z: float) -> bool:
    return any(abs(level.bottom_mm - z) <= _SAME_HEIGHT for level in operation.levels)


def _end(section: Sequence[Block]) -> int:
    """The last line that belongs to the section's work: its last fed move, and the way up."""
    last = section[-1].line
    cuts = [m.line for b in section for m in b.motions if m.kind != "rapid"]
    return next(
        (b.line for b in section if cuts and b.line > cuts[-1] and b.motions),
        last,
    )
