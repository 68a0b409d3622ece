"""`expand`: the resolved job, each value with the file and line that set it."""

from __future__ import annotations

import argparse
from dataclasses import replace

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import one_job
from compiler.commands.shell import Shell
from compiler.spec.root import find_root


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "spec", metavar="SPEC", help="a job file, or a member of a family as FILE#NAME"
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.spec.expand import expand, expand_data
    from compiler.spec.load import load_job

    target, missing = one_job(asked.spec)
    if missing:
        shell.findings(missing, {})
        return UNABLE
    read = load_job(target.path, find_root(target.path), target.member)
    shell.findings(read.findings, read.sources)
    if read.value is None or read.failed:
        return SHORT
    loaded = read.value
    if any(job.open_passes for job in loaded.jobs):
        from compiler.road import lower_setups

        journey = lower_setups(loaded.jobs)
        if journey.failed or journey.job is None:
            shell.findings(journey.findings, read.sources)
            return SHORT
        named = tuple(setup.job for setup in journey.setups if setup.job is not None)
        loaded = replace(loaded, jobs=named)
    if shell.format == "json":
        shell.result_data(expand_data(loaded))
    else:
        shell.result(expand(loaded))
    return GOOD


COMMAND = Command(
    name="expand",
    about="Print the resolved job with the file and line that set each value.",
    arguments=_arguments,
    run=_run,
)
