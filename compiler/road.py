"""The road from a spec to its evidence, on one screen.

Each step takes the value before it and returns an `Outcome`; the first that fails ends the road
with everything found so far. Nothing here reads a clock, prints or writes a file. The later,
heavier stages are imported where they begin, so that reading a job does not pay for cutting it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, has_errors, in_order

if TYPE_CHECKING:
    from compiler.judge.model import Report
    from compiler.motion import Motions
    from compiler.part.model import Part
    from compiler.plan.model import OperationList
    from compiler.spec.load import Loaded
    from compiler.write import Written


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """How far a spec came: every value that was made, None from the stage on that failed."""

    loaded: Loaded | None = None
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


def plan_job(spec: Path, root: Path) -> Journey:
    """Read, resolve and lower a spec to its operation list; no motion is planned yet.

    Args:
        spec: The job file.
        root: Project root; nothing outside it is read.
    """
    from compiler.part.build import build_part
    from compiler.plan.lower import lower
    from compiler.spec.load import load_job

    read = load_job(spec, root)
    findings = list(read.findings)
    loaded, sources = read.value, read.sources
    if loaded is None or read.failed:
        return Journey(findings=in_order(findings), sources=sources)
    part = build_part(loaded.job)
    findings += part.findings
    if part.value is None or part.failed:
        return Journey(loaded=loaded, findings=in_order(findings), sources=sources)
    plan = lower(loaded.job, part.value)
    findings += plan.findings
    return Journey(
        loaded=loaded,
        part=part.value,
        plan=None if plan.failed else plan.value,
        findings=in_order(findings),
        sources=sources,
    )


def prove_job(spec: Path, root: Path) -> Journey:
    """The whole road: plan, cut, write, read the text back, and judge it.

    The journey's `report` is there even where obligations are broken; `failed` tells.
    """
    from compiler.judge import judge
    from compiler.paths.cut import cut
    from compiler.write import write

    planned = plan_job(spec, root)
    loaded, part, plan = planned.loaded, planned.part, planned.plan
    if loaded is None or part is None or plan is None:
        return planned
    findings = list(planned.findings)
    motions = cut(loaded.job, part, plan)
    findings += motions.findings
    if motions.value is None or motions.failed:
        return _ended(planned, findings)
    written = write(job=loaded.job, plan=plan, motions=motions.value)
    evidence = judge(
        job=loaded.job,
        part=part,
        plan=plan,
        motions=motions.value,
        text=written.text,
        line_owner=written.line_owner,
    )
    findings += evidence.findings
    return Journey(
        loaded=loaded,
        part=part,
        plan=plan,
        motions=motions.value,
        written=written,
        report=evidence.value,
        findings=in_order(findings),
        sources=planned.sources,
    )


def _ended(planned: Journey, findings: list[Diagnostic]) -> Journey:
    return Journey(
        loaded=planned.loaded,
        part=planned.part,
        plan=planned.plan,
        findings=in_order(findings),
        sources=planned.sources,
    )
