"""The one place where a number becomes text: fixed decimals, never `-0`, never an exponent."""

import math
from typing import Literal

MM_PER_INCH = 25.4  # exact: the international inch, ISO 31-1 annex / NIST SP 811 B.8

Units = Literal["inch", "mm"]

SHORT: dict[Units, str] = {"inch": "in", "mm": "mm"}
LENGTH_DECIMALS: dict[Units, int] = {"inch": 4, "mm": 3}


def fixed(value: float, decimals: int) -> str:
    """`value` with exactly so many decimals: `fixed(-0.0004, 3)` is `0.000`.

    Raises ValueError for what is no number (NaN, infinity) and for negative `decimals`.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} has no decimal form")
    if decimals < 0:
        raise ValueError("decimals are counted from 0")
    text = f"{value:.{decimals}f}"
    # what rounds to nothing has no sign
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def short(value: float, decimals: int) -> str:
    """`value` with at most so many decimals, trailing zeros dropped: `short(1.5, 4)` is `1.5`.

    Raises ValueError as `fixed` does.
    """
    text = fixed(value, decimals)
    return text.rstrip("0").rstrip(".") if "." in text else text


def length(mm: float, units: Units) -> str:
    """A length in mm, as people read it in the job's units: `0.25 in`, `6 mm`."""
    return f"{short(in_units(mm, units), LENGTH_DECIMALS[units])} {SHORT[units]}"


def counted(number: int, one: str, many: str = "") -> str:
    """A number of things: `1 tool`, `2 tools`; `many` where it is not `one` with an s."""
    return f"{number} {one if number == 1 else many or one + 's'}"


def in_units(mm: float, units: Units) -> float:
    """A length in mm, as the bare number of the job's units."""
    return mm / MM_PER_INCH if units == "inch" else mm
