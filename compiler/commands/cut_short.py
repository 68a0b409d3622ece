"""After a write that was cut short: what it had begun is brought to its end, or cleared away.

All new files are written beside the old ones, proven and whole, before the first is moved over
its predecessor, the report's list of them among them. Killed between two moves, a folder holds
files of both builds. That list tells the new ones from files that somebody has changed.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from compiler.commands.whole import discard, partial_of


def digest(data: bytes) -> str:
    """sha256, hex."""
    return hashlib.sha256(data).hexdigest()


def listed(report: Path, job: str) -> dict[str, str] | None:
    """The outputs that a report of this job lists, with their digests; None where it is none."""
    try:
        data = json.loads(report.read_bytes())
    except (OSError, ValueError):
        return None
    if not isinstance(data, dict) or data.get("job") != job:
        return None
    outputs = data.get("outputs")
    if not isinstance(outputs, dict):
        return None
    # a name in it must stay a plain name: the list may have been edited too
    return {
        name: was
        for name, was in outputs.items()
        if isinstance(was, str) and Path(name).name == name
    }


def finish(folder: Path, report: str, job: str) -> None:
    """Move what is still to be moved of a write that was cut short, the report last.

    Only where that makes the folder whole: each file is there already, or waits beside one that
    the build before had written. Else nothing is touched. Raises OSError.
    """
    coming = listed(partial_of(folder / report), job)
    if coming is None:
        return
    before: Mapping[str, str] = listed(folder / report, job) or {}
    waiting = []
    for name, will_be in coming.items():
        there = _digest(folder / name)
        if there == will_be:
            continue
        if there not in (None, before.get(name)):
            return
        if _digest(partial_of(folder / name)) != will_be:
            return
        waiting.append(name)
    for name in (*waiting, report):
        partial_of(folder / name).replace(folder / name)


def clear(folder: Path, names: Iterable[str]) -> None:
    """Take away what a write that was cut short left beside outputs that are good as they are."""
    for name in names:
        discard(partial_of(folder / name))


def _digest(path: Path) -> str | None:
    try:
        return digest(path.read_bytes())
    except OSError:
        return None
