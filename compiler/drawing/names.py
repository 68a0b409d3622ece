"""Names out of a drawing as they can be printed and typed: no bytes of no alphabet, no controls.

A name that is not as its file's encoding says keeps its odd bytes, spelt out as `caf\\xe9`, so that
two such names stay two; a lone surrogate or an escape sequence never reaches a terminal.
"""

from __future__ import annotations

from typing import Any

DECODING = "backslashreplace"
"""How bytes that are no text in the drawing's encoding are read."""

LONGEST = 255  # characters of a name that are shown


def readable(text: object) -> str:
    """The text with what cannot be printed spelt out, as `\\x1b`."""
    plain = str(text)[:LONGEST]
    if plain.isprintable():
        return plain
    return "".join(c if c.isprintable() else _spelt(c) for c in plain)


def _spelt(character: str) -> str:
    return character.encode("unicode_escape").decode("ascii")


def layer_of(entity: Any) -> str:
    """The name of an entity's layer; that of one of an unknown kind is among its bare tags."""
    if entity.dxf.is_supported("layer"):
        return readable(entity.dxf.get("layer") or "0")
    tags = getattr(entity, "xtags", None)
    for part in tags.subclasses if tags is not None else ():
        for code, value in part:
            if code == 8:
                return readable(value)
    return "0"
