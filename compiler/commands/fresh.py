"""Which jobs need no building: their outputs are there, untouched, and made from the same things.

Two questions, the cheap one first. Are all files that the last build read the same bytes, by the
same compiler? Then nothing can have changed. Else the job is read again: are the resolved job and
the places of its values the same? Then outputs would be too, and only the list of files read is
brought up to date.
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

from compiler.commands.digests import digest_of, listed_in
from compiler.commands.project import Target


@lru_cache(maxsize=1)
def tool_digest() -> str:
    """SHA-256 of the compiler's own files: a changed compiler may make other programs."""
    package = Path(__file__).resolve().parent.parent
    whole = hashlib.sha256()
    for file in sorted(package.rglob("*")):
        if file.parent.name == "__pycache__" or not file.is_file():
            continue  # made from the others
        whole.update(file.relative_to(package).as_posix().encode())
        whole.update(file.read_bytes())
    return whole.hexdigest()


@dataclass(frozen=True, slots=True)
class Last:
    """What the last build of a job left behind: its report, and where."""

    folder: Path
    report: dict[str, Any]

    @property
    def job(self) -> str:
        """The job's name."""
        return str(self.report["job"])

    @property
    def programs(self) -> tuple[str, ...]:
        """Names of its program files: one for each setup."""
        setups = self.report.get("setups")
        if setups is None:
            return (f"{self.job}.nc",)
        return tuple(str(each["program"]) for each in setups)

    @property
    def made_from(self) -> dict[str, Any]:
        """What it was built from."""
        found = self.report["made_from"]
        assert isinstance(found, dict)
        return found


@dataclass(slots=True)
class Ledger:
    """The last builds, by what they were built from. Folders and files are read once each."""

    folders: dict[Path, dict[tuple[str, str], Last]] = field(default_factory=dict)
    digests: dict[Path, str | None] = field(default_factory=dict)

    def last(self, target: Target, root: Path, folder: Path) -> Last | None:
        """The last build of a job into a folder, if all of its outputs are as they were written."""
        if folder not in self.folders:
            self.folders[folder] = dict(_reports(folder))
        name = _name(target.path, root)
        last = self.folders[folder].get((name, target.member))
        if last is None or last.made_from.get("tool") != tool_digest():
            return None
        return last if self._is_whole(last) else None

    def has_same_files(self, last: Last, root: Path) -> bool:
        """Whether every file that the last build read is the same now."""
        files = last.made_from.get("files")
        return (
            isinstance(files, dict)
            and bool(files)
            and all(self._digest(root / name) == was for name, was in files.items())
        )

    def _is_whole(self, last: Last) -> bool:
        outputs = listed_in(last.report)
        return (
            outputs is not None
            and outputs == last.report["outputs"] != {}
            and all(digest_of(last.folder / name) == was for name, was in outputs.items())
        )

    def _digest(self, path: Path) -> str | None:
        if path not in self.digests:
            self.digests[path] = digest_of(path)
        return self.digests[path]


def _name(path: Path, root: Path) -> str:
    real = path.resolve()
    return real.relative_to(root).as_posix() if real.is_relative_to(root) else real.name


def _reports(folder: Path) -> list[tuple[tuple[str, str], Last]]:
    found = []
    for path in sorted(folder.glob("*.report.json")):
        try:
            report = json.loads(path.read_bytes())
        except (OSError, ValueError):
            continue
        made = report.get("made_from") if isinstance(report, dict) else None
        if isinstance(made, dict) and path.name == f"{report.get('job')}.report.json":
            key = (str(made.get("spec")), str(made.get("member", "")))
            found.append((key, Last(folder, report)))
    return found
