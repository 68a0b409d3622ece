"""What a drawing is made of, in millimetres on paper, Y up: one description for SVG and for PDF.

Line widths and dash patterns follow the practice of ISO 128 (wide lines twice the narrow ones; from
memory of the standard, not opened). Everything is black or grey, so that print and every reader's
eyes can tell it apart.
"""

from dataclasses import dataclass
from typing import Literal

from compiler.geometry import Point, Segment

Anchor = Literal["start", "middle", "end"]


@dataclass(frozen=True, slots=True)
class Pen:
    """How a line is drawn: width and dashes in mm on paper, grey from 0 (black) to 1 (white)."""

    width: float
    dash: tuple[float, ...] = ()
    grey: float = 0.0


WIDE = Pen(0.5)
NARROW = Pen(0.18)
FINE = Pen(0.1, grey=0.35)
HATCH = Pen(0.1, grey=0.3)
HIDDEN = Pen(0.18, (2.0, 0.8))
CHAIN = Pen(0.18, (5.0, 0.7, 0.5, 0.7))  # long dash, dot
OUTSIDE = Pen(0.25, (5.0, 0.7, 0.5, 0.7, 0.5, 0.7))  # long dash, two dots: blanks, neighbours
DOTTED = Pen(0.25, (0.3, 1.2))


@dataclass(frozen=True, slots=True)
class Run:
    """Lines and arcs joined end to end, one tuple for each run; drawn, filled, or both.

    `fill` is a grey from 0 to 1; holes are left out by the even-odd rule. Where `within` holds
    closed runs, nothing shows outside them.
    """

    runs: tuple[tuple[Segment, ...], ...]
    pen: Pen | None = NARROW
    fill: float | None = None
    closed: bool = False
    within: tuple[tuple[Segment, ...], ...] = ()


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text; `at` is on its base line. `halo` clears the paper behind it.

    `size` is the font's, mm: 2.6 is 7.4 pt, the smallest that is used anywhere.
    """

    at: Point
    text: str
    size: float = 2.6
    anchor: Anchor = "start"
    angle: float = 0.0  # rad, counter-clockwise
    bold: bool = False
    halo: bool = False


Item = Run | Words


@dataclass(frozen=True, slots=True)
class Picture:
    """A finished drawing: its size on paper in mm, its lower left corner at nought, its scale."""

    width: float
    height: float
    items: tuple[Item, ...]
    factor: float


# Widths of letters in the sheet's font are up to these, as parts of its size; a test holds them.
_SLIM, _USUAL, _CAPITAL, _BROAD, _BOLD = 0.42, 0.6, 0.71, 0.99, 1.21
_SLIM_LETTERS = frozenset(" !'(),-./:;[]\\fijlrt|¡¦­·ÌÍÎÏìíîïĨĩĪīĬĭĮįİıIΐΙΪίιϊІЇіїј²³¹")
_BROAD_LETTERS = frozenset("#%+<=>@MW^mw~©¬®±¼½¾Æ×æ÷ĦŉŊŒœŴŵΉΌΎΏΜωώЉЊЖМФШЩЪЫЮжфшщъыюљњ…–—№")


def text_width(text: str, size: float, *, bold: bool = False) -> float:
    """How wide a line of text is at most, mm, for leaving room: no font is asked."""
    wide = size * sum(map(_letter_width, text))
    return wide * _BOLD if bold else wide


def _letter_width(letter: str) -> float:
    if letter in _SLIM_LETTERS:
        return _SLIM
    if letter in _BROAD_LETTERS or ord(letter) > 0x52F:
        return _BROAD
    return _CAPITAL if letter.isupper() or letter in "&дмħπσφψц" else _USUAL
