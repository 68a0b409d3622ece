"""`draft`: a first job from a drawing or a solid model, proven before it is written."""

from __future__ import annotations

import argparse
import contextlib
import os
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.modeline import modeline
from compiler.commands.project import find_root
from compiler.commands.shell import Shell
from compiler.commands.survey import Surveyed, add_arguments, survey_file
from compiler.commands.whole import write_whole
from compiler.diagnostics import Diagnostic, Label

if TYPE_CHECKING:
    from compiler.road import Journey
    from compiler.survey.first_job import Plan
    from compiler.units.number import Units

MATERIAL = "aluminium_6061"
MACHINE = "knee_mill"
# common practice, no source: proposals where nothing says better, in mm
MARGIN = {"mm": 3.0, "inch": 3.175}
THICKNESS = {"mm": 12.0, "inch": 12.7}
HELD = {"mm": 4.0, "inch": 3.175}  # stock below a part that is cut to its underside


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_arguments(parser)
    parser.add_argument(
        "-o", "--output", metavar="JOB", required=True, help="the job file to write"
    )
    parser.add_argument("--machine", metavar="NAME", help="of the shop file, or a built-in one")
    parser.add_argument("--material", metavar="NAME", help=f"default: {MATERIAL}")
    parser.add_argument("--thickness", type=float, metavar="MM", help="of the stock")
    parser.add_argument("--depth", type=float, metavar="MM", help="how deep is cut")
    parser.add_argument("--margin", type=float, metavar="MM", help="stock on every side")
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
    """Write the first of the plans that holds; where none does, the first with what it lacks."""
    from compiler.survey.first_job import first_job

    best: tuple[int, str, Journey] | None = None
    surveyed = _for_mills(asked, surveyed)
    for plan in _plans(asked, surveyed):
        text = modeline(output) + first_job(surveyed.survey, plan)
        journey = _proven(text, output)
        broken = sum(1 for f in journey.findings if f.severity == "error")
        if best is None or broken < best[0]:
            best = (broken, text, journey)
        if not broken:
            break
    assert best is not None
    broken, text, journey = best
    write_whole(output, text.encode())
    shell.findings(journey.findings, {**journey.sources})
    shell.result(
        f"{output.as_posix()}: written and proven; go through its lines marked CHECK"
        if not broken
        else f"{output.as_posix()}: written, but it falls short as the findings say"
    )
    return SHORT if broken else GOOD


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


def _plans(asked: argparse.Namespace, surveyed: Surveyed) -> Iterator[Plan]:
    """Plans worth trying, best first."""
    from compiler.survey.choose import pairs, plain_sizes
    from compiler.survey.first_job import Plan

    survey = surveyed.survey
    units: Units = survey.show
    thickness, floor = _heights(asked, surveyed)
    cutters = survey.cutters or plain_sizes(units)
    folder = Path(asked.output).resolve().parent
    said = {k for k in ("machine", "material", "thickness", "depth") if getattr(asked, k)}
    margin = MARGIN[units] if asked.margin is None else asked.margin
    for rough, rest in pairs(survey, cutters, -floor, units)[:4]:
        yield Plan(
            name=_safe(Path(asked.output).stem),
            file=_relative(Path(asked.file), folder),
            units=units,
            shop=_relative(surveyed.shop_path, folder) if survey.cutters else "",
            machine=asked.machine or _machine(surveyed, margin),
            material=asked.material or MATERIAL,
            margin=margin,
            thickness=thickness,
            floor=floor,
            rough=rough,
            rest=rest,
            in_units=asked.units,
            up=asked.up,
            said=frozenset(said),
        )


def _for_mills(asked: argparse.Namespace, surveyed: Surveyed) -> Surveyed:
    """The survey with holes closed that are for a drill."""
    from compiler.survey.choose import plain_sizes
    from compiler.survey.holes import small_holes_closed

    survey = surveyed.survey
    _, floor = _heights(asked, surveyed)
    cutters = survey.cutters or plain_sizes(survey.show)
    return replace(surveyed, survey=small_holes_closed(survey, cutters, -floor, survey.show))


def _heights(asked: argparse.Namespace, surveyed: Surveyed) -> tuple[float, float]:
    """Thickness of the stock, and the Z of the floor, mm."""
    survey = surveyed.survey
    units = survey.show
    if survey.height is None:
        thickness = asked.thickness or THICKNESS[units]
        return thickness, -(asked.depth or thickness / 2)
    low, high = survey.height
    tall = high - low
    if asked.depth or asked.floor is not None:
        floor = -asked.depth if asked.depth else asked.floor
    else:
        ups = [row.z for row in survey.levels if row.facing == "up" and row.z < high - 1e-3]
        floor = min(ups, default=low)
    through = floor <= low + 1e-3
    return asked.thickness or tall + (HELD[units] if through else 0.0), floor


def _machine(surveyed: Surveyed, margin: float) -> str:
    """The first machine of the shop whose table the stock fits on, else a built-in one."""
    from compiler.knowledge.machines import MACHINES

    assert surveyed.survey.box is not None
    x0, y0, x1, y1 = surveyed.survey.box
    need = (x1 - x0 + 2 * margin + 40, y1 - y0 + 2 * margin + 40)
    shop = surveyed.shop.machines if surveyed.shop is not None else {}
    for name, machine in shop.items():
        axes = machine.axes
        if axes is None or (float(axes.x) >= need[0] and float(axes.y) >= need[1]):
            return name
    for name, built_in in MACHINES.items():
        travel = built_in.travel
        if travel is None or (travel[0] >= need[0] and travel[1] >= need[1]):
            return name
    return next(iter(shop), MACHINE)


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
