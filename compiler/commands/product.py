"""A resolved job to every file that a build writes. A function of what it is given: it reads and
writes nothing, so it can run in any process on any machine.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from compiler import __version__
from compiler.diagnostics import Diagnostic, Outcome, has_errors
from compiler.prove_out.model import ProveOut

if TYPE_CHECKING:
    from compiler.job import Job
    from compiler.judge.model import MadeFrom, Report, SetupsReport
    from compiler.pictures.display import Picture
    from compiler.plan.model import OperationList
    from compiler.prove_out.build import Tried
    from compiler.road import Journey


SHEETS = {"pdf": ("pdf",), "md": ("md",), "both": ("pdf", "md")}
PICTURES = {"svg": ("svg",), "png": ("png",), "both": ("svg", "png")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """Which setup sheets and pictures are made, by file ending, the commit that sheets name, and
    the program that the job is tried with, if one is wanted.
    """

    forms: tuple[str, ...] = SHEETS["pdf"]
    pictures: tuple[str, ...] = PICTURES["svg"]
    commit: str = ""
    prove_out: ProveOut | None = None

    @property
    def prove_out_said(self) -> str:
        """How the prove-out program is asked for; empty: it is not."""
        return "" if self.prove_out is None else self.prove_out.said

    def names(self, programs: Iterable[str]) -> set[str]:
        """File names by which a build's forms are told: the sheets and the part's pictures.

        `programs` are the names of the program files.
        """
        stems = [name.removesuffix(".nc") for name in programs]
        sheets = {f"{stem}.setup.{form}" for stem in stems for form in self.forms}
        return sheets | {f"{stem}.plan.{form}" for stem in stems for form in self.pictures}


@dataclass(frozen=True, slots=True, kw_only=True)
class Product:
    """What became of a job: its files by name, the report last; none where it falls short."""

    findings: tuple[Diagnostic, ...]
    files: dict[str, bytes] = field(default_factory=dict)
    setups: tuple[tuple[OperationList, Report], ...] = ()

    @property
    def failed(self) -> bool:
        """Whether there is nothing to write."""
        return has_errors(self.findings) or not self.files

    @property
    def time_s(self) -> float:
        """At the machine, all programs."""
        return sum(report.time_s for _, report in self.setups)


def produce(jobs: tuple[Job, ...], made_from: MadeFrom, paper: Paper) -> Product:
    """Compile, prove and draw a job, all of its setups."""
    from compiler.road import compile_setups

    journey = compile_setups(jobs)
    if journey.failed or journey.report is None:
        return Product(findings=journey.findings)
    tried: dict[str, Tried] = {}
    findings = journey.findings
    if paper.prove_out is not None:
        outcome = _tried(journey, paper.prove_out)
        findings = (*findings, *outcome.findings)
        if outcome.value is None:
            return Product(findings=findings)
        tried = outcome.value
    setups = [(each.plan, each.report) for each in journey.setups if each.plan and each.report]
    return Product(
        findings=findings,
        files=outputs_of(journey, made_from, paper, tried),
        setups=tuple(setups),
    )


def _tried(journey: Journey, asked: ProveOut) -> Outcome[dict[str, Tried]]:
    """By output name the program that each proven setup is tried with."""
    from compiler.commands.digests import digest
    from compiler.prove_out.build import prove_out
    from compiler.road import blank_of

    found: dict[str, Tried] = {}
    findings: list[Diagnostic] = []
    before: Journey | None = None
    for setup in journey.setups:
        job, written = setup.job, setup.written
        assert job and setup.part and setup.plan and setup.motions and written
        name = job.output_name
        outcome = prove_out(
            asked,
            job=job,
            part=setup.part,
            plan=setup.plan,
            motions=setup.motions,
            name=f"{name}.prove-out.nc",
            program=f"{name}.nc, digest {digest(written.text.encode('ascii'))[:16]}",
            blank=blank_of(job, before),
        )
        findings += outcome.findings
        if outcome.value is not None:
            found[name] = outcome.value
        before = setup
    whole = len(found) == len(journey.setups)
    return Outcome(found if whole else None, tuple(findings))


def produce_safely(jobs: tuple[Job, ...], made_from: MadeFrom, paper: Paper) -> Product:
    """The same, with a fault of our own as a finding: one job must not end the others."""
    try:
        return produce(jobs, made_from, paper)
    except Exception as fault:
        from compiler.commands.fault import fault_finding

        return Product(findings=(fault_finding(fault),))


def outputs_of(
    journey: Journey,
    made_from: MadeFrom | None = None,
    paper: Paper | None = None,
    tried: Mapping[str, Tried] | None = None,
) -> dict[str, bytes]:
    """Every output of a proven job, by file name. A function of its arguments alone."""
    from compiler.commands.digests import digest

    paper = paper or Paper()
    files: dict[str, bytes] = {}
    if tried:
        journey = _with_tried(journey, tried)
        files = {one.facts.file: one.text.encode("ascii") for one in tried.values()}
    for setup in journey.setups:
        files.update(_of_setup(setup, paper))
    assert journey.job is not None
    report = _report(journey)
    listed = {file: digest(content) for file, content in sorted(files.items())}
    report = report.model_copy(update={"outputs": listed, "made_from": made_from})
    files[f"{journey.job.title.name}.report.json"] = _json(report.model_dump_json(indent=2))
    return files


def _with_tried(journey: Journey, tried: Mapping[str, Tried]) -> Journey:
    """The journey whose reports tell of the programs that its setups are tried with."""
    setups = []
    for each in journey.setups:
        assert each.job is not None and each.report is not None
        facts = tried[each.job.output_name].facts
        report = each.report.model_copy(update={"prove_out": facts})
        setups.append(replace(each, report=report))
    *before, last = setups
    return replace(last, before=tuple(before))


def _report(journey: Journey) -> Report | SetupsReport:
    """The evidence of all setups; that of the only one as it is."""
    from compiler.judge.model import of_setups

    assert journey.job is not None and journey.report is not None
    if journey.job.setup is None:
        return journey.report
    return of_setups(
        [
            (each.job.setup.name, f"{each.job.output_name}.nc", each.report)
            for each in journey.setups
            if each.job and each.job.setup and each.report
        ]
    )


def _of_setup(journey: Journey, paper: Paper) -> dict[str, bytes]:
    """The outputs of one setup, less the report."""
    from compiler.pictures.gallery import gallery
    from compiler.sheet import compose, markdown, render

    job, part, plan = journey.job, journey.part, journey.plan
    motions, written, report = journey.motions, journey.written, journey.report
    assert job is not None and part is not None and plan is not None
    assert motions is not None and written is not None and report is not None
    assert journey.case is not None
    name = job.output_name
    files = {
        f"{name}.nc": written.text.encode("ascii"),
        f"{name}.plan.json": _json(plan.model_dump_json(indent=2)),
    }
    commit = paper.commit or None
    if "pdf" in paper.forms:
        files[f"{name}.setup.pdf"] = render(
            job, part, plan, report, version=__version__, commit=commit, motions=motions
        )
    if "md" in paper.forms:
        content = compose(job, part, plan, report, version=__version__, commit=commit)
        files[f"{name}.setup.md"] = markdown(content).encode()
    for about, picture, title in gallery(job, part, plan, motions, journey.case, report.leftovers):
        files.update(picture_files(f"{name}.{about}", picture, title, paper.pictures))
    return files


def picture_files(
    name: str, picture: Picture, title: str, forms: tuple[str, ...]
) -> dict[str, bytes]:
    """One picture in each of the forms asked for."""
    files: dict[str, bytes] = {}
    if "svg" in forms:
        from compiler.pictures.svg import svg

        files[f"{name}.svg"] = svg(picture, title).encode()
    if "png" in forms:
        from compiler.pictures.png import png

        files[f"{name}.png"] = png(picture, title)
    return files


def _json(text: str) -> bytes:
    return (text + "\n").encode()
