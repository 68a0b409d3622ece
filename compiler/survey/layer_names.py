"""What the name of a layer says of the loops on it, where draughtsmen's words say anything."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Literal

Said = Literal["sheet", "maybe sheet", "blank", "hole", "opening", "stands", ""]

# common practice, no source: words that layers are named by, most telling first
_WORDS: tuple[tuple[Said, str], ...] = (
    ("sheet", r"titles?|titleblocks?|borders?"),
    ("maybe sheet", r"frames?|sheets?|formats?|paper|viewports?"),
    ("hole", r"\w*(?<!w)holes?|drill(s|ed|ing)?|tap(s|ped)?|threads?|dowels?|ream(s|ed)?"),
    ("opening", r"pockets?|recess(es)?|slots?|bores?|cut-?outs?|windows?|openings?|inner"),
    ("stands", r"raised|boss(es)?|lugs?|ribs?|rails?|pads?|islands?|posts?|towers?|fins?|keep"),
    ("blank", r"outlines?|contours?|stock|blanks?|billets?"),
)


def said_by(layers: Sequence[str]) -> Said:
    """What all of the layers' names say alike; nothing where they differ."""
    told = {_of_name(name) for name in layers}
    return told.pop() if len(told) == 1 else ""


def _of_name(name: str) -> Said:
    parts = [part for part in re.split(r"[^a-z-]+|-", name.casefold()) if part]
    for said, words in _WORDS:
        if any(re.fullmatch(words, part) for part in parts):
            return said
    return ""
