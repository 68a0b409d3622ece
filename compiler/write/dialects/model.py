"""What differs between one standard's program text and another's, as one frozen table."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from compiler.job.model import DrillCycle

# NISTIR 6556 sec. 3.5.16; a spot with no time to stay is a plain hole
CYCLES: dict[DrillCycle, str] = {"spot": "G81", "plain": "G81", "peck": "G83"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Dialect:
    """A standard's habits. What a shop's control wants beyond them is `job.ProgramStyle`.

    Attributes:
        name: The key in the shop file, `program.standard`.
        title: The standard, for the sheet.
        percent_lines: Whether the text stands between two lines that hold only `%`.
        inch, mm: The G word that states the unit.
        reset: G words that state the rest of the modal state, in the order written.
        largest_sweep: Greatest angle of one arc block, rad; longer arcs are split evenly.
        program_word: Whether a program number is an O word; else it is a comment.
        cycles: Its canned cycles, for shops that want them.
    """

    name: str
    title: str
    percent_lines: bool
    inch: str = "G20"
    mm: str = "G21"
    reset: tuple[str, ...] = ("G17", "G40", "G49", "G80", "G90", "G94")
    largest_sweep: float = 2 * math.pi
    program_word: bool = False
    cycles: Mapping[DrillCycle, str] = field(default_factory=lambda: MappingProxyType(CYCLES))
