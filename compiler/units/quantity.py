"""Quantities as text: `6 mm`, `5/8`, `1-1/4 in`, `400 ft/min`, `1.5 kW`, `40%`.

One `Measure` for each kind of quantity. Its regular expression is the grammar: the reader matches
it and the published JSON Schema carries it, so the two cannot differ. A bare number is in the
file's own units. The results are the units used inside: mm, mm/min, m/min, rad, kW, N m, s.
"""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import lru_cache
from typing import Literal

from compiler.units.number import MM_PER_INCH, Units

Sign = Literal["any", "not negative", "positive"]

LIMIT = 1_000_000  # no bare number or amount reaches this; also keeps the patterns bounded

_DIGITS = r"(?:[0-9]{1,6}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})"
_FRACTION = r"(?:[0-9]{1,4}-)?[1-9][0-9]{0,3}/[1-9][0-9]{0,3}"
_PARTS = re.compile(r"^([-+]?)([0-9./]*(?:[0-9]-[0-9/]+)?)[ ]*([^ ].*)?$", re.DOTALL)

_POUND_FORCE = 4.4482216152605  # N, exact: NIST SP 811 appendix B.8
_INCH_M = 0.0254
_FOOT_M = 0.3048
_HORSEPOWER = 0.745699872  # kW, mechanical (550 ft lbf/s): NIST SP 811 appendix B.8


class QuantityError(ValueError):
    """Text or a number that is not the quantity asked for: one fact, and what to write instead."""

    def __init__(self, message: str, help: str, out_of_range: bool = False) -> None:
        super().__init__(message)
        self.message = message
        self.help = help
        self.out_of_range = out_of_range


@dataclass(frozen=True, slots=True, eq=False)
class Measure:
    """A kind of quantity: its units, what a bare number means, and how to write it.

    `units` gives the factor to the unit used inside; `bare` the unit of a bare number by the
    file's units; `examples` are for messages and for editors.
    """

    name: str
    units: Mapping[str, float]
    bare: Mapping[Units, str]
    examples: tuple[str, ...]
    fractions: bool = False
    decimals: int | None = None  # the result is rounded to so many, so that 3 in is 76.2 mm

    def pattern(self, sign: Sign) -> str:
        """The regular expression of its text form; the same dialect serves Python and ECMA 262."""
        return _pattern(self, sign)

    def read(self, value: object, units: Units, sign: Sign = "any") -> float:
        """The quantity in the unit used inside. Raises QuantityError with the remedy."""
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            raise QuantityError(f"expected {_a(self.name)}", self._how())
        if isinstance(value, str):
            return self._read_text(value, units, sign)
        if not math.isfinite(value) or abs(value) >= LIMIT:
            raise QuantityError(
                f"{self.name} is out of range", f"stay below {LIMIT} in size", out_of_range=True
            )
        if (sign == "positive" and value <= 0) or (sign == "not negative" and value < 0):
            raise self._sign_error(sign)
        return self._inside(value, self.bare[units])

    def _read_text(self, text: str, units: Units, sign: Sign) -> float:
        if not _compiled(self, sign).search(text):
            raise self._text_error(text, units, sign)
        amount, unit = _split(text)
        return self._inside(amount, unit or self.bare[units])

    def _inside(self, amount: float, unit: str) -> float:
        result = amount * self.units[unit]
        return result if self.decimals is None else round(result, self.decimals)

    def _text_error(self, text: str, units: Units, sign: Sign) -> QuantityError:
        """Why the text is not the quantity: no unit, an unknown unit, the sign, or no number."""
        if sign != "any" and _compiled(self, "any").search(text):
            return self._sign_error(sign)
        shown = text if len(text) <= 40 else text[:37] + "..."
        parts = _PARTS.match(text)
        number, unit = (parts.group(2), parts.group(3)) if parts else ("", None)
        if number and not unit and re.fullmatch(_DIGITS, number):
            bare = self.bare[units]
            return QuantityError(
                f"`{shown}` is text without a unit",
                f"take off the quotes (bare numbers are in `{bare}`) or write `{number} {bare}`"
                if bare
                else "take off the quotes",
            )
        if number and unit and unit.strip() not in self.units:
            near = get_close_matches(unit.strip(), [u for u in self.units if u], 1, 0.75)
            known = ", ".join(f"`{u}`" for u in self.units if u) or "none"
            return QuantityError(
                f"`{shown}` has no unit that {_a(self.name)} can have",
                (f"did you mean `{near[0]}`? " if near else "") + f"units are {known}",
            )
        return QuantityError(f"`{shown}` is not {_a(self.name)}", self._how())

    def _sign_error(self, sign: Sign) -> QuantityError:
        what = "must be more than 0" if sign == "positive" else "must not be negative"
        return QuantityError(
            f"{self.name} {what}", f"write a number as {self.example}", out_of_range=True
        )

    @property
    def example(self) -> str:
        """The first two examples, for a message."""
        return " or ".join(f"`{example}`" for example in self.examples[:2])

    def _how(self) -> str:
        listed = ", ".join(f"`{example}`" for example in self.examples)
        return f"write {_a(self.name)} as {listed}"


def _a(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


@lru_cache(maxsize=64)
def _pattern(measure: Measure, sign: Sign) -> str:
    lead = "[-+]?" if sign == "any" else r"\+?"
    digits = rf"(?=[0.]*[1-9]){_DIGITS}" if sign == "positive" else _DIGITS
    units = "|".join(re.escape(unit).replace(r"\ ", " ") for unit in measure.units if unit)
    required = "" if "" not in measure.units else "?"
    forms = [rf"{digits} *(?:{units}){required}" if units else digits]
    if measure.fractions:
        forms.append(rf"{_FRACTION} *(?:{units})?")
    return f"^{lead}(?:{'|'.join(forms)})$"


@lru_cache(maxsize=64)
def _compiled(measure: Measure, sign: Sign) -> re.Pattern[str]:
    return re.compile(_pattern(measure, sign))


def _split(text: str) -> tuple[float, str]:
    """Amount and unit of text that has already matched its pattern."""
    body = text.strip()
    negative = body.startswith("-")
    match = re.match(r"[-+]?((?:[0-9]+-)?[0-9]+/[0-9]+|[0-9.]+) *(.*)", body)
    assert match is not None
    number, unit = match.groups()
    amount = _fraction(number) if "/" in number else float(number)
    return (-amount if negative else amount), unit


def _fraction(text: str) -> float:
    whole, _, rest = text.rpartition("-")
    over, under = rest.split("/")
    return int(whole or 0) + int(over) / int(under)


LENGTH = Measure(
    "length",
    {
        "mm": 1.0,
        "cm": 10.0,
        "um": 0.001,
        "m": 1000.0,
        "in": MM_PER_INCH,
        "inch": MM_PER_INCH,
        '"': MM_PER_INCH,
        "thou": MM_PER_INCH / 1000,
        "ft": 12 * MM_PER_INCH,
    },
    {"inch": "in", "mm": "mm"},
    ("6 mm", "0.25 in", "5/8", "1-1/4 in", "10 thou"),
    fractions=True,
    decimals=10,
)
ANGLE = Measure(
    "angle",
    {"deg": math.pi / 180, "": math.pi / 180},
    {"inch": "", "mm": ""},
    ("60", "60 deg"),
)
FEED = Measure(
    "feed",
    {"mm/min": 1.0, "m/min": 1000.0, "in/min": MM_PER_INCH, "ft/min": 12 * MM_PER_INCH},
    {"inch": "in/min", "mm": "mm/min"},
    ("800 mm/min", "30 in/min"),
)
SURFACE_SPEED = Measure(
    "surface speed",
    {"m/min": 1.0, "ft/min": _FOOT_M},
    {"inch": "ft/min", "mm": "m/min"},
    ("400 ft/min", "120 m/min"),
)
POWER = Measure(
    "power",
    {"kW": 1.0, "W": 0.001, "hp": _HORSEPOWER},
    {"inch": "hp", "mm": "kW"},
    ("1.5 kW", "2 hp"),
)
TORQUE = Measure(
    "torque",
    {
        "N m": 1.0,
        "Nm": 1.0,
        "lbf ft": _POUND_FORCE * _FOOT_M,
        "ft lbf": _POUND_FORCE * _FOOT_M,
        "lbf in": _POUND_FORCE * _INCH_M,
        "in lbf": _POUND_FORCE * _INCH_M,
    },
    {"inch": "ft lbf", "mm": "N m"},
    ("20 N m", "15 ft lbf"),
)
ACCELERATION = Measure(
    "acceleration",
    {"mm/s2": 1.0, "m/s2": 1000.0, "in/s2": MM_PER_INCH},
    {"inch": "in/s2", "mm": "mm/s2"},
    ("500 mm/s2", "20 in/s2"),
)
TIME = Measure("time", {"s": 1.0, "min": 60.0, "": 1.0}, {"inch": "", "mm": ""}, ("60", "2 min"))
CUTTING_FORCE = Measure(
    "specific cutting force",
    {"N/mm2": 1.0, "MPa": 1.0, "": 1.0},
    {"inch": "", "mm": ""},
    ("800", "800 N/mm2"),
)
# power over removal rate is an energy per volume, J/mm3; 1 J/mm3 is 1000 N/mm2
UNIT_POWER = Measure(
    "unit power",
    {
        "hp/(in3/min)": _HORSEPOWER * 60e6 / MM_PER_INCH**3,
        "kW/(cm3/min)": 60_000.0,
        "W/(mm3/s)": 1000.0,
    },
    {"inch": "hp/(in3/min)", "mm": "kW/(cm3/min)"},
    ("0.33 hp/(in3/min)", "0.015 kW/(cm3/min)"),
)
PERCENT = Measure("percentage", {"%": 0.01}, {"inch": "%", "mm": "%"}, ("40%",))

MEASURES = (
    LENGTH,
    ANGLE,
    FEED,
    SURFACE_SPEED,
    POWER,
    TORQUE,
    ACCELERATION,
    TIME,
    CUTTING_FORCE,
    UNIT_POWER,
    PERCENT,
)
