"""After a write that was cut short: what it had begun is brought to its end, or cleared away.

All new files are written beside the old ones, proven and whole, before the first is moved over
its predecessor, the report's list of them among them. Killed between two moves, a folder holds
files of both builds. That list tells the new ones from files that somebody has changed.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from pathlib import Path

from compiler.commands.digests import digest_of, listed_in
from compiler.commands.whole import PARTIAL, discard, partial_of


def listed(report: Path, job: str) -> dict[str, str] | None:
    """The outputs that a report of this job lists, with their digests; None where it is none."""
    try:
        data = json.loads(report.read_bytes())
    except (OSError, ValueError):
        return None
    if not isinstance(data, dict) or data.get("job") != job:
        return None
    return listed_in(data)


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
        there = digest_of(folder / name)
        if there == will_be:
            continue
        if there not in (None, before.get(name)):
            return
        if digest_of(partial_of(folder / name)) != will_be:
            return
        waiting.append(name)
    for name in (*waiting, report):
        partial_of(folder / name).replace(folder / name)


def clear(folder: Path, names: Iterable[str]) -> None:
    """Take away what a write that was cut short left beside outputs that are good as they are."""
    begun = {path.name for path in folder.glob(f".*{PARTIAL}")}
    for name in names:
        partial = partial_of(folder / name)
        if partial.name in begun:
            discard(partial)
