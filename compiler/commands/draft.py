"""`draft`: a first job from a drawing or a solid model, proven before it is written."""

from __future__ import annotations

import argparse
import contextlib
import os
import re
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.lengths import HOW, in_mm, length_as
from compiler.commands.modeline import modeline
from compiler.commands.shell import Shell
from compiler.commands.survey import Surveyed, add_arguments, survey_file
from compiler.commands.whole import write_whole
from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.road import Journey
    from compiler.spec.shop import ShopFile
    from compiler.survey.model import Survey
    from compiler.survey.proposal import Plan
    from compiler.survey.propose import Wishes

OVERLOADED = "E514"
THIN = 1.0  # mm: a blank thinner than this is questioned (common practice, no source)


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_arguments(parser)
    parser.add_argument(
        "-o", "--output", metavar="JOB", required=True, help="the job file to write"
    )
    parser.add_argument("--machine", metavar="NAME", help="of the shop file, or a built-in one")
    parser.add_argument("--material", metavar="NAME", help="default: aluminium_6061")
    positive, margin = length_as("positive"), length_as("not negative")
    parser.add_argument("--thickness", type=positive, metavar="LENGTH", help=f"of the stock; {HOW}")
    parser.add_argument("--depth", type=positive, metavar="LENGTH", help="how deep is cut")
    parser.add_argument("--margin", type=margin, metavar="LENGTH", help="stock on every side")
    parser.add_argument("--force", action="store_true", help="replace the job file if it is there")


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    output = Path(asked.output)
    if output.exists() and not asked.force:
        shell.findings((_there_already(output),), {})
        return UNABLE
    surveyed = survey_file(asked, z_top=True)
    shell.findings(surveyed.findings, {})
    if surveyed.value is None:
        return UNABLE if any(f.code in ("E601", "E603") for f in surveyed.findings) else SHORT
    if surveyed.value.survey.box is None or not surveyed.value.survey.shapes:
        shell.findings((_nothing(asked.file),), {})
        return SHORT
    return _write_proven(asked, surveyed.value, output, shell)


def _write_proven(asked: argparse.Namespace, surveyed: Surveyed, output: Path, shell: Shell) -> int:
    """Write the first of the plans that holds; where none does, the best with what it lacks."""
    from compiler.survey.first_job import first_job
    from compiler.survey.propose import for_mills

    wishes = _wishes(asked, surveyed)
    survey = for_mills(surveyed.survey, wishes)
    trial = _best_trial(survey, surveyed.shop, wishes, output)
    if trial is None:
        shell.findings((_nothing(asked.file),), {})
        return SHORT
    job, name = trial.journey, output.as_posix()
    lacks = [_in_words(f, output) for f in trial.errors]
    warned = [_in_words(f, output) for f in job.findings if f.severity == "warning"]
    text = first_job(survey, trial.plan, lacks, warned)
    write_whole(output, (modeline(output) + text).encode())
    shell.findings((*_said_of(trial.plan, survey), *job.findings), {**job.sources})
    if lacks:
        many = "1 finding stands" if len(lacks) == 1 else f"{len(lacks)} findings stand"
        shell.result(f"{name}: written to go on from, but it does not build: {many} against it")
        return SHORT
    shell.result(f"{name}: written and proven; go through its lines marked CHECK")
    return GOOD


@dataclass(frozen=True, slots=True)
class Trial:
    """A plan, and how its job fared."""

    plan: Plan
    journey: Journey

    @property
    def errors(self) -> list[Diagnostic]:
        """What stands against the job."""
        return [f for f in self.journey.findings if f.severity == "error"]


def _best_trial(
    survey: Survey, shop: ShopFile | None, wishes: Wishes, output: Path
) -> Trial | None:
    """The first plan that holds, else that with the fewest errors; None where there is no plan."""
    from compiler.survey.first_job import first_job
    from compiler.survey.propose import gentler, plans

    best: Trial | None = None
    for first in plans(survey, shop, wishes):
        plan: Plan | None = first
        while plan is not None:
            text = modeline(output) + first_job(survey, plan)
            trial = Trial(plan, _proven(text, output))
            if best is None or len(trial.errors) < len(best.errors):
                best = trial
            if not trial.errors:
                return trial
            # a full slot at full feed is a matter of how it is cleared, not of the cutters
            held = any(f.code == OVERLOADED for f in trial.errors)
            plan = gentler(plan) if held else None
    return best


def _in_words(found: Diagnostic, output: Path) -> str:
    """A finding on one line: where in the job, what, and what to do."""
    at = ""
    if found.primary is not None and found.primary.span.file.rpartition("/")[2] == output.name:
        at = f"line {found.primary.span.line}: "
    return " ".join(f"{at}{found.message} ({found.code}); {found.help}".split())


def _said_of(plan: Plan, survey: Survey) -> list[Diagnostic]:
    """What of the drawing is not in the job, and what the crib lacks for it."""
    from compiler.survey.first_job import open_line, undrilled
    from compiler.units.number import length

    found = [
        Diagnostic(code="W717", severity=Severity.WARNING, message=told.what, help=told.otherwise)
        for told in survey.told
    ]
    found += [
        Diagnostic(
            code="W718",
            severity=Severity.WARNING,
            message=f"left out: {undrilled(hole, plan.units)}",
            help="add a `drill` pass, and its drill to the crib",
        )
        for hole in plan.drilled
        if hole.drill is None
    ]
    found += [
        Diagnostic(
            code="W715",
            severity=Severity.WARNING,
            message=f"left out: {open_line(line, plan.units)}",
            help="draw it from edge to edge of the stock for a rail, close it for a region, or "
            "leave it out if it is meant so",
        )
        for line in plan.lines
        if line.stands is None
    ]
    if plan.thickness < THIN:
        found.append(
            Diagnostic(
                code="W719",
                severity=Severity.WARNING,
                message=f"the blank is {length(plan.thickness, plan.units)} thick",
                help="is it so thin? bare numbers are in the drawing's units; write the unit, as "
                "`--thickness 0.5in`",
            )
        )
    if plan.crib_falls_short:
        longest = max(cutter.reach for cutter in survey.cutters)
        found.append(
            Diagnostic(
                code="W716",
                severity=Severity.WARNING,
                message=f"no end mill of the crib reaches {length(-plan.floor, plan.units)} deep; "
                f"the longest comes to {length(longest, plan.units)}",
                help="the job has cutters that would; take such ones, or cut less deep with "
                "`--depth`",
            )
        )
    return found


def _proven(text: str, output: Path) -> Journey:
    """The job's whole road, from a file beside where it is to be written."""
    from compiler.road import prove_job

    trial = output.with_name(f".{output.stem}.draft{output.suffix or '.yaml'}")
    try:
        trial.write_text(text, encoding="utf-8", newline="\n")
        journey = prove_job(trial, find_root(output))
        return _renamed(journey, trial.name, output.name)
    finally:
        with contextlib.suppress(FileNotFoundError):
            trial.unlink()


def _renamed(journey: Journey, trial: str, name: str) -> Journey:
    """The journey with its findings in the file that the job is written to."""

    def label(old: Label) -> Label:
        folder, _, file = old.span.file.rpartition("/")
        if file != trial:
            return old
        return replace(old, span=replace(old.span, file=f"{folder}/{name}".lstrip("/")))

    findings = tuple(
        replace(
            f,
            primary=None if f.primary is None else label(f.primary),
            secondary=tuple(label(s) for s in f.secondary),
        )
        for f in journey.findings
    )
    sources = {key.replace(trial, name): text for key, text in journey.sources.items()}
    return replace(journey, findings=findings, sources=sources)


def _wishes(asked: argparse.Namespace, surveyed: Surveyed) -> Wishes:
    """What the user said, with files as the job will name them."""
    from compiler.survey.propose import Wishes

    folder = Path(asked.output).resolve().parent
    units = surveyed.survey.show
    return Wishes(
        name=_safe(Path(asked.output).stem),
        file=_relative(Path(asked.file), folder),
        shop=_relative(surveyed.shop_path, folder),
        machine=asked.machine,
        material=asked.material,
        thickness=in_mm(asked.thickness, units),
        depth=in_mm(asked.depth, units),
        margin=in_mm(asked.margin, units),
        floor=in_mm(asked.floor, units),
        in_units=asked.units,
        up=asked.up,
        join_gap=in_mm(asked.join_gap, units),
    )


def _relative(path: Path | None, folder: Path) -> str:
    return "" if path is None else Path(os.path.relpath(path.resolve(), folder)).as_posix()


def _safe(name: str) -> str:
    return re.sub(r"[^A-Za-z0-9_-]+", "-", name).strip("-_")[:60] or "first-job"


def _there_already(output: Path) -> Diagnostic:
    return Diagnostic(
        code="E714",
        message=f"`{output.as_posix()}` is there already",
        help="give another name, or replace it with `--force`",
    )


def _nothing(file: str) -> Diagnostic:
    return Diagnostic(
        code="E705",
        message=f"`{Path(file).name}` has nothing closed that could stand",
        help="`measure` tells what it holds, and where it is open",
    )


COMMAND = Command(
    name="draft",
    about="Write a first job from a drawing or a solid model, proven as it stands.",
    arguments=_arguments,
    run=_run,
)
