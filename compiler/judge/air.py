"""A program that is to cut air: nothing it does may come near anything.

Every tip stays above stock, regions and obstacles; so do shank and holder, which are above the tip.
What else a control and a machine must bear is asked as of any program.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.diagnostics import Outcome
from compiler.job.model import Job
from compiler.judge.judge import make_case
from compiler.judge.model import Obligation
from compiler.judge.obligations import IN_THE_AIR
from compiler.judge.wear import wear_offsets
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.read import Dialect, read
from compiler.simulate import total_time


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
    line_owner: Sequence[str | None],
) -> Outcome[Air]:
    """A raised program, read and held against everything; no value where its text is refused.

    `plan` and `motions` are the raised ones, `job` and `part` those of the real program.
    """
    offsets = {offset.number: 0.0 for offset in wear_offsets(job, plan)}
    program = read(text, dialect=Dialect.of(job.machine.program), offsets=offsets)
    if program.value is None:
        return Outcome(None, program.findings)
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
    found = tuple(check(case) for check in IN_THE_AIR)
    return Outcome(Air(lowest, top, lowest - case.highest, found, time))
