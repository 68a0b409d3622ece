"""Plain scalars by YAML 1.2's core schema (YAML 1.2.2 sec. 10.3.2), and nothing more.

`on`, `no`, `1:30`, `2024-01-01` and `1_000` are text; `010` is ten.
"""

import re

_INT = re.compile(r"[-+]?[0-9]+")
_OCTAL = re.compile(r"0o[0-7]+")
_HEX = re.compile(r"0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_INFINITY = re.compile(r"[-+]?\.(?:inf|Inf|INF)")
_WORDS = {
    "": None,
    "~": None,
    "null": None,
    "Null": None,
    "NULL": None,
    "true": True,
    "True": True,
    "TRUE": True,
    "false": False,
    "False": False,
    "FALSE": False,
}
_MAY_START = frozenset("0123456789+-.~ntfNTF")
MAX_DIGITS = 40  # longer numbers mean nothing to a mill, and cost time to read


class NoNumberError(ValueError):
    """A number that no machine could use: infinite, not a number, or absurdly long."""


def resolve(text: str) -> str | int | float | bool | None:
    """The value of an unquoted scalar. Raises NoNumberError."""
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in _MAY_START:
        return text
    if text in (".nan", ".NaN", ".NAN") or _INFINITY.fullmatch(text):
        raise NoNumberError("not a finite number")
    number = _number(text)
    if number is None:
        return text
    if len(text) > MAX_DIGITS or abs(number) > 1e300:
        raise NoNumberError("far too large or too long a number")
    return number


def _number(text: str) -> int | float | None:
    """The number that a text is; long ones are not worked out exactly."""
    if _INT.fullmatch(text):
        return int(text) if len(text) <= MAX_DIGITS else float("inf")
    if _OCTAL.fullmatch(text):
        return int(text[2:], 8) if len(text) <= MAX_DIGITS else float("inf")
    if _HEX.fullmatch(text):
        return int(text[2:], 16) if len(text) <= MAX_DIGITS else float("inf")
    return float(text) if _FLOAT.fullmatch(text) else None
