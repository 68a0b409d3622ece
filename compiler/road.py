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
    from compiler.geometry.pose import Pose
    from compiler.job import Job
    from compiler.judge.case import Case
    from compiler.judge.model import Report
    from compiler.motion import Motions
    from compiler.part.model import Gone, Made, Part
    from compiler.plan.model import OperationList
    from compiler.simulate import Blank
    from compiler.spec.load import Loaded, Reading
    from compiler.write import Written


@dataclass(frozen=True, slots=True, kw_only=True)
class Journey:
    """How far a spec came: every value that was made, None from the stage on that failed.

    Of a job of several setups, how far the last of them came that could be begun; `before` has
    those before it, in order. `findings` are those of all.
    """

    loaded: Loaded | None = None
    job: Job | None = None
    part: Part | None = None
    plan: OperationList | None = None
    motions: Motions | None = None
    gone: tuple[Gone, ...] = ()  # from the stock, when all is cut
    written: Written | None = None
    report: Report | None = None
    case: Case | None = None
    findings: tuple[Diagnostic, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)
    before: tuple[Journey, ...] = ()

    @property
    def failed(self) -> bool:
        """Whether an error ended the road."""
        return has_errors(self.findings)

    @property
    def setups(self) -> tuple[Journey, ...]:
        """Those of all setups, in order; mostly this one alone."""
        return (*self.before, self)


Stage = Callable[["Job", "Journey | None"], Journey]  # a setup, and the one before it


def plan_job(spec: Path, root: Path, member: str = "") -> Journey:
    """Read, resolve and lower a spec to its operation lists; no motion is planned yet.

    Args:
        spec: The job file, or a family's.
        root: Project root; nothing outside it is read.
        member: In a family file, the name of the member in its table.
    """
    from compiler.spec.load import load_job

    return go(load_job(spec, root, member), lower_setups)


def prove_job(spec: Path, root: Path, member: str = "") -> Journey:
    """The whole road: plan, cut, write, read the text back, and judge it; setup by setup.

    The journey's `report` is there even where obligations are broken; `failed` tells.
    """
    from compiler.spec.load import load_job

    return go(load_job(spec, root, member), compile_setups)


def lower_setups(jobs: Sequence[Job]) -> Journey:
    """The setups of a job to their operation lists. A function of the jobs alone.

    One that a later setup with open cutters builds on goes the whole road: they are chosen by
    planning in full, on what it leaves.
    """
    last_open = max((at for at, job in enumerate(jobs) if job.open_passes), default=0)
    built_on = jobs[:last_open]

    def one(job: Job, before: Journey | None = None) -> Journey:
        return (compile_job if job.setup in [j.setup for j in built_on] else lower_job)(job, before)

    return _each(jobs, one)


def compile_setups(jobs: Sequence[Job]) -> Journey:
    """The setups of a job to programs and evidence. A function of the jobs alone: any process of
    any machine makes the same of them. None is begun before the one before it is proven.
    """
    return _each(jobs, compile_job)


def judge_text(jobs: Sequence[Job], text: str, setup: str = "") -> Journey:
    """A resolved job and a program that came from elsewhere: the same evidence for that text.

    Who owns a line is told from the text. Where the text differs from what would be written is
    found like everything else (`text_true`); the caller weighs it.
    """

    def judged(job: Job, before: Journey | None = None) -> Journey:
        planned = _cut_job(job, before)
        if planned.plan is None or planned.motions is None:
            return planned
        return _judged(planned, text, None, before)

    return _up_to(jobs, setup, judged)


def cut_setup(jobs: Sequence[Job], setup: str = "") -> Journey:
    """The motions of one setup, named or the first; those before it go the whole road."""
    return _up_to(jobs, setup, _cut_job)


def _up_to(jobs: Sequence[Job], setup: str, stage: Stage) -> Journey:
    """A stage of one setup, named or the first, after those before it are compiled."""
    names = [job.setup.name if job.setup else "" for job in jobs]
    last = names.index(setup) if setup in names else 0

    def one(job: Job, before: Journey | None = None) -> Journey:
        return _with_tools(job, before, stage if job is jobs[last] else _compile)

    return _each(jobs[: last + 1], one)


def lower_job(job: Job, before: Journey | None = None) -> Journey:
    """A resolved job to its operation list. A function of the job alone, and of how far the setup
    before it came.
    """
    return _with_tools(job, before, _lower)


def compile_job(job: Job, before: Journey | None = None) -> Journey:
    """One setup to its program and evidence."""
    return _with_tools(job, before, _compile)


def _each(jobs: Sequence[Job], stage: Stage) -> Journey:
    """The setups one after the other, as long as none fails."""
    done: list[Journey] = []
    for job in jobs:
        if job.open_passes and done:
            from compiler.selection import carried

            job = carried(job, [journey.job for journey in done if journey.job is not None])
        done.append(stage(job, done[-1] if done else None))
        if done[-1].failed:
            break
    findings = [found for journey in done for found in journey.findings]
    return replace(done[-1], before=tuple(done[:-1]), findings=in_order(findings))


def _with_tools(job: Job, before: Journey | None, onward: Stage) -> Journey:
    """Onward with the job; one that leaves cutters open is first given them (`selection`).

    The journey's job is the one with its cutters named; its plan says how they were chosen.
    """
    if not job.open_passes:
        return onward(job, before)
    from compiler.judge.clocked import time_of_text
    from compiler.part.build import build_part
    from compiler.selection import choose, roomy, told

    part = build_part(roomy(job), _made_before(job, before))
    if part.value is None or part.failed:
        return Journey(job=job, findings=in_order(part.findings))
    written: dict[tuple[str, ...], Journey] = {}
    proven: dict[tuple[str, ...], Journey] = {}

    def key(named: Job) -> tuple[str, ...]:
        return tuple(asked.tool for asked in named.passes)

    def measure(named: Job) -> float | None:
        journey = written[key(named)] = _write_job(named, before)
        if journey.written is None or journey.plan is None:
            return None
        return time_of_text(journey.written.text, named, journey.plan)

    def prove(named: Job) -> bool:
        journey = proven[key(named)] = _proven(written[key(named)], before)
        return journey.report is not None and journey.report.held

    chosen = choose(job, part.value, measure=measure, prove=prove)
    if chosen.value is None:
        return Journey(job=job, findings=in_order((*part.findings, *chosen.findings)))
    named = chosen.value.job
    done = proven.get(key(named)) if onward is _compile else None
    journey = onward(named, before) if done is None else done
    plan = None if journey.plan is None else told(journey.plan, chosen.value)
    findings = in_order((*journey.findings, *chosen.findings))
    return replace(journey, plan=plan, findings=findings)


def _lower(job: Job, before: Journey | None) -> Journey:
    """A job whose passes all name their cutters to its operation list."""
    from compiler.part.build import build_part
    from compiler.plan.lower import lower

    part = build_part(job, _made_before(job, before))
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


def _compile(job: Job, before: Journey | None) -> Journey:
    """A job whose passes all name their cutters to its program and evidence."""
    return _proven(_write_job(job, before), before)


def _write_job(job: Job, before: Journey | None) -> Journey:
    """Down to the program's text; nothing is judged."""
    from compiler.write import write

    planned = _cut_job(job, before)
    if planned.plan is None or planned.motions is None:
        return planned
    return replace(planned, written=write(job=job, plan=planned.plan, motions=planned.motions))


def _proven(journey: Journey, before: Journey | None) -> Journey:
    """The evidence for the program that was written, if one was."""
    if journey.written is None:
        return journey
    return _judged(journey, journey.written.text, journey.written.line_owner, before)


def _made_before(job: Job, before: Journey | None) -> tuple[Made, ...]:
    """What the setups before have finished, as it lies in this one."""
    if before is None:
        return ()
    from compiler.part.made import finished, lying
    from compiler.plan.levels import deepest

    assert before.job and before.part and before.plan
    floor = deepest(before.plan)
    return lying(finished(before.job, before.part, floor), _pose(before.job, job))


def _pose(before: Job, job: Job) -> Pose:
    """From the work coordinates of one setup to those of the next."""
    assert job.setup is not None
    return job.setup.pose.between(before.datum.at, job.datum.at)


def _cut_job(job: Job, before: Journey | None) -> Journey:
    """Down to the planned motions."""
    from compiler.part.table import beside
    from compiler.paths.cut import cut_down
    from compiler.paths.table import laid_out, room_beside
    from compiler.paths.turning import lying, standing_in_air

    lowered = _lower(job, before)
    if lowered.part is None or lowered.plan is None:
        return lowered
    part, findings = lowered.part, list(lowered.findings)
    if before is not None and before.job is not None:
        part = replace(part, gone=lying(before.gone, _pose(before.job, job)))
        findings += standing_in_air(job, part)
    alone = part if job.table is None else beside(part, job.table)
    motions, gone = cut_down(job, alone, lowered.plan)
    findings += motions.findings
    drawn = motions.value if not has_errors(findings) else None
    plan = lowered.plan if drawn is None else room_beside(job, part, lowered.plan, drawn)
    return replace(
        lowered,
        part=part,
        plan=plan,
        motions=None if drawn is None else laid_out(job, plan, drawn),
        gone=gone,
        findings=in_order(findings),
    )


def blank_of(job: Job, before: Journey | None) -> Blank | None:
    """What a setup begins with, as the one before it left it; None where it is the first."""
    from compiler.simulate import Blank, turned_blank

    if before is None:
        return None
    assert before.job and before.case
    cut = before.case.cut
    left = Blank(cut.grid, cut.heights, cut.bottoms)
    return turned_blank(left, _pose(before.job, job))


def _judged(
    planned: Journey,
    text: str,
    line_owner: Sequence[str | None] | None,
    before: Journey | None,
) -> Journey:
    """The evidence for a text against what was planned, on what the setup before it left."""
    from compiler.judge.judge import examine

    assert planned.job and planned.part and planned.plan and planned.motions
    judged = examine(
        job=planned.job,
        part=planned.part,
        plan=planned.plan,
        motions=planned.motions,
        text=text,
        line_owner=line_owner,
        blank=blank_of(planned.job, before),
    )
    return replace(
        planned,
        report=judged.report,
        case=judged.case,
        findings=in_order((*_still_to_tell(planned, judged.case is not None), *judged.findings)),
    )


def _still_to_tell(planned: Journey, is_judged: bool) -> tuple[Diagnostic, ...]:
    """What planning found, less the places that it foresaw to stay: the evidence knows them."""
    return tuple(f for f in planned.findings if not (is_judged and f.code == "W451"))


def go(read: Reading, stages: Callable[[Sequence[Job]], Journey]) -> Journey:
    """What was read, taken down the road; findings of both, with what stands behind them."""
    loaded = read.value
    if loaded is None or read.failed:
        return Journey(findings=read.findings, sources=read.sources)
    journey = stages(loaded.jobs)
    return replace(
        journey,
        loaded=loaded,
        findings=in_order((*read.findings, *loaded.origins.explain(journey.findings))),
        sources=read.sources,
    )
