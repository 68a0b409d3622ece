"""A job's motions written in another way, and the text judged as `build` judges it."""

from __future__ import annotations

from dataclasses import replace

from compiler.job import ProgramStyle
from compiler.judge.judge import Judged, examine
from compiler.road import Journey, blank_of
from compiler.write import Written, write


def rewritten(journey: Journey, style: ProgramStyle) -> tuple[Written, Judged]:
    """The program of a proven job in a style, and its evidence."""
    assert journey.job and journey.part and journey.plan and journey.motions
    job = replace(journey.job, machine=replace(journey.job.machine, program=style))
    written = write(job=job, plan=journey.plan, motions=journey.motions)
    judged = examine(
        job=job,
        part=journey.part,
        plan=journey.plan,
        motions=journey.motions,
        text=written.text,
        line_owner=written.line_owner,
        blank=blank_of(journey.job, journey.before[-1] if journey.before else None),
    )
    return written, judged
