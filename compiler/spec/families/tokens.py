"""An expression's text as words: numbers with their unit, names, quoted text, signs.

Bounded before anything is read; one pass, no going back.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal

from compiler.spec.families.amount import UNITS
from compiler.spec.families.refusal import RefusalError

MAX_LENGTH = 500  # characters of one expression
MAX_TOKENS = 250

Kind = Literal["number", "name", "text", "sign", "end"]

_SPACE = re.compile(r"[ \t\r\n]*")
_NUMBER = re.compile(r"(?:[0-9]{1,20}(?:\.[0-9]{0,20})?|\.[0-9]{1,20})(?:[eE][-+]?[0-9]{1,3})?")
# longest unit first; `min` before a bracket is the function, as in `4 mm/min(a, b)`
_UNIT = re.compile(
    r"[ \t]*("
    + "|".join(re.escape(unit) for unit in sorted(UNITS, key=len, reverse=True))
    + r")(?![A-Za-z0-9_]|[ \t]*\()"
)
_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")
_TEXT = re.compile(r"'([^'\"\n]{0,80})'|\"([^'\"\n]{0,80})\"")
_SIGN = re.compile(r"\*\*|//|<=|>=|==|!=|[-+*/%<>(),]")


@dataclass(frozen=True, slots=True)
class Token:
    """One word of an expression and where it stands."""

    kind: Kind
    text: str
    start: int
    end: int
    unit: str = ""


def tokens(text: str) -> tuple[Token, ...]:
    """The words of an expression, the last of kind `end`. Raises RefusalError (E801, E802)."""
    if len(text) > MAX_LENGTH:
        raise RefusalError(
            "E802",
            f"an expression of {len(text)} characters",
            f"at most {MAX_LENGTH}; put parts of it into parameters with `value`",
        )
    found: list[Token] = []
    place = _past_space(text, 0)
    while place < len(text):
        token = _token(text, place)
        found.append(token)
        if len(found) > MAX_TOKENS:
            raise RefusalError(
                "E802",
                f"an expression of more than {MAX_TOKENS} words",
                "put parts of it into parameters with `value`",
            )
        place = _past_space(text, token.end)
    return (*found, Token("end", "", len(text), len(text)))


def _past_space(text: str, place: int) -> int:
    match = _SPACE.match(text, place)
    return place if match is None else match.end()


def _token(text: str, place: int) -> Token:
    if match := _NUMBER.match(text, place):
        unit = _UNIT.match(text, match.end())
        end = unit.end() if unit else match.end()
        if not unit and end < len(text) and (text[end].isalnum() or text[end] in "_."):
            raise _no_number(text, place, end)
        return Token("number", match.group(), place, end, unit.group(1) if unit else "")
    if match := _NAME.match(text, place):
        return Token("name", match.group(), place, match.end())
    if match := _TEXT.match(text, place):
        return Token("text", match.group(1) or match.group(2) or "", place, match.end())
    if match := _SIGN.match(text, place):
        return Token("sign", match.group(), place, match.end())
    raise RefusalError(
        "E801",
        f"`{text[place]}` has no meaning in an expression",
        _REMEDIES.get(text[place], "use numbers with units, parameters, + - * / and comparisons"),
        place,
        place + 1,
    )


_REMEDIES = {
    ".": "a value has nothing inside to reach for; use parameters by their own names",
    "[": "there are no lists in an expression; use a parameter for each value",
    "=": "`==` compares; nothing can be set in an expression",
    "!": "`!=` compares; `not` turns true to false",
    "^": "a power is written `**`",
    "'": "text in quotes is a choice of at most 80 characters, closed by the same quote",
    '"': "text in quotes is a choice of at most 80 characters, closed by the same quote",
    "&": "write `and`",
    "|": "write `or`",
}


def _no_number(text: str, start: int, end: int) -> RefusalError:
    match = re.match(r"[A-Za-z0-9_.]*", text[end : end + 20])
    tail = match.group() if match else ""
    return RefusalError(
        "E801",
        f"`{text[start:end]}{tail}` is not a number with a unit",
        "write `12.5` or `12.5 mm`; units are " + ", ".join(f"`{unit}`" for unit in UNITS),
        start,
        end + len(tail),
    )
