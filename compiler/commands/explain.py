"""`explain CODE`: the whole story behind a finding."""

from __future__ import annotations

import argparse

from compiler.commands.command import GOOD, UNABLE, Command
from compiler.commands.shell import Shell


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "code", metavar="CODE", nargs="?", help="as printed with the finding; none: list them all"
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.diagnostics.codes import CODES
    from compiler.diagnostics.explain import unknown

    if asked.code is None:
        if shell.format == "json":
            shell.result_data({code: info.title for code, info in sorted(CODES.items())})
        else:
            shell.result("\n".join(f"{code}  {info.title}" for code, info in sorted(CODES.items())))
        return GOOD
    info = CODES.get(asked.code.upper())
    if info is None:
        shell.findings((unknown(asked.code),), {})
        return UNABLE
    if shell.format == "json":
        shell.result_data({"code": asked.code.upper(), "title": info.title, "story": info.story})
    else:
        shell.result(f"{asked.code.upper()}: {info.title}\n\n{info.story}")
    return GOOD


COMMAND = Command(
    name="explain",
    about="Tell the whole story behind a code.",
    arguments=_arguments,
    run=_run,
)
