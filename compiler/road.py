"""The road from a spec to its evidence, on one screen.

Each step takes the value before it and returns an `Outcome`; the first that fails ends the road
with everything found so far. Nothing here reads a clock, prints or writes a file. The later,
heavier stages are imported where they begin, so that reading a job does not pay for cutting it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, has_errors, in_order

if TYPE_CHECKING:
    from compiler.job import Job
    from compiler.judge import Case
    from compiler.judge.model import Report
    from compiler.motion import Motions
    from compiler.part.model import Part
    from compiler.plan.model import OperationList
    from compiler.spec.load import Loaded, Reading
    from compiler.write import Written


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """How far a spec came: every value that was made, None from the stage on that failed."""

    loaded: Loaded | None = None
    job: Job | None = None
    part: Part | None = None
    plan: OperationList | None = None
    motions: Motions | None = None
    written: Written | None = None
    report: Report | None = None
    case: Case | None = None
    findings: tuple[Diagnostic, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)

    @property
    def failed(self) -> bool:
        """Whether an error ended the road."""
        return has_errors(self.findings)


def plan_job(spec: Path, root: Path, member: str = "") -> Journey:
    """Read, resolve and lower a spec to its operation list; no motion is planned yet.

    Args:
        spec: The job file, or a family's.
        root: Project root; nothing outside it is read.
        member: In a family file, the name of the member in its table.
    """
    from compiler.spec.load import load_job

    return _go(load_job(spec, root, member), lower_job)


def prove_job(spec: Path, root: Path, member: str = "") -> Journey:
    """The whole road: plan, cut, write, read the text back, and judge it.

    The journey's `report` is there even where obligations are broken; `failed` tells.
    """
    from compiler.spec.load import load_job

    return _go(load_job(spec, root, member), compile_job)


def prove_text(text: str, spec: Path, root: Path, member: str = "") -> Journey:
    """The evidence for a program text that was edited or made elsewhere, against a spec."""
    from compiler.spec.load import load_job

    return _go(load_job(spec, root, member), lambda job: judge_text(job, text))


def lower_job(job: Job) -> Journey:
    """A resolved job to its operation list. A function of the job alone."""
    return _with_tools(job, _lower)


def _with_tools(job: Job, onward: Callable[[Job], Journey]) -> Journey:
    """Onward with the job; one that leaves cutters open is first given them (`selection`).

    The journey's job is the one with its cutters named; its plan says how they were chosen.
    """
    if not job.open_passes:
        return onward(job)
    from compiler.judge.clocked import time_of_text
    from compiler.part.build import build_part
    from compiler.selection import choose, roomy, told

    part = build_part(roomy(job))
    if part.value is None or part.failed:
        return Journey(job=job, findings=in_order(part.findings))
    written: dict[str, Journey] = {}
    proven: dict[str, Journey] = {}

    def measure(named: Job) -> float | None:
        journey = written[named.digest] = _write_job(named)
        if journey.written is None or journey.plan is None:
            return None
        return time_of_text(journey.written.text, named, journey.plan)

    def prove(named: Job) -> bool:
        journey = proven[named.digest] = _proven(written[named.digest])
        return journey.report is not None and journey.report.held

    chosen = choose(job, part.value, measure=measure, prove=prove)
    if chosen.value is None:
        return Journey(job=job, findings=in_order((*part.findings, *chosen.findings)))
    named = chosen.value.job
    done = proven.get(named.digest) if onward is _compile else None
    journey = onward(named) if done is None else done
    plan = None if journey.plan is None else told(journey.plan, chosen.value)
    findings = in_order((*journey.findings, *chosen.findings))
    return replace(journey, plan=plan, findings=findings)


def _lower(job: Job) -> Journey:
    """A job whose passes all name their cutters to its operation list."""
    from compiler.part.build import build_part
    from compiler.plan.lower import lower

    part = build_part(job)
    findings = list(part.findings)
    if part.value is None or part.failed:
        return Journey(job=job, findings=in_order(findings))
    plan = lower(job, part.value)
    findings += plan.findings
    return Journey(
        job=job,
        part=part.value,
        plan=None if plan.failed else plan.value,
        findings=in_order(findings),
    )


def compile_job(job: Job) -> Journey:
    """A resolved job to its program and evidence. A function of the job alone: any process of any
    machine makes the same of it.
    """
    return _with_tools(job, _compile)


def _compile(job: Job) -> Journey:
    """A job whose passes all name their cutters to its program and evidence."""
    return _proven(_write_job(job))


def _write_job(job: Job) -> Journey:
    """Down to the program's text; nothing is judged."""
    from compiler.write import write

    planned = _cut_job(job)
    if planned.plan is None or planned.motions is None:
        return planned
    return replace(planned, written=write(job=job, plan=planned.plan, motions=planned.motions))


def _proven(journey: Journey) -> Journey:
    """The evidence for the program that was written, if one was."""
    if journey.written is None:
        return journey
    return _judged(journey, journey.written.text, journey.written.line_owner)


def judge_text(job: Job, text: str) -> Journey:
    """A resolved job and a program that came from elsewhere: the same evidence for that text.

    Who owns a line is told from the text. Where the text differs from what would be written is
    found like everything else (`text_true`); the caller weighs it.
    """

    def judged(named: Job) -> Journey:
        planned = _cut_job(named)
        if planned.plan is None or planned.motions is None:
            return planned
        return _judged(planned, text, None)

    return _with_tools(job, judged)


def _cut_job(job: Job) -> Journey:
    """Down to the planned motions."""
    from compiler.paths.cut import cut

    lowered = _lower(job)
    if lowered.part is None or lowered.plan is None:
        return lowered
    motions = cut(job, lowered.part, lowered.plan)
    findings = in_order((*lowered.findings, *motions.findings))
    return replace(lowered, motions=None if motions.failed else motions.value, findings=findings)


def _judged(planned: Journey, text: str, line_owner: Sequence[str | None] | None) -> Journey:
    """The evidence for a text against what was planned."""
    from compiler.judge import examine

    assert planned.job and planned.part and planned.plan and planned.motions
    judged = examine(
        job=planned.job,
        part=planned.part,
        plan=planned.plan,
        motions=planned.motions,
        text=text,
        line_owner=line_owner,
    )
    return replace(
        planned,
        report=judged.report,
        case=judged.case,
        findings=in_order((*planned.findings, *judged.findings)),
    )


def _go(read: Reading, stages: Callable[[Job], Journey]) -> Journey:
    """What was read, taken down the road; findings of both, with what stands behind them."""
    loaded = read.value
    if loaded is None or read.failed:
        return Journey(findings=read.findings, sources=read.sources)
    journey = stages(loaded.job)
    return replace(
        journey,
        loaded=loaded,
        findings=in_order((*read.findings, *loaded.origins.explain(journey.findings))),
        sources=read.sources,
    )
