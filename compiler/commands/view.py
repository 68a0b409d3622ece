"""`view`: the proven program as a page that plays it, in one HTML file."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import one_job
from compiler.commands.setups import add_option, chosen, refused
from compiler.commands.shell import Shell
from compiler.commands.whole import write_whole
from compiler.diagnostics import Diagnostic
from compiler.spec.root import find_root

if TYPE_CHECKING:
    from compiler.road import Journey

MARK = "<!doctype html>\n<!-- made by standproud view"  # how a page of ours begins


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "spec", metavar="SPEC", help="a job file, or a member of a family as FILE#NAME"
    )
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="where to (default: NAME.view.html in out/ beside the spec)",
    )
    add_option(parser, "only this one, instead of a page for each")


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.road import prove_job

    target, missing = one_job(asked.spec)
    if missing:
        shell.findings(missing, {})
        return UNABLE
    journey = prove_job(target.path, find_root(target.path), target.member)
    shell.findings(journey.findings, journey.sources)
    if journey.failed:
        shell.say(f"{target.said}: not proven, so there is nothing to play; no file written")
        return SHORT
    assert journey.loaded is not None
    fault = refused(asked.setup, journey.loaded.jobs, one=bool(asked.output))
    if fault is not None:
        shell.findings((fault,), {})
        return UNABLE
    before: Journey | None = None
    wanted = chosen(journey, asked.setup)
    for setup in journey.setups:
        assert setup.job is not None
        if setup not in wanted:
            before = setup
            continue
        name = f"{setup.job.output_name}.view.html"
        file = Path(asked.output) if asked.output else target.path.parent / "out" / name
        text = _page(setup, before)
        before = setup
        fault = _write(file, text.encode())
        if fault is not None:
            shell.findings((fault,), {})
            return UNABLE
        if shell.format == "json":
            shell.result_data({"version": "view/1", "spec": target.said, "file": file.as_posix()})
        else:
            size = len(text.encode()) // 1024
            shell.result(f"{file.as_posix()}: {size} kB, open it in a browser")
    return GOOD


def _page(setup: Journey, before: Journey | None) -> str:
    from compiler.road import blank_of
    from compiler.view import page

    job, part, plan = setup.job, setup.part, setup.plan
    written, report = setup.written, setup.report
    assert job and part and plan and written and report
    return page(
        job, part, plan, report, written.text, tuple(written.line_owner), blank_of(job, before)
    )


def _write(target: Path, content: bytes) -> Diagnostic | None:
    """Write the page whole or not at all, over nothing but an earlier page."""
    try:
        if target.exists() and not target.read_bytes().startswith(MARK.encode()):
            return _stranger(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        write_whole(target, content)
    except OSError as fault:
        return Diagnostic(
            code="E605",
            message=f"can't write `{target.as_posix()}`: {fault.strerror or fault}",
            help="make room or give a file that can be written with --output",
        )
    return None


def _stranger(target: Path) -> Diagnostic:
    return Diagnostic(
        code="E604",
        message=f"`{target.as_posix()}` is not a page that `view` made",
        help="move it away or give another file with --output",
    )


COMMAND = Command(
    name="view",
    about="Write a page that plays the proven program on its stock, for any browser.",
    arguments=_arguments,
    run=_run,
)
