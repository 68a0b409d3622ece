"""The way in: parse the words, run the command, turn a fault of ours into a clear message."""

from __future__ import annotations

import argparse
import contextlib
import os
from collections.abc import Sequence

from compiler import __version__
from compiler.commands import (
    build,
    check,
    diff,
    draft,
    expand,
    explain,
    lines,
    measure,
    plan,
    schema,
    verify,
    view,
    watch,
)
from compiler.commands.command import UNABLE, Command
from compiler.commands.shell import make_shell

COMMANDS: tuple[Command, ...] = (
    check.COMMAND,
    build.COMMAND,
    verify.COMMAND,
    plan.COMMAND,
    view.COMMAND,
    measure.COMMAND,
    draft.COMMAND,
    expand.COMMAND,
    diff.COMMAND,
    watch.COMMAND,
    explain.COMMAND,
    schema.COMMAND,
    lines.COMMAND,
)


def parser() -> argparse.ArgumentParser:
    """The whole command line."""
    top = argparse.ArgumentParser(
        prog="standproud",
        description="Compile a milling job spec into a proven program and a setup sheet.",
        epilog="Exit status: 0 good; 1 the spec or its evidence falls short; "
        "2 the tool could not do its job.",
    )
    top.add_argument("--version", action="version", version=f"standproud {__version__}")
    commands = top.add_subparsers(dest="command", metavar="COMMAND", required=True)
    for command in COMMANDS:
        sub = commands.add_parser(command.name, help=command.about, description=command.about)
        command.arguments(sub)
        sub.add_argument(
            "--format",
            choices=("text", "json", "github"),
            default="text",
            help="form of results and findings (default: %(default)s)",
        )
        sub.add_argument("--debug", action="store_true", help=argparse.SUPPRESS)
        sub.set_defaults(run=command.run)
    return top


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status. Wrong use leaves through argparse with 2."""
    # nobody's plugins belong in a compiler, and looking for them costs a tenth of a `check`
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "1")
    # no matrix here is large: threads for them would only cost memory and compete with our workers
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    asked = parser().parse_args(arguments)
    shell = make_shell(asked.format)
    try:
        status: int = asked.run(asked, shell)
        shell.out.flush()
    except BrokenPipeError:
        # the reader of our output went away (`| head`); that is its business, not a fault
        shell.err.close()
        return UNABLE
    except KeyboardInterrupt:
        shell.say("stopped; nothing was written that was not whole")
        return 130
    except Exception as fault:
        if asked.debug:
            raise
        from compiler.commands.fault import fault_finding

        with contextlib.suppress(OSError):  # where even that can't be told, the status tells
            shell.findings((fault_finding(fault),), {})
        return UNABLE
    return status
