"""One line of text to words, by the letter rules of NISTIR 6556 (sec. 3.3 and appendix E).

`g0x +0. 12 34y 7` is G0 X0.1234 Y7: blanks mean nothing outside comments, nor does case. Numbers
have no exponent. Anything not expressly allowed is refused.
"""

import re
from typing import NamedTuple

from compiler.read.refusal import RefusalError

LETTERS = frozenset("ABCDFGHIJKLMNPQRSTXYZ")
LONGEST_LINE = 256  # characters, NISTIR 6556 sec. 3.3
MOST_M_WORDS = 4  # in one block, sec. 3.3.5

_WORD = re.compile(r"([A-Z])([+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))")
# most lines are such words and blanks alone, and are read at one go
_PLAIN = re.compile(r"(?:[A-DF-MP-TX-Z][+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+))+")
_NUMBER_LINE = re.compile(r"N([0-9]+)")
_GAP = "\0"  # stands where a comment stood: a comment may part words, never a word


class Line(NamedTuple):
    """The words of one line as written, in order, and its comment."""

    words: tuple[tuple[str, float], ...]
    comment: str = ""


def scan(text: str, *, semicolons: bool = False, program_numbers: bool = False) -> Line:
    """The words of a line. Raises RefusalError with the reason.

    `semicolons` allows comments from `;` to the line's end, `program_numbers` a line that holds
    an O word alone; neither is in NISTIR 6556, some controls want them.
    """
    if len(text) > LONGEST_LINE:
        raise RefusalError(f"the line has {len(text)} characters, {LONGEST_LINE} are allowed")
    close = text.replace(" ", "")
    if _PLAIN.fullmatch(close):
        plain = [(letter, float(number)) for letter, number in _WORD.findall(close)]
        if len({letter for letter, _ in plain}) < len(plain):
            _check_repeats(plain)
        return Line(tuple(plain))
    if "\0" in text:
        raise RefusalError("a NUL character stands in the line")
    body, comment = _without_comments(text, semicolons)
    if not body.isascii():
        # a letter of another script may turn into one of ours in capitals
        strange = next(char for char in body if not char.isascii())
        raise RefusalError(f"the character `{strange}` is not allowed here")
    body = body.replace(" ", "").replace("\t", "").upper()
    if body.startswith("/"):
        raise RefusalError(
            "the block may be skipped by a switch on the machine (`/`)",
            "a proof holds for one program only: write the block without `/`, or leave it out",
        )
    if program_numbers and re.fullmatch(r"O[0-9]{1,8}", body.replace(_GAP, "")):
        return Line((), comment)
    body = _without_number(body)
    words: list[tuple[str, float]] = []
    at = 0
    while at < len(body):
        if body[at] == _GAP:
            at += 1
            continue
        found = _WORD.match(body, at)
        if found is None:
            raise _unreadable(body[at:])
        letter = found[1]
        if letter not in LETTERS or letter == "N":
            raise RefusalError(f"`{letter}` is no word of the language here")
        words.append((letter, float(found[2])))
        at = found.end()
    _check_repeats(words)
    return Line(tuple(words), comment)


def _without_comments(text: str, semicolons: bool) -> tuple[str, str]:
    """The text outside comments, a gap for each comment, and the last comment (it counts)."""
    if "(" not in text and ")" not in text and ";" not in text:
        return text, ""
    body: list[str] = []
    comment = ""
    at = 0
    while at < len(text):
        char = text[at]
        if char == "(":
            close = text.find(")", at)
            if close < 0:
                raise RefusalError("a comment is not closed on its line")
            comment = text[at + 1 : close]
            if "(" in comment:
                raise RefusalError("a comment stands inside a comment")
            body.append(_GAP)
            at = close + 1
        elif char == ";" and semicolons:
            return "".join(body), text[at + 1 :]
        else:
            body.append(char)
            at += 1
    return "".join(body), comment


def _without_number(body: str) -> str:
    """The line less its N word, which must come first: 0 to 99999, five digits at most."""
    if not body.startswith("N"):
        return body
    found = _NUMBER_LINE.match(body)
    if found is None:
        raise RefusalError("a line number must be digits only")
    if len(found[1]) > 5:
        raise RefusalError(f"the line number N{found[1]} has more than five digits")
    return body[found.end() :]


def _unreadable(rest: str) -> RefusalError:
    """Why no word starts here, by name."""
    char = rest[0]
    if "#" in rest[:2]:
        return RefusalError("`#` reads or sets a parameter, whose value the text does not give")
    if "[" in rest[:2]:
        return RefusalError("`[` opens an expression; this reader takes plain numbers only")
    if char == "O":
        return RefusalError("`O` (a program's number) is no word of the language here")
    if char in LETTERS:
        return RefusalError(f"no number follows `{char}`")
    if char.isalpha():
        return RefusalError(f"`{char}` is no word of the language here")
    return RefusalError(f"the character `{char}` is not allowed here")


def _check_repeats(words: list[tuple[str, float]]) -> None:
    """Any number of G words, four M words, any other letter once (sec. 3.3.5)."""
    seen: set[str] = set()
    m_words = 0
    for letter, _ in words:
        if letter == "G":
            continue
        if letter == "M":
            m_words += 1
            if m_words > MOST_M_WORDS:
                raise RefusalError(f"more than {MOST_M_WORDS} M words stand in one block")
            continue
        if letter in seen:
            raise RefusalError(f"the letter `{letter}` stands twice in one block")
        seen.add(letter)
