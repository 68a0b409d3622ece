"""Spindle on before contact, tool and length offset called before its first move, every modal
state explicit at every tool change, and a program that starts and ends safe.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from compiler.judge.case import Case
from compiler.judge.model import Obligation
from compiler.read import Block
from compiler.read.model import WHOLE
from compiler.units.number import counted

# What must be said between a tool change and the first move after it (and at the top).
STATED: tuple[tuple[str, tuple[float, ...]], ...] = (
    ("the plane (G17)", (17,)),
    ("the units (G20 or G21)", (20, 21)),
    ("no cutter compensation (G40)", (40,)),
    ("no length offset until the next is called (G49)", (49,)),
    ("no drilling cycle (G80)", (80,)),
    ("absolute distances (G90)", (90,)),
    ("feed per minute (G94)", (94,)),
    ("the work offset (G54 to G59)", (54, 55, 56, 57, 58, 59)),
)


@dataclass(frozen=True, slots=True)
class Fault:
    """What is wrong, on which line, and what to write instead."""

    line: int
    what: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Telling:
    """The blocks that say more than moves do, and the lines of those that change or wait."""

    blocks: tuple[Block, ...]
    changes: frozenset[int]
    waits: frozenset[int]

    @classmethod
    def of(cls, blocks: Sequence[Block]) -> Telling:
        """Those of a program."""
        found = tuple(block for block in blocks if _tells(block))
        changes = frozenset(block.line for block in found if block.says("M", 6))
        stops = frozenset(b.line for b in found if b.says("M", 0) or b.says("M", 1))
        return cls(found, changes, changes | stops)


def _tells(block: Block) -> bool:
    """Whether it has any code but those of plain moves."""
    for name, value in block.words:  # noqa: SIM110 - as `Block.says`
        if name == "M" or (name == "G" and value > 3 + WHOLE):
            return True
    return False


def check(case: Case) -> Obligation:
    """The first fault from the top, or none."""
    told = Telling.of(case.program.blocks)
    found = [*_units(case, told), *_sections(case, told), *_motions(case), *_ending(case, told)]
    faults = sorted(found, key=lambda f: f.line)
    if not faults:
        changes = len(told.changes)
        return Obligation(
            name="program_sane",
            held=True,
            what=f"{counted(changes, 'tool')} called, each with its state stated; "
            "start and end are safe.",
            measured=0.0,
            allowed=0.0,
            margin=0.0,
            unit="faults",
        )
    first = faults[0]
    rest = len(faults) - 1
    more = f" {rest} more of the kind {'follows' if rest == 1 else 'follow'}." if rest else ""
    return Obligation(
        name="program_sane",
        held=False,
        what=first.what + more,
        measured=float(len(faults)),
        allowed=0.0,
        margin=-float(len(faults)),
        unit="faults",
        worst=case.place(line=first.line),
        remedy=first.remedy,
    )


def _units(case: Case, told: Telling) -> list[Fault]:
    """One unit throughout, and that of the job."""
    wanted = "inch" if case.job.units == "inch" else "mm"
    code = 20 if wanted == "inch" else 21
    return [
        Fault(
            b.line, f"The program changes its units against the job's ({wanted}).", f"state G{code}"
        )
        for b in told.blocks
        if b.says("G", 41 - code)
    ]


def _sections(case: Case, told: Telling) -> list[Fault]:
    """From each tool change (and from the top) to its first move: is everything said?"""
    faults: list[Fault] = []
    said: list[Block] = []
    waiting = False
    where = "at the top of the program"
    for block in case.program.blocks:
        if block.line in told.changes:
            said, waiting = [], True
            where = f"after the tool change in line {block.line}"
            faults += _change(case, block)
        said.append(block)
        if not block.motions:
            continue
        if all(motion.machine for motion in block.motions):
            continue
        if waiting:
            faults += _unsaid(case, said, block, where)
        waiting = False
    first_change = min(told.changes, default=None)
    first_move = next((m.line for m in case.motions if not m.machine), None)
    if first_move is not None and (first_change is None or first_move < first_change):
        faults.append(
            Fault(first_move, "A move stands before any tool is called.", "call the tool: T and M6")
        )
    return faults


def _change(case: Case, block: Block) -> list[Fault]:
    number = block.state.tool
    if any(tool.number == number for tool in case.job.tools):
        return []
    known = ", ".join(f"T{tool.number}" for tool in case.job.tools)
    return [Fault(block.line, f"T{number} is no tool of the job.", f"call one of {known}")]


def _unsaid(case: Case, said: list[Block], block: Block, where: str) -> list[Fault]:
    """What was not stated before (or in) the first moving block after a change."""
    faults = []
    for what, codes in STATED:
        if not any(b.says("G", code) for b in said for code in codes):
            faults.append(
                Fault(block.line, f"{where.capitalize()} nothing states {what}.", f"state {what}")
            )
    return faults


def _motions(case: Case) -> list[Fault]:
    """State in force during each move."""
    faults: list[Fault] = []
    table = case.job.table
    offsets = {case.job.datum.work_offset} if table is None else set(table.work_offsets)
    for k, motion in enumerate(case.motions):
        if motion.machine:
            continue
        state, tool = motion.state, case.tools[k]
        if state.work_offset not in offsets:
            wanted = case.job.datum.work_offset
            what = f"A move runs in {state.work_offset}; the datum is in {wanted}."
            faults.append(Fault(motion.line, what, f"state {wanted} before it"))
        if tool is not None and case.job.machine.program.length_offset:
            moves_z = not math.isnan(motion.end.z)
            if moves_z and state.length_offset != tool.length_offset:
                called = "none" if state.length_offset is None else f"H{state.length_offset}"
                wanted = f"H{tool.length_offset}"
                what = f"T{tool.number} moves in Z with length offset {called}, not {wanted}."
                faults.append(Fault(motion.line, what, f"write G43 {wanted} first"))
        if motion.kind == "rapid":
            continue
        number = state.diameter_offset
        if tool is not None and number not in (None, tool.diameter_offset):
            wanted = f"D{tool.diameter_offset}"
            what = f"T{tool.number} is compensated by the wear offset D{number}, not {wanted}."
            faults.append(Fault(motion.line, what, f"write {wanted}"))
        if state.spindle == "off" or state.rpm <= 0:
            faults.append(
                Fault(motion.line, "A fed move stands while the spindle is off.", "S and M3 first")
            )
        elif state.spindle == "ccw":
            what = "The spindle turns counter-clockwise under a right-hand cutter."
            faults.append(Fault(motion.line, what, "write M3, not M4"))
        if not case.known[k]:
            what = "A fed move starts where the program has not stated the position."
            faults.append(
                Fault(motion.line, what, "give X, Y and Z by rapids above the work first")
            )
        if len(faults) > 50:
            break
    return faults


def _ending(case: Case, told: Telling) -> list[Fault]:
    """Z up, spindle and coolant off by their own words, M2 or M30."""
    blocks = case.program.blocks
    if not blocks:
        return [Fault(1, "The program is empty.", "build it again")]
    last = blocks[-1].line
    faults: list[Fault] = []
    if not case.program.ended:
        faults.append(Fault(last, "The program does not end with M2 or M30.", "write M30 last"))
    last_cut = max((m.line for m in case.motions if m.kind != "rapid"), default=0)
    after = [b for b in told.blocks if b.line > last_cut]
    for code, what in ((5, "spindle is not stopped"), (9, "coolant is not switched off")):
        if not any(b.says("M", code) for b in after):
            faults.append(Fault(last, f"At the end the {what}.", f"write M{code} before the end"))
    if case.motions:
        end = case.motions[-1].end
        home = "Z" in end.home
        if not home and not end.z >= case.highest:
            what = "At the end the tool is not above the work."
            faults.append(Fault(last, what, f"go up to Z {case.length(case.part.clearance)}"))
    faults += _stops(case, told)
    return faults


def _stops(case: Case, told: Telling) -> list[Fault]:
    """Where the program waits or changes tools, the tool must be up."""
    faults: list[Fault] = []
    z, home = math.nan, ""
    cut = False
    for block in case.program.blocks:
        changes = block.line in told.changes
        # a stop acts after the motion of its block, a change before it
        if block.motions and not changes:
            z, home = block.motions[-1].end.z, block.motions[-1].end.home
            cut = cut or any(m.kind != "rapid" for m in block.motions)
        if block.line in told.waits and cut and "Z" not in home and z < case.highest:
            what = "The program stops or changes the tool while the tool is down in the work."
            faults.append(Fault(block.line, what, "retract to clearance first"))
        if changes:
            z = math.nan
    return faults
