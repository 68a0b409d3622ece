"""Dwells, and holes by the standard's canned cycles: one block a hole, what stays is left out.

NISTIR 6556 sec. 3.5.16. R, Z, Q and P are stated in the first block and again where they change;
G98 takes the tool back up to the height of rapids across after each hole.
"""

from __future__ import annotations

from compiler.job import ProgramStyle
from compiler.motion import OperationPath
from compiler.units.number import short
from compiler.write.dialects import Dialect
from compiler.write.digits import Digits, pointed


def dwell_words(seconds: float, style: ProgramStyle) -> tuple[str, str]:
    """G4 with its time, in the control's form."""
    return ("G4", _time(seconds, style))


def cycle_word(path: OperationPath, style: ProgramStyle, dialect: Dialect) -> str:
    """The G word for all holes of an operation; empty where they are written as single moves.

    A dwell is P of G82 alone, in the unit of G4's P; where G4 takes X, that unit is not known.
    """
    if style.cycles != "canned" or path.cycle is None or not path.holes:
        return ""
    if not any(hole.dwell for hole in path.holes):
        return dialect.cycles.get(path.cycle, "")
    has_unit = path.cycle in ("plain", "spot") and style.dwell != "x_seconds"
    return "G82" if has_unit else ""


def cycle_blocks(
    path: OperationPath, word: str, *, style: ProgramStyle, digits: Digits, most_feed: float
) -> list[tuple[str, ...]]:
    """The blocks for all holes of one operation, from the height of rapids across and back to it.

    `most_feed` is the machine's highest, mm/min.
    """
    blocks: list[tuple[str, ...]] = []
    said: dict[str, str] = {}
    for hole in path.holes:
        sticky = {
            "Z": digits.text(digits.coarse(hole.bottom)),
            "R": digits.text(digits.coarse(hole.retract)),
        }
        if hole.peck:
            sticky["Q"] = digits.text(digits.coarse(hole.peck))
        if hole.dwell:
            sticky["P"] = _time(hole.dwell, style)[1:]
        sticky["F"] = digits.feed(hole.feed, most_feed)
        place = tuple(
            f"{axis}{digits.text(digits.coarse(value))}"
            for axis, value in (("X", hole.at.x), ("Y", hole.at.y))
        )
        new = tuple(f"{k}{value}" for k, value in sticky.items() if said.get(k) != value)
        blocks.append((*(() if said else ("G98", word)), *place, *new))
        said = sticky
    return [*blocks, ("G80",)]


def _time(seconds: float, style: ProgramStyle) -> str:
    if style.dwell == "p_milliseconds":
        return f"P{round(seconds * 1000)}"
    letter = "X" if style.dwell == "x_seconds" else "P"
    return f"{letter}{pointed(float(short(seconds, 3)), 3)}"
