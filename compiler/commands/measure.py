"""`measure`: what a drawing or a solid model holds, before a job is written for it."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.shell import Shell
from compiler.commands.survey import add_arguments, survey_file
from compiler.commands.whole import write_whole

if TYPE_CHECKING:
    from compiler.survey.model import Survey


def _arguments(parser: argparse.ArgumentParser) -> None:
    add_arguments(parser)
    parser.add_argument(
        "--picture", metavar="FILE", help="also draw it, into this .svg or .png file"
    )


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
        write_whole(Path(asked.picture), _drawn(survey, Path(asked.picture)))
        shell.say(f"wrote {Path(asked.picture).as_posix()}")
    return GOOD


def _drawn(survey: Survey, path: Path) -> bytes:
    from compiler.survey.picture import picture

    title = f"What {survey.file} holds"
    if path.suffix.lower() == ".png":
        from compiler.pictures.png import png

        return png(picture(survey), title)
    from compiler.pictures.svg import svg

    return svg(picture(survey), title).encode()


COMMAND = Command(
    name="measure",
    about="Tell what a drawing or a solid model holds: sizes, loops, gaps, cutters that fit.",
    arguments=_arguments,
    run=_run,
)
