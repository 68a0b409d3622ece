"""`verify --in-air`: that a program to be tried with the part in place cuts none but air."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.at_program import at_program
from compiler.commands.command import GOOD, SHORT
from compiler.commands.progress import Progress
from compiler.commands.shell import Shell
from compiler.diagnostics import Outcome, Severity
from compiler.units.clock import clock
from compiler.units.number import length

if TYPE_CHECKING:
    from compiler.judge.air import Air
    from compiler.road import Journey
    from compiler.spec.load import Reading


def prove_in_air(
    read: Reading, asked: argparse.Namespace, shell: Shell, said: str, text: str
) -> int:
    """Plan the job, hold the raised program against it, tell what was found; the exit status."""
    from compiler.road import cut_setup, go

    name = Path(asked.program).as_posix()
    progress = Progress(shell, 1)
    progress.say(f"planning {said} and proving {asked.program}")
    journey = go(read, lambda jobs: cut_setup(jobs, asked.setup))
    outcome = _air(journey, text)
    progress.clear()
    findings = (*journey.findings, *at_program(outcome.findings, name, text, asked.as_planned, ()))
    shell.findings(findings, {**journey.sources, name: text})
    proven = not any(found.severity is Severity.ERROR for found in findings)
    air = outcome.value
    if shell.format == "json":
        shell.result_data(_data(name, said, air, proven))
    elif air is not None:
        shell.result(_text(name, said, journey, air, proven))
    return GOOD if proven else SHORT


def _air(journey: Journey, text: str) -> Outcome[Air | None]:
    from compiler.prove_out.given import text_in_air

    job, part, plan, motions = journey.job, journey.part, journey.plan, journey.motions
    if job is None or part is None or plan is None or motions is None:
        return Outcome(None)
    found = text_in_air(text, job=job, part=part, plan=plan, motions=motions)
    return Outcome(found.value, found.findings)


def _data(program: str, spec: str, air: Air | None, proven: bool) -> dict[str, object]:
    data: dict[str, object] = {
        "version": "verify-in-air/1",
        "program": program,
        "spec": spec,
        "proven": proven,
    }
    if air is None:
        return data
    return {
        **data,
        "lowest_z_mm": round(air.lowest, 4) + 0.0,
        "room_mm": round(air.room, 4) + 0.0,
        "time_s": round(air.time, 3),
        "obligations": [entry.model_dump(mode="json") for entry in air.obligations],
    }


def _text(program: str, spec: str, journey: Journey, air: Air, proven: bool) -> str:
    from compiler.commands.summary import evidence

    assert journey.job is not None
    units = journey.job.units
    above = (
        f"{length(air.room, units)} above" if air.room >= 0 else f"{length(-air.room, units)} below"
    )
    lines = [
        f"{program} for {journey.job.title.name}, in air: {clock(air.time)}; its lowest tip is at "
        f"Z {length(air.lowest, units)}, {above} the highest of stock, regions and obstacles",
        "",
        *evidence(air.obligations, units, differs=True),
        "",
        f"{program}: {'cuts air only' if proven else 'falls short'}, against {spec}",
    ]
    return "\n".join(lines)
