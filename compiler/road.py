"""The road from a spec to its evidence, on one screen.

Each step takes the value before it and returns an `Outcome`; the first that fails ends the road
with everything found so far. Nothing here reads a clock, prints or writes a file. The later,
heavier stages are imported where they begin, so that reading a job does not pay for cutting it.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, has_errors, in_order

if TYPE_CHECKING:
    from compiler.job import Job
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


def lower_job(job: Job) -> Journey:
    """A resolved job to its operation list. A function of the job alone."""
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
    from compiler.judge import judge
    from compiler.paths.cut import cut
    from compiler.write import write

    lowered = lower_job(job)
    part, plan = lowered.part, lowered.plan
    if part is None or plan is None:
        return lowered
    findings = list(lowered.findings)
    motions = cut(job, part, plan)
    findings += motions.findings
    if motions.value is None or motions.failed:
        return replace(lowered, findings=in_order(findings))
    written = write(job=job, plan=plan, motions=motions.value)
    evidence = judge(
        job=job,
        part=part,
        plan=plan,
        motions=motions.value,
        text=written.text,
        line_owner=written.line_owner,
    )
    findings += evidence.findings
    return replace(
        lowered,
        motions=motions.value,
        written=written,
        report=evidence.value,
        findings=in_order(findings),
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
