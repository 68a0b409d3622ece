"""The records of a STEP file before the kernel sees them: each named once, none missing.

The kernel falls over references to records that are not there, and takes the process with it; a
damaged file mostly has some (ISO 10303-21, clause 9: `#45=CIRCLE('',#44,3.);`).
"""

from __future__ import annotations

import re

_APART = re.compile(rb"'(?:[^']|'')*'|/\*.*?\*/", re.DOTALL)
_BEGIN = re.compile(rb"(?:^|[;\s])DATA\s*[(;]")
_NAMED = re.compile(rb"(?:^|;)\s*#(\d+)\s*=")
_MEANT = re.compile(rb"#(\d+)")


def what_is_wrong(data: bytes) -> str:
    """Why the records do not hang together, in a few words; nothing where they do."""
    begin = _BEGIN.search(data)
    if begin is None:
        return "it has no data section"
    text = _APART.sub(b" ", data[begin.end() :])
    there: set[bytes] = set()
    for found in _NAMED.finditer(text):
        if found[1] in there:
            return f"the record #{found[1].decode()} is in it twice"
        there.add(found[1])
    for found in _MEANT.finditer(text):
        if found[1] not in there:
            return f"the record #{found[1].decode()} that another needs is not in it"
    return ""
