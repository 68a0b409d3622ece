"""`lines`: a spec file as text that `git diff` can compare: its text converter.

In `.gitattributes`: `*.yaml diff=standproud`; and once in each clone:
`git config diff.standproud.textconv "standproud lines"`.
"""

from __future__ import annotations

import argparse
from pathlib import Path

from compiler.commands.command import GOOD, UNABLE, Command
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", metavar="FILE", help="a job, family or shop file")


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.compare.lines import lines_of

    try:
        data = Path(asked.file).read_bytes()
    except OSError:
        found = Diagnostic(
            code="E601", message=f"there is no file `{asked.file}`", help="check the path"
        )
        shell.findings((found,), {})
        return UNABLE
    said = lines_of(data)
    # what is no spec is shown as it is: git asks for every file that the attribute names
    shell.result(data.decode("utf-8", errors="replace") if said is None else said)
    return GOOD


COMMAND = Command(
    name="lines",
    about="Print what one file says, a value a line in fixed order: a converter for git diff.",
    arguments=_arguments,
    run=_run,
)
