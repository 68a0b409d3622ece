"""`plan`: the operation list, or any other value on the road, for people or as JSON."""

from __future__ import annotations

import argparse

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import find_root, one_job
from compiler.commands.shell import Shell

STAGES = ("job", "part", "operations", "motions", "program", "evidence")


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "spec", metavar="SPEC", help="a job file, or a member of a family as FILE#NAME"
    )
    parser.add_argument(
        "--stop-after",
        choices=STAGES,
        default="operations",
        metavar="STAGE",
        help=f"which value on the road to print: {', '.join(STAGES)} (default: %(default)s)",
    )
    parser.add_argument(
        "--why",
        action="store_true",
        help="also print which cutters were tried for passes with `tool: auto`, and their times",
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.commands.printed import as_data, as_text
    from compiler.road import plan_job, prove_job

    target, missing = one_job(asked.spec)
    if missing:
        shell.findings(missing, {})
        return UNABLE
    far = STAGES.index(asked.stop_after) > STAGES.index("operations")
    journey = (prove_job if far else plan_job)(target.path, find_root(target.path), target.member)
    shell.findings(journey.findings, journey.sources)
    if shell.format == "json":
        data = as_data(journey, asked.stop_after)
        if data is not None:
            shell.result_data(data)
    else:
        text = as_text(journey, asked.stop_after)
        if text is not None:
            shell.result(text)
        if asked.why and journey.plan is not None:
            from compiler.plan.why import why

            shell.result(f"\n{why(journey.plan)}".rstrip("\n"))
    return SHORT if journey.failed else GOOD


COMMAND = Command(
    name="plan",
    about="Print the operation list, or another stage of the road.",
    arguments=_arguments,
    run=_run,
)
