"""`verify`: the evidence for a program text that was edited by hand or made elsewhere."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.at_program import at_program
from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.progress import Progress
from compiler.commands.project import one_job
from compiler.commands.setups import add_option, refused
from compiler.commands.shell import Shell
from compiler.commands.verdict import uncut_words
from compiler.commands.verify_in_air import prove_in_air
from compiler.diagnostics import Diagnostic, Severity
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.road import Journey

LARGEST = 64 * 1024 * 1024  # bytes of program that are read


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("program", metavar="PROGRAM", help="the program's text")
    parser.add_argument(
        "--job",
        metavar="SPEC",
        required=True,
        help="the job it is for: a job file, or a member of a family as FILE#NAME",
    )
    add_option(parser, "the one that the program is for")
    parser.add_argument(
        "--in-air",
        action="store_true",
        help="the program is the job's, raised to be tried: prove that it cuts none but air",
    )
    parser.add_argument(
        "--as-planned",
        action="store_true",
        help="a text that says anything but what would be planned also falls short",
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.road import go, judge_text
    from compiler.spec.load import load_job

    target, missing = one_job(asked.job)
    text, fault = _program(Path(asked.program))
    if missing or text is None:
        shell.findings((*missing, *((fault,) if fault else ())), {})
        return UNABLE
    read = load_job(target.path, find_root(target.path), target.member)
    fault = refused(asked.setup, read.value.jobs, one=True) if read.value is not None else None
    if fault is not None:
        shell.findings((fault,), {})
        return UNABLE
    if asked.in_air:
        return prove_in_air(read, asked, shell, target.said, text)
    progress = Progress(shell, 1)
    progress.say(f"planning {target.said} and proving {asked.program}")
    journey = go(read, lambda jobs: judge_text(jobs, text, asked.setup))
    progress.clear()
    name = Path(asked.program).as_posix()
    stopped = _stopped_before(journey, asked.setup)
    findings = journey.findings
    if not stopped:
        findings = tuple(at_program(findings, name, text, asked.as_planned, _planned(journey)))
    shell.findings(findings, {**journey.sources, name: text})
    proven = journey.report is not None and not any(
        found.severity is Severity.ERROR for found in findings
    )
    if stopped:
        if shell.format == "json":
            shell.result_data({**_named(name, target.said, proven), "not_proven_before": stopped})
        else:
            shell.result(f"{name}: not judged, for setup {stopped} before it is not proven")
    elif shell.format == "json":
        shell.result_data(_data(name, target.said, journey, proven))
    elif journey.report is not None:
        shell.result(_text(name, target.said, journey, proven) + uncut_words(findings))
    return GOOD if proven else SHORT


def _stopped_before(journey: Journey, setup: str) -> str:
    """The setup before the asked one that the road ended at: what is told is of its own program,
    not of the given text. Empty where the text was judged, or never came into question.
    """
    at = journey.job.setup if journey.job is not None else None
    return at.name if at is not None and setup and at.name != setup else ""


def _planned(journey: Journey) -> Sequence[str]:
    """The lines that would be written, for a text that is refused; none where it was read."""
    from compiler.write import write

    if journey.case is not None or not (journey.job and journey.plan and journey.motions):
        return ()
    written = write(job=journey.job, plan=journey.plan, motions=journey.motions)
    return written.text.split("\n")


def _program(path: Path) -> tuple[str | None, Diagnostic | None]:
    """The program's text, or why there is none."""
    name = path.as_posix()
    if not path.exists():
        help = "check the path; it is taken from the folder that you are in"
        return None, Diagnostic(code="E601", message=f"there is no file `{name}`", help=help)
    try:
        with path.open("rb") as stream:
            data = stream.read(LARGEST + 1)
    except OSError as fault:
        message = f"can't read `{name}`: {fault.strerror or fault}"
        return None, Diagnostic(code="E603", message=message, help="give a file that can be read")
    if len(data) > LARGEST:
        message = f"`{name}` is larger than {LARGEST // 1024**2} MiB"
        return None, Diagnostic(code="E603", message=message, help="name a program's text")
    try:
        return data.decode("utf-8"), None
    except UnicodeDecodeError as fault:
        line = data[: fault.start].count(b"\n") + 1
        message = f"`{name}` is not text in UTF-8: byte {data[fault.start]:#04x} in line {line}"
        help = "save the program as plain ASCII, as controls read it"
        return None, Diagnostic(code="E002", message=message, help=help)


def _named(program: str, spec: str, proven: bool) -> dict[str, object]:
    return {"version": "verify/1", "program": program, "spec": spec, "proven": proven}


def _data(program: str, spec: str, journey: Journey, proven: bool) -> dict[str, object]:
    report = journey.report
    data = _named(program, spec, proven)
    if report is None:
        return data
    same = next(entry.held for entry in report.obligations if entry.name == "text_true")
    return {**data, "as_planned": same, "report": report.model_dump(mode="json")}


def _text(program: str, spec: str, journey: Journey, proven: bool) -> str:
    """One obligation a line, what was found in words, and the verdict."""
    from compiler.commands.summary import UNREACHED, evidence, left_over
    from compiler.units.clock import clock

    report, plan = journey.report, journey.plan
    assert report is not None and plan is not None
    if journey.case is None:
        return f"{program}: refused, so nothing is judged against {spec}"
    lines = [
        f"{program} for {report.job}{f', setup {plan.setup}' if plan.setup else ''}: "
        f"{len(report.operations)} of {len(plan.operations)} "
        f"operations, {clock(report.time_s)}, {report.blocks} blocks",
        "",
        *evidence(report.obligations, plan.units, differs=True),
    ]
    if report.leftovers:
        lines += ["", f"{UNREACHED}:", *left_over(report, plan.units)]
    if report.removed_mm3 == 0:
        lines += ["", "It cuts nothing. One that is to be tried in air is proven with --in-air."]
    verdict = "proven" if proven else "falls short"
    return "\n".join([*lines, "", f"{program}: {verdict} against {spec}"])


COMMAND = Command(
    name="verify",
    about="Prove a program text that was edited by hand or made elsewhere against a spec.",
    arguments=_arguments,
    run=_run,
)
