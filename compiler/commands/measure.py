"""`measure`: what a drawing or a solid model holds, before a job is written for it."""

from __future__ import annotations

import argparse
from pathlib import Path

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.shell import Shell
from compiler.commands.survey import add_arguments, survey_file
from compiler.commands.whole import write_whole


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_arguments(parser)
    parser.add_argument("--picture", metavar="SVG", help="also draw it, into this file")


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.survey.words import data, text

    surveyed = survey_file(asked, z_top=False)
    shell.findings(surveyed.findings, {})
    if surveyed.value is None:
        return UNABLE if any(f.code in ("E601", "E603") for f in surveyed.findings) else SHORT
    survey = surveyed.value.survey
    if shell.format == "json":
        shell.result_data(data(survey))
    else:
        shell.result(text(survey))
    if asked.picture:
        from compiler.survey.picture import picture

        write_whole(Path(asked.picture), picture(survey).encode())
        shell.say(f"wrote {Path(asked.picture).as_posix()}")
    return GOOD


COMMAND = Command(
    name="measure",
    about="Tell what a drawing or a solid model holds: sizes, loops, gaps, cutters that fit.",
    arguments=_arguments,
    run=_run,
)
