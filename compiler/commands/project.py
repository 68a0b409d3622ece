"""Which jobs a command was given.

A job is a job file, or a member in a family's table: `families/rings.yaml#ring-50`.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from compiler.diagnostics import Diagnostic
from compiler.spec.root import find_root

SPEC_LINE = re.compile(rb"^spec\s*:\s*[\"']?(job|family|shop)/", re.MULTILINE)
SUFFIXES = (".yaml", ".yml")


@dataclass(frozen=True, slots=True, order=True)
class Target:
    """One job: its file, and in a family's file the member's name."""

    path: Path
    member: str = ""

    @property
    def said(self) -> str:
        """As it is named on the command line."""
        return f"{self.path.as_posix()}#{self.member}" if self.member else self.path.as_posix()


def find_jobs(named: Iterable[str]) -> tuple[tuple[Target, ...], tuple[Diagnostic, ...]]:
    """The jobs that were named: files, members as `FILE#NAME`, families for all their members,
    folders for every job and family below them.
    """
    targets: list[Target] = []
    findings: list[Diagnostic] = []
    for name in named:
        target, gone = one_job(name)
        path = target.path
        if path.is_dir():
            found = [target for file in spec_files(path) for target in _targets(file, False)]
            if not found:
                findings.append(_no_job(name))
            targets += found
        elif gone:
            findings += gone
        else:
            targets += [target] if target.member else _targets(path, True)
    return tuple(dict.fromkeys(targets)), tuple(findings)


def one_job(name: str) -> tuple[Target, tuple[Diagnostic, ...]]:
    """The one job that was named; of a family without a member, loading tells which there are."""
    path, member = Path(name), ""
    if "#" in name and not path.exists():
        file, _, member = name.rpartition("#")
        path = Path(file)
    return Target(path, member), () if path.exists() else (_missing(path.as_posix()),)


def spec_files(folder: Path) -> Iterator[Path]:
    """Every YAML file below a folder that says it is a spec; hidden folders are passed over."""
    for where, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            file = Path(where) / name
            if file.suffix in SUFFIXES and file.is_file() and language(file):
                yield file


def language(file: Path) -> str:
    """`job`, `family` or `shop`, as a YAML file says of itself; empty for any other."""
    try:
        with file.open("rb") as stream:
            match = SPEC_LINE.search(stream.read(65536))
    except OSError:
        return ""
    return match.group(1).decode() if match else ""


def _targets(file: Path, was_named: bool) -> list[Target]:
    """The jobs in a file. One that was named is taken as a job whatever it says of itself, so that
    what is wrong with it is told; in a folder a family without a table is passed over.
    """
    kind = language(file)
    if kind == "family":
        from compiler.spec.families.member import member_names

        names = member_names(file, find_root(file).resolve())
        if names:
            return [Target(file, name) for name in names]
        return [Target(file)] if was_named or names is None else []
    return [Target(file)] if was_named or kind == "job" else []


def _no_job(name: str) -> Diagnostic:
    return Diagnostic(
        code="E602",
        message=f"no job file in `{name}`",
        help="a job file is YAML whose first key is `spec: job/1`",
    )


def _missing(name: str) -> Diagnostic:
    return Diagnostic(
        code="E601",
        message=f"there is no file `{name}`",
        help="check the path; it is taken from the folder that you are in",
    )
