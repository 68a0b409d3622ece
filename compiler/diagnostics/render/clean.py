"""Text from elsewhere, made safe for a terminal, and how many columns it takes there."""

import re
import unicodedata

TAB = 4
_REPLACED = "\N{REPLACEMENT CHARACTER}"
# Controls, and the marks that reorder text: neither may move a cursor or disguise a line.
_UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\ufeff]")


def safe(text: str) -> str:
    """The text without control characters; tabs and line ends stay."""
    return _UNSAFE.sub(_REPLACED, text.replace("\r\n", "\n"))


def one_line(text: str) -> str:
    """The text on one line, without control characters."""
    return " ".join(safe(text).split())


def cells(line: str) -> tuple[str, ...]:
    """What is shown for each character of a source line: tabs as spaces to the next stop."""
    shown: list[str] = []
    column = 0
    for character in safe(line):
        piece = " " * (TAB - column % TAB) if character == "\t" else character
        shown.append(piece)
        column += width(piece)
    return tuple(shown)


def width(text: str) -> int:
    """Columns that the text takes on a terminal: 2 for wide characters, 0 for combining ones."""
    if text.isascii():
        return len(text)
    return sum(map(_columns, text))


def _columns(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(character) in ("W", "F") else 1
