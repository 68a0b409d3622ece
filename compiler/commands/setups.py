"""Which of a job's setups a command is about: `--setup NAME`, or all of them in order."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic

if TYPE_CHECKING:
    from compiler.job import Job
    from compiler.road import Journey


def add_option(parser: argparse.ArgumentParser, about: str) -> None:
    """`--setup NAME`; `about` says what it does where it is left out."""
    parser.add_argument(
        "--setup", metavar="NAME", default="", help=f"of a job of several setups: {about}"
    )


def names_of(jobs: tuple[Job, ...]) -> tuple[str, ...]:
    """The names of the setups; none where a job has but one."""
    return tuple(job.setup.name for job in jobs if job.setup is not None)


def refused(name: str, jobs: tuple[Job, ...], *, one: bool) -> Diagnostic | None:
    """What is wrong with the setup asked for (E268, E269); `one`: just one must be named."""
    from compiler.spec.errors import did_you_mean, listed

    names = names_of(jobs)
    if name and name not in names:
        if not names:
            return Diagnostic(
                code="E269",
                message=f"there is no setup `{name}`: the job has but one, without a name",
                help="leave --setup out",
            )
        return Diagnostic(
            code="E269",
            message=f"there is no setup `{name}`",
            help=f"{did_you_mean(name, names)}there are {listed(names)}",
        )
    if one and len(names) > 1 and not name:
        return Diagnostic(
            code="E268",
            message=f"the job has {len(names)} setups, each with its own program",
            help=f"say which with --setup: {listed(names)}",
        )
    return None


def chosen(journey: Journey, name: str) -> tuple[Journey, ...]:
    """The setups asked for, as far as they came."""
    return tuple(
        each
        for each in journey.setups
        if not name or (each.job is not None and each.job.setup and each.job.setup.name == name)
    )
