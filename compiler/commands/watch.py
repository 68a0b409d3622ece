"""`watch`: check again whenever a file that the specs are made of is saved."""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Iterator
from pathlib import Path

from compiler.commands.command import GOOD, UNABLE, Command
from compiler.commands.project import find_jobs
from compiler.commands.shell import Shell
from compiler.diagnostics import Diagnostic
from compiler.spec.root import find_root

CLEAR = "\x1b[2J\x1b[H"
PAUSE = 0.2  # s between two looks: saving feels immediate, and a laptop does not warm
Stamps = dict[Path, tuple[int, int]]


def _arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "specs", nargs="+", metavar="SPEC", help="job files, families, or folders of them"
    )
    parser.add_argument("--times", type=int, default=0, help=argparse.SUPPRESS)


def _run(asked: argparse.Namespace, shell: Shell) -> int:
    """Check, wait for a change, check again; ends by Ctrl-C, or after `--times` checks."""
    checked = 0
    while True:
        good, files = _check(asked.specs, shell)
        if files is None:
            return UNABLE
        seen = stamps(files)
        checked += 1
        shell.say(f"{'good' if good else 'falls short'}; waiting for changes, Ctrl-C ends")
        shell.err.flush()
        if checked == asked.times:
            return GOOD
        while stamps(files) == seen:
            time.sleep(PAUSE)


def stamps(files: set[Path]) -> Stamps:
    """When each file was last written, and its size; one that is gone has none."""
    found: Stamps = {}
    for file in files:
        try:
            state = file.stat()
        except OSError:
            continue
        found[file] = state.st_mtime_ns, state.st_size
    return found


def folders(path: Path) -> Iterator[Path]:
    """A folder and those below it, hidden ones left out: a new file in one is a change of it."""
    if path.is_dir():
        for where, below, _ in os.walk(path):
            below[:] = [name for name in below if not name.startswith(".")]
            yield Path(where)


def _check(specs: list[str], shell: Shell) -> tuple[bool, set[Path] | None]:
    """One check of all; whether all is good, and every file that was read or looked for."""
    from compiler.road import plan_job

    targets, missing = find_jobs(specs)
    if missing:
        shell.findings(missing, {})
        return False, None
    findings: list[Diagnostic] = []
    sources: dict[str, str] = {}
    good = True
    files: set[Path] = set()
    for target in targets:
        root = find_root(target.path).resolve()
        journey = plan_job(target.path, root, target.member)
        findings += journey.findings
        sources.update(journey.sources)
        good = good and not journey.failed
        names = set(journey.sources)
        if journey.loaded is not None:
            names |= set(journey.loaded.files)
        files |= {target.path, *(root / name for name in names)}
    for name in specs:
        files |= set(folders(Path(name)))
    if shell.err.isatty():
        shell.err.write(CLEAR)  # first clear, then tell, so that nothing flickers past
    shell.findings(dict.fromkeys(findings), sources)
    return good, files


COMMAND = Command(
    name="watch",
    about="Check specs again whenever one of their files is saved.",
    arguments=_arguments,
    run=_run,
)
