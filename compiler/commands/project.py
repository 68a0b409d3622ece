"""Which files a command was given, and the root that bounds what they may name."""

from __future__ import annotations

import re
from collections.abc import Iterable
from pathlib import Path

from compiler.diagnostics import Diagnostic

JOB_LINE = re.compile(rb"^spec\s*:\s*[\"']?job/", re.MULTILINE)


def find_root(spec: Path) -> Path:
    """The git work tree that holds the spec, else the spec's own folder."""
    folder = spec.resolve().parent
    for candidate in (folder, *folder.parents):
        if (candidate / ".git").exists():
            return candidate
    return folder


def find_specs(named: Iterable[str]) -> tuple[tuple[Path, ...], tuple[Diagnostic, ...]]:
    """The job files that were named: files as they are, folders searched for `spec: job/` files."""
    specs: list[Path] = []
    findings: list[Diagnostic] = []
    for name in named:
        path = Path(name)
        if path.is_dir():
            found = [
                file
                for file in sorted((*path.rglob("*.yaml"), *path.rglob("*.yml")))
                if file.is_file() and is_job(file)
            ]
            if not found:
                findings.append(
                    Diagnostic(
                        code="E602",
                        message=f"no job file in `{name}`",
                        help="a job file is YAML whose first key is `spec: job/1`",
                    )
                )
            specs += found
        elif path.exists():
            specs.append(path)
        else:
            findings.append(
                Diagnostic(
                    code="E601",
                    message=f"there is no file `{name}`",
                    help="check the path; it is taken from the folder that you are in",
                )
            )
    return tuple(dict.fromkeys(specs)), tuple(findings)


def is_job(file: Path) -> bool:
    """Whether a YAML file says that it is a job (and not a shop file or a family)."""
    try:
        with file.open("rb") as stream:
            return JOB_LINE.search(stream.read(65536)) is not None
    except OSError:
        return False
