"""Which block of the planned program a refused text has lost just before the line refused."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import SequenceMatcher

WINDOW = 60  # lines before the refused one that are held against the planned ones
_NUMBER = re.compile(r"^\s*N\d+\s*", re.IGNORECASE)


def lost_before(planned: Sequence[str], lines: Sequence[str], line: int) -> str:
    """A note naming the nearest planned blocks that stand no more before `line` (from 1); empty
    where none is missed there.
    """
    low = max(0, line - WINDOW)
    theirs = [_bare(each) for each in lines[low : line + 1]]
    ours = [_bare(each) for each in planned[low : line + WINDOW]]
    gone: list[str] = []
    for tag, i, until, j, _ in SequenceMatcher(None, ours, theirs, autojunk=False).get_opcodes():
        if tag == "delete" and low + j < line:
            gone = list(planned[low + i : low + until])
    if not gone:
        return ""
    shown = ", ".join(f"`{each.strip()}`" for each in gone[:3])
    more = f" and {len(gone) - 3} more" if len(gone) > 3 else ""
    return f"the planned program has {shown}{more} before it, which this text lacks"


def _bare(line: str) -> str:
    """A line without its number, as texts are renumbered."""
    return _NUMBER.sub("", line).strip()
