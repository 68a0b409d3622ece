"""Numbers that carry their dimension: a length is not a count, and the two can't be added.

Inside, sizes are in mm, s and radians. Each amount remembers the unit that its author used, so
that half of `2 in` is shown as `1 in`.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import NamedTuple

from compiler.spec.families.refusal import RefusalError
from compiler.units import quantity
from compiler.units.number import Units, short

LIMIT = 1e15  # whole numbers stay exact below it
MAX_POWER = 64
DECIMALS = 12  # of a size as text; a length of the contract keeps 10 in mm
_SAME = 9  # decimals in mm, s or rad to which two sizes are compared


class Dimension(NamedTuple):
    """Powers of length, time and angle. Angle is kept apart, so that 30 is never half a radian."""

    length: int = 0
    time: int = 0
    angle: int = 0

    @property
    def words(self) -> str:
        """As people say it."""
        known = _WORDS.get(self)
        if known is not None:
            return known
        named = zip(("length", "time", "angle"), self, strict=True)
        return "a quantity in " + " ".join(f"{name}^{power}" for name, power in named if power)


BARE = Dimension()
LENGTH = Dimension(length=1)
ANGLE = Dimension(angle=1)
TIME = Dimension(time=1)
FEED = Dimension(length=1, time=-1)

_WORDS = {
    BARE: "a bare number",
    LENGTH: "a length",
    ANGLE: "an angle",
    TIME: "a time",
    FEED: "a feed or speed",
    Dimension(length=2): "an area",
    Dimension(length=3): "a volume",
    Dimension(length=-1): "a number per length",
}

# unit: its dimension and how many of mm, mm/s, s or rad it is
UNITS: dict[str, tuple[Dimension, float]] = {
    **{unit: (LENGTH, size) for unit, size in quantity.LENGTH.units.items() if unit != '"'},
    **{unit: (FEED, size / 60) for unit, size in quantity.FEED.units.items()},
    "deg": (ANGLE, math.pi / 180),
    "rad": (ANGLE, 1.0),
    "s": (TIME, 1.0),
    "min": (TIME, 60.0),
}
_OWN = {FEED: "m/min", ANGLE: "deg", TIME: "s"}  # where no unit was written; all keys read these


@dataclass(frozen=True, slots=True)
class Amount:
    """A size and what it is a size of; `unit` is how its author would write it."""

    size: int | float
    dimension: Dimension = BARE
    unit: str = ""

    def text(self, units: Units) -> str:
        """As the language writes it: `1 in`, `30 deg`, `3`."""
        if self.dimension == BARE:
            return short(self.size, DECIMALS)
        unit = self.unit_in(units)
        if not unit:
            return f"{short(self.size, 6)} ({self.dimension.words}, in mm, s and rad)"
        return f"{short(self.size / UNITS[unit][1], DECIMALS)} {unit}"

    def unit_in(self, units: Units) -> str:
        """The unit to write it in: its author's, else the file's; none for areas and the like."""
        if self.unit and UNITS[self.unit][0] == self.dimension and self.unit != "rad":
            return self.unit
        if self.dimension == LENGTH:
            return "in" if units == "inch" else "mm"
        return _OWN.get(self.dimension, "")


def with_unit(number: int | float, unit: str) -> Amount:
    """A number of a unit, as `2 in`."""
    dimension, size = UNITS[unit]
    product = number * size
    return Amount(round(product, 10) if dimension == LENGTH else product, dimension, unit)


def bounded(amount: Amount) -> Amount:
    """The amount, if it is a number of a size that means something (E805)."""
    if not math.isfinite(amount.size) or abs(amount.size) > LIMIT:
        raise RefusalError("E805", "the result is far too large", "check the sizes that go in")
    return amount


def same_kind(a: Amount, b: Amount, doing: str) -> None:
    """Refuse two amounts that can't be added or compared (E804)."""
    if a.dimension == b.dimension:
        return
    bare = BARE in (a.dimension, b.dimension)
    raise RefusalError(
        "E804",
        f"can't {doing} {a.dimension.words} and {b.dimension.words}",
        "give the bare number a unit, as `3 mm` or `30 deg`" if bare else "both must be one kind",
    )


def add(a: Amount, b: Amount) -> Amount:
    """Sum of two of a kind."""
    same_kind(a, b, "add")
    return bounded(Amount(a.size + b.size, a.dimension, a.unit or b.unit))


def subtract(a: Amount, b: Amount) -> Amount:
    """Difference of two of a kind."""
    same_kind(a, b, "subtract")
    return bounded(Amount(a.size - b.size, a.dimension, a.unit or b.unit))


def multiply(a: Amount, b: Amount) -> Amount:
    """Product; dimensions add up."""
    return bounded(Amount(a.size * b.size, _sum(a.dimension, b.dimension, 1), _unit(a, b)))


def divide(a: Amount, b: Amount) -> Amount:
    """Quotient; two lengths give a bare number."""
    _not_nothing(b)
    unit = a.unit if b.dimension == BARE else ""
    return bounded(Amount(a.size / b.size, _sum(a.dimension, b.dimension, -1), unit))


def floor_divide(a: Amount, b: Amount) -> Amount:
    """How many whole times the one goes into the other: two of a kind, a bare number."""
    same_kind(a, b, "divide (`//`)")
    _not_nothing(b)
    return bounded(Amount(a.size // b.size))


def remainder(a: Amount, b: Amount) -> Amount:
    """What whole times leave: two of a kind."""
    same_kind(a, b, "take the remainder of")
    _not_nothing(b)
    return bounded(Amount(a.size % b.size, a.dimension, a.unit or b.unit))


def power(a: Amount, b: Amount) -> Amount:
    """A power with a bare, small exponent; of a length only a whole one."""
    if b.dimension != BARE:
        raise RefusalError("E804", f"an exponent can't be {b.dimension.words}", "use a bare number")
    if abs(b.size) > MAX_POWER:
        raise RefusalError(
            "E802", f"an exponent of more than {MAX_POWER}", "no size on a mill needs such a power"
        )
    if a.dimension != BARE and (b.size != int(b.size) or abs(b.size) > 6):
        raise RefusalError(
            "E804",
            f"{a.dimension.words} to a power that is not whole, or is above 6",
            "use `sqrt` for a root, or divide by a unit first, as `(tube / 1 mm) ** 0.5`",
        )
    if a.size == 0 and b.size < 0:
        raise _division_by_nothing()
    try:
        # as a float first: it tells how large an exact power would get before one is made
        rough = float(a.size) ** b.size
    except OverflowError:
        rough = math.inf
    if isinstance(rough, complex):
        raise RefusalError("E805", "a root of a negative number", "check the sign of the base")
    bounded(Amount(rough))
    times = int(b.size) if a.dimension != BARE else 0
    return Amount(a.size**b.size, Dimension(*(p * times for p in a.dimension)))


def negate(a: Amount) -> Amount:
    """The same size below nothing."""
    return replace(a, size=-a.size)


def order(a: Amount, b: Amount, doing: str = "compare") -> int:
    """Negative, 0 or positive as a is below, equal to or above b; sizes to a billionth of a mm."""
    same_kind(a, b, doing)
    if a.dimension != BARE:
        low, high = round(a.size, _SAME), round(b.size, _SAME)
        return (low > high) - (low < high)
    return (a.size > b.size) - (a.size < b.size)


OPERATIONS: dict[str, Callable[[Amount, Amount], Amount]] = {
    "+": add,
    "-": subtract,
    "*": multiply,
    "/": divide,
    "//": floor_divide,
    "%": remainder,
    "**": power,
}


def _sum(a: Dimension, b: Dimension, sign: int) -> Dimension:
    found = Dimension(*(p + sign * q for p, q in zip(a, b, strict=True)))
    if max(map(abs, found)) > 12:
        raise RefusalError("E804", f"{found.words} means nothing here", "check what is multiplied")
    return found


def _unit(a: Amount, b: Amount) -> str:
    """Of a product: the unit of the one factor that has a dimension."""
    if a.dimension == BARE:
        return b.unit
    return a.unit if b.dimension == BARE else ""


def _not_nothing(b: Amount) -> None:
    if b.size == 0:
        raise _division_by_nothing()


def _division_by_nothing() -> RefusalError:
    return RefusalError(
        "E805", "a division by nothing", "keep the divisor from being 0, by a limit or a check"
    )
