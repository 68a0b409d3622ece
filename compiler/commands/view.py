"""`view`: the proven program as a page that plays it, in one HTML file."""

from __future__ import annotations

import argparse
import contextlib
from pathlib import Path

from compiler.commands.command import GOOD, SHORT, UNABLE, Command
from compiler.commands.project import find_root
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic

MARK = "<!doctype html>\n<!-- made by standproud view"  # how a page of ours begins


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("spec", metavar="SPEC", help="a job file")
    parser.add_argument(
        "-o",
        "--output",
        metavar="FILE",
        help="where to (default: NAME.view.html in out/ beside the spec)",
    )


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    from compiler.road import prove_job

    spec = Path(asked.spec)
    if not spec.is_file():
        shell.findings((_no_file(asked.spec),), {})
        return UNABLE
    journey = prove_job(spec, find_root(spec))
    shell.findings(journey.findings, journey.sources)
    loaded, part, plan = journey.loaded, journey.part, journey.plan
    written, report = journey.written, journey.report
    if journey.failed or not (loaded and part and plan and written and report):
        shell.say(f"{spec.as_posix()}: not proven, so there is nothing to play; no file written")
        return SHORT
    from compiler.view import page

    name = f"{loaded.job.title.name}.view.html"
    target = Path(asked.output) if asked.output else spec.parent / "out" / name
    text = page(loaded.job, part, plan, report, written.text, tuple(written.line_owner))
    fault = _write(target, text.encode())
    if fault is not None:
        shell.findings((fault,), {})
        return UNABLE
    if shell.format == "json":
        shell.result_data({"version": "view/1", "spec": spec.as_posix(), "file": target.as_posix()})
    else:
        shell.result(f"{target.as_posix()}: {len(text.encode()) // 1024} kB, open it in a browser")
    return GOOD


def _write(target: Path, content: bytes) -> Diagnostic | None:
    """Write the page whole or not at all, over nothing but an earlier page."""
    partial = target.with_name(f".{target.name}.partial")
    try:
        if target.exists() and not target.read_bytes().startswith(MARK.encode()):
            return _stranger(target)
        target.parent.mkdir(parents=True, exist_ok=True)
        partial.write_bytes(content)
        partial.replace(target)
    except OSError as fault:
        with contextlib.suppress(OSError):
            partial.unlink(missing_ok=True)
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


def _no_file(name: str) -> Diagnostic:
    return Diagnostic(
        code="E601",
        message=f"there is no file `{name}`",
        help="check the path; it is taken from the folder that you are in",
    )


COMMAND = Command(
    name="view",
    about="Write a page that plays the proven program on its stock, for any browser.",
    arguments=_arguments,
    run=_run,
)
