"""`check`: everything that can be said about a spec before a motion is planned."""

from __future__ import annotations

import argparse

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.progress import Progress
from compiler.commands.project import find_jobs
from compiler.commands.shell import Shell
from compiler.commands.verdict import uncut_words
from compiler.spec.root import find_root

SPECS = "job files, families, members as FILE#NAME, or folders of them"


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("specs", nargs="+", metavar="SPEC", help=SPECS)
    parser.add_argument(
        "--prove",
        action="store_true",
        help="also plan the motions, write the program in memory and judge it",
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.road import plan_job, prove_job

    targets, missing = find_jobs(asked.specs)
    findings = list(missing)
    sources: dict[str, str] = {}
    good = 0
    lines: list[str] = []
    results = []
    progress = Progress(shell, len(targets))
    for target in targets:
        progress.say(f"{'proving' if asked.prove else 'checking'} {target.said}")
        go = prove_job if asked.prove else plan_job
        journey = go(target.path, find_root(target.path), target.member)
        findings += journey.findings
        sources.update(journey.sources)
        good += not journey.failed
        state = "falls short" if journey.failed else "proven" if asked.prove else "good"
        lines.append(f"{target.said}: {state}{uncut_words(journey.findings)}")
        results.append({"spec": target.said, "state": state})
    progress.clear()
    shell.findings(dict.fromkeys(findings), sources)
    if shell.format == "json":
        shell.result_data({"version": "check/1", "specs": results})
    else:
        shell.result("\n".join(lines)) if lines else None
    if missing:
        return UNABLE
    return GOOD if good == len(targets) else SHORT


COMMAND = Command(
    name="check",
    about="Read a spec, follow its references, work out its operations; write nothing.",
    arguments=_arguments,
    run=_run,
)
