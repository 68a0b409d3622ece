"""Author's text made harmless: whatever it holds, it stays a comment and never becomes a move.

NISTIR 6556 sec. 3.3.4: a comment stands in parentheses, does not nest and closes on its line. So
only a short list of characters passes, everything else is folded or replaced, the length is bound,
and a label of ours goes first, so that no text begins with a word that a control acts on.
"""

import string
import unicodedata
from typing import Literal

Style = Literal["parentheses", "semicolon", "none"]

_PASSES = frozenset(string.ascii_letters + string.digits + " .,+-=:_*'")
# fmt: off
_LATIN = {
    "ß": "ss", "æ": "ae", "Æ": "AE", "ø": "o", "Ø": "dia ", "œ": "oe", "Œ": "OE", "þ": "th",
    "đ": "d", "ð": "d", "ł": "l", "Ł": "L", "ı": "i", "⌀": "dia ", "°": " deg", "×": "x",
    "±": "+-", "µ": "u", "–": "-", "—": "-", "−": "-", "‐": "-", "’": "'", "‘": "'", "…": "...",
    "“": "'", "”": "'", '"': "'", "/": "-", "⁄": "-", "&": "+", "€": "EUR", "·": ".",
}
# plain letter-for-letter romanisation, good enough to recognise a name at the machine
_GREEK = {
    "α": "a", "β": "v", "γ": "g", "δ": "d", "ε": "e", "ζ": "z", "η": "i", "θ": "th", "ι": "i",
    "κ": "k", "λ": "l", "μ": "m", "ν": "n", "ξ": "x", "ο": "o", "π": "p", "ρ": "r", "σ": "s",
    "ς": "s", "τ": "t", "υ": "y", "φ": "f", "χ": "ch", "ψ": "ps", "ω": "o",
}
_CYRILLIC = {
    "а": "a", "б": "b", "в": "v", "г": "g", "д": "d", "е": "e", "ж": "zh", "з": "z", "и": "i",
    "к": "k", "л": "l", "м": "m", "н": "n", "о": "o", "п": "p", "р": "r", "с": "s", "т": "t",
    "у": "u", "ф": "f", "х": "kh", "ц": "ts", "ч": "ch", "ш": "sh", "щ": "shch", "ъ": "", "ы": "y",
    "ь": "", "э": "e", "ю": "iu", "я": "ia", "і": "i", "є": "ie", "ґ": "g",
}
# fmt: on


def _folded(letter: str) -> str:
    """One character as the plain ones that stand for it; `?` where nothing does."""
    if letter in _PASSES:
        return letter
    if letter in _LATIN:
        return _LATIN[letter]
    if letter in "([{<":
        return "-"
    if letter in ")]}>" or letter.isspace() or unicodedata.category(letter).startswith("C"):
        return " "
    bare = "".join(c for c in unicodedata.normalize("NFKD", letter) if not unicodedata.combining(c))
    small = bare.lower()
    for table in (_GREEK, _CYRILLIC):
        if small in table:
            return table[small].capitalize() if bare != small else table[small]
    return "".join(c if c in _PASSES else _LATIN.get(c, "?") for c in bare)


def plain(text: str) -> str:
    """Any text as one line of harmless ASCII, spaces collapsed."""
    return " ".join("".join(map(_folded, text)).split())


def comment(text: str, style: Style, room: int) -> str:
    """One comment of at most `room` characters, shortened with an ellipsis; empty for `none`."""
    if style == "none":
        return ""
    body = plain(text)
    inside = max(room - 2, 1)
    if len(body) > inside:
        body = body[: max(inside - 3, 0)].rstrip() + "..."[: min(3, inside)]
    return f"({body})" if style == "parentheses" else f"; {body}"


def wrapped(label: str, text: str, style: Style, room: int, most: int = 4) -> list[str]:
    """A labelled comment over as many lines as it needs, at most `most`; the last is shortened."""
    if style == "none":
        return []
    width = max(room - 2 - len(label) - 2, 8)
    lines: list[str] = [""]
    for word in plain(text).split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > width and len(lines) < most:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return [comment(f"{label}: {line}", style, room) for line in lines]
