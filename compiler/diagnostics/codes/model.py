"""The shape of one row in the table of codes."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class CodeInfo:
    """What a code stands for: a short title, and the whole story that `explain` prints."""

    title: str
    story: str
