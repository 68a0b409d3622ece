"""From a proven job to the program that it is tried with, proven for itself.

Raised, every tip stays above everything there is, so that neither cutter nor shank nor holder can
meet any of it; slowed, it is the same cut and every obligation is asked again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from compiler.diagnostics import Diagnostic, Label, Outcome, Severity, Span
from compiler.job.model import Job
from compiler.judge.air import in_air
from compiler.judge.judge import examine
from compiler.judge.model import Obligation, ProveOutFacts
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.prove_out.model import ProveOut
from compiler.prove_out.motions import into_air, lowest, raised, slowed
from compiler.simulate import Blank
from compiler.units.number import length
from compiler.units.quantity import LENGTH, QuantityError
from compiler.write import Trial, Written, write

OTHER_NUMBER = 1000  # added to the program's number: the control must not take one for the other
MOST_NUMBER = 9999


@dataclass(frozen=True, slots=True)
class Tried:
    """The program to try a job with, and what is proven of it."""

    text: str
    facts: ProveOutFacts


def prove_out(
    asked: ProveOut,
    *,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    name: str,
    program: str,
    blank: Blank | None = None,
) -> Outcome[Tried]:
    """The raised or slowed program of a proven job, or why there is none (E560).

    Args:
        asked: How.
        job, part, plan, motions: As they were proven.
        name: Of the file that it is going to be in.
        program: The real program's file and digest, for the comments.
        blank: What the setup begins with, where another one came before it.
    """
    job = _with_its_number(job)
    if asked.feed_share is not None:
        outcome = _slowed(asked, job, part, plan, motions, program, blank)
    else:
        outcome = _raised(asked, job, part, plan, motions, program)
    if outcome.value is None:
        return Outcome(None, outcome.findings)
    written, facts = outcome.value
    facts = facts.model_copy(
        update={
            "file": name,
            "stops": asked.stops,
            "program_number": job.machine.program.program_number,
            "program_digest": hashlib.sha256(written.text.encode("ascii")).hexdigest(),
        }
    )
    return Outcome(Tried(written.text, facts), (*outcome.findings, *_unmarked(job, name)))


def _with_its_number(job: Job) -> Job:
    """The job with another program number, where its control keeps programs by number."""
    style = job.machine.program
    if style.program_number is None:
        return job
    number = style.program_number + OTHER_NUMBER
    if number > MOST_NUMBER >= style.program_number:
        number = style.program_number - OTHER_NUMBER
    style = replace(style, program_number=number)
    return replace(job, machine=replace(job.machine, program=style))


_Made = Outcome[tuple[Written, ProveOutFacts]]


def _raised(
    asked: ProveOut, job: Job, part: Part, plan: OperationList, motions: Motions, program: str
) -> _Made:
    least = into_air(job, part, motions)
    by = least
    if asked.height:
        try:
            by = LENGTH.read(_number_or_text(asked.height), job.units, "positive")
        except QuantityError as error:
            return Outcome(None, (_fault(job, f"{error.message} for --raise", error.help),))
    up = raised(motions, by)
    lifted = plan.model_copy(update={"clearance_mm": round(plan.clearance_mm + by, 6)})
    said = length(by, job.units)
    trial = Trial(f"raised by {said}, is to cut air", program, asked.stops)
    written = write(job=job, plan=lifted, motions=up, trial=trial)
    air = in_air(
        job=job,
        part=part,
        plan=lifted,
        motions=up,
        text=written.text,
        line_owner=written.line_owner,
    )
    if air.value is None:
        return Outcome(None, air.findings)
    found = air.value
    if found.room < 0:
        more = f"raise it by {length(least, job.units)} or more, or leave --raise out"
        what = f"raised by {said} a tool still comes {length(-found.room, job.units)} too low"
        return Outcome(None, (_fault(job, f"{what} to cut air", more),))
    travel = job.machine.travel
    span = found.highest - lowest(motions)
    if travel is not None and span > travel[2]:
        what = (
            f"from the real program's lowest cut to the raised one's height for tool changes it is "
            f"{length(span, job.units)}; the machine travels {length(travel[2], job.units)}"
        )
        return Outcome(None, (_fault(job, what, "raise it less, or try it slowed by --slow"),))
    if faults := _broken(job, found.obligations):
        return Outcome(None, faults)
    facts = _facts("raised", found.obligations, found.time, found.lowest)
    return Outcome((written, facts.model_copy(update={"raised_mm": by, "room_mm": found.room})))


def _slowed(
    asked: ProveOut,
    job: Job,
    part: Part,
    plan: OperationList,
    motions: Motions,
    program: str,
    blank: Blank | None,
) -> _Made:
    share = asked.feed_share
    assert share is not None
    slow = slowed(motions, share)
    trial = Trial(
        f"feeds {100 * share:g} per cent of the real ones, cuts the part", program, asked.stops
    )
    written = write(job=job, plan=plan, motions=slow, trial=trial)
    judged = examine(
        job=job,
        part=part,
        plan=plan,
        motions=slow,
        text=written.text,
        line_owner=written.line_owner,
        blank=blank,
    )
    if judged.case is None:
        return Outcome(None, judged.findings)
    if faults := _broken(job, judged.report.obligations):
        return Outcome(None, faults)
    z = judged.case.z_low[judged.case.known]
    facts = _facts("slowed", judged.report.obligations, judged.report.time_s, float(z.min()))
    return Outcome((written, facts.model_copy(update={"feed_share": share})))


def _facts(
    way: str, obligations: Sequence[Obligation], time: float, lowest: float
) -> ProveOutFacts:
    return ProveOutFacts.model_validate(
        {
            "file": "",
            "way": way,
            "program_digest": "",
            "lowest_z_mm": round(lowest, 4) + 0.0,
            "time_s": round(time, 3),
            "held": tuple(entry.name for entry in obligations),
        }
    )


def _broken(job: Job, obligations: Sequence[Obligation]) -> tuple[Diagnostic, ...]:
    return tuple(
        _fault(job, f"the prove-out program breaks `{entry.name}`: {entry.what}", entry.remedy)
        for entry in obligations
        if not entry.held
    )


def _unmarked(job: Job, name: str) -> tuple[Diagnostic, ...]:
    if job.machine.program.comments != "none":
        return ()
    return (
        Diagnostic(
            code="W560",
            message=f"nothing in the text of `{name}` tells it from the program that cuts",
            severity=Severity.WARNING,
            primary=Label(Span(job.spec_file, 1, 1, 1, 2)),
            help="the machine's `program` has `comments: none`: go by the file's name",
        ),
    )


def _fault(job: Job, message: str, help: str) -> Diagnostic:
    span = Span(job.spec_file, 1, 1, 1, 2)
    return Diagnostic(code="E560", message=message, primary=Label(span), help=help)


def _number_or_text(text: str) -> float | str:
    """A bare number as such: it is in the job's units."""
    try:
        return float(text)
    except ValueError:
        return text
