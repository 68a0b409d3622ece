"""`plan`: the operation list, or any other value on the road, for people or as JSON."""

from __future__ import annotations

import argparse

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import one_job
from compiler.commands.setups import add_option, chosen, refused
from compiler.commands.shell import Shell
from compiler.spec.root import find_root

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

    add_option(parser, "only this one, instead of all in order")


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
    if journey.loaded is not None:
        # two programs in a row would be run as one
        one = asked.stop_after == "program"
        fault = refused(asked.setup, journey.loaded.jobs, one=one)
        if fault is not None:
            shell.findings((fault,), {})
            return UNABLE
    setups = chosen(journey, asked.setup)
    if shell.format == "json":
        data = [as_data(setup, asked.stop_after) for setup in setups]
        data = [each for each in data if each is not None]
        if data:
            shell.result_data(data[0] if len(setups) == 1 else {"setups": data})
    else:
        texts = [as_text(setup, asked.stop_after) for setup in setups]
        if asked.why:
            from compiler.plan.why import why

            plans = [setup.plan for setup in setups if setup.plan is not None]
            texts += [f"\n{why(plan)}".rstrip("\n") for plan in plans]
        told = [text for text in texts if text is not None]
        if told:
            shell.result("\n".join(told))
    return SHORT if journey.failed else GOOD


COMMAND = Command(
    name="plan",
    about="Print the operation list, or another stage of the road.",
    arguments=_arguments,
    run=_run,
)
