"""A program that is to cut air: nothing it does may come near anything.

Every tip stays above stock, regions and obstacles; so do shank and holder, which are above the tip.
What else a control and a machine must bear is asked as of any program.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.diagnostics import Diagnostic, Label, Outcome, Span
from compiler.job.model import Job
from compiler.judge.case import Case
from compiler.judge.judge import make_case
from compiler.judge.model import Obligation
from compiler.judge.obligations import IN_THE_AIR
from compiler.judge.owners import owners
from compiler.judge.told import told
from compiler.judge.wear import wear_offsets
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.read import Dialect, Program, read
from compiler.simulate import total_time
from compiler.units.number import length


@dataclass(frozen=True, slots=True)
class Air:
    """What a program in the air keeps clear of, and its obligations. Heights mm, time s."""

    lowest: float  # Z of the lowest tip
    highest: float  # of the highest that the program sends one to
    room: float  # from the highest of all things up to it; negative: it comes down among them
    obligations: tuple[Obligation, ...]
    time: float


def in_air(
    *,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    text: str,
    line_owner: Sequence[str | None] | None = None,
) -> Outcome[Air]:
    """A raised program, read and held against everything; no value where its text is refused.

    `plan` and `motions` are the raised ones, `job` and `part` those of the real program. Without
    `line_owner` who owns a line is told from the text (`judge.owners`). What is broken is a
    finding, and that a tool comes down among anything (E561).
    """
    program = _read(text, job, plan)
    if program.value is None:
        return Outcome(None, program.findings)
    if line_owner is None:
        line_owner = owners(program.value, job, plan)
    case = make_case(
        job=job,
        part=part,
        plan=plan,
        motions=motions,
        program=program.value,
        line_owner=line_owner,
    )
    lowest = min((float(z) for z in case.z_low[case.known]), default=case.highest)
    top = max((float(z) for z in case.z_high[case.known]), default=lowest)
    time = total_time(case.seconds, program.value.blocks, change_time=job.machine.change_time)
    entries = tuple(check(case) for check in IN_THE_AIR)
    findings = [told(job, entry) for entry in entries if not entry.held]
    if lowest < case.highest:
        findings.append(_among(case, lowest))
    return Outcome(Air(lowest, top, lowest - case.highest, entries, time), tuple(findings))


def lowest_tip(text: str, job: Job, plan: OperationList) -> float | None:
    """Z of the lowest tip of a program, mm; None where its text is refused or says no place."""
    program = _read(text, job, plan)
    moves = program.value.motions if program.value is not None else ()
    known = [min(m.start.z, m.end.z) for m in moves if m.start.known and m.end.known]
    return min(known, default=None)


def _read(text: str, job: Job, plan: OperationList) -> Outcome[Program]:
    offsets = {offset.number: 0.0 for offset in wear_offsets(job, plan)}
    return read(text, dialect=Dialect.of(job.machine.program), offsets=offsets)


def _among(case: Case, lowest: float) -> Diagnostic:
    """That a tool comes down among stock, regions or obstacles, and where it first does."""
    first = next(
        motion
        for motion, low, known in zip(case.motions, case.z_low, case.known, strict=True)
        if known and low < case.highest
    )
    units = case.job.units
    return Diagnostic(
        code="E561",
        message=f"a tool comes down to Z {length(lowest, units)}, among what ends at "
        f"Z {length(case.highest, units)}: this cuts no air",
        primary=Label(Span(case.job.spec_file, 1, 1, 1, 2)),
        help=f"raise it by {length(case.highest - lowest, units)} or more; `build --prove-out` "
        "writes one that is high enough",
        data=(("program_line", float(first.line)),),
    )
