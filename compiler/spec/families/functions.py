"""The functions of expressions: the contract's list, nothing to add to it from outside.

Angles go in and come out as angles: `sin(30 deg)`, never `sin(30)`, which half of all readers
would take for radians. Rounding wants a bare number, since rounding a length needs a unit.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from compiler.spec.families.amount import (
    ANGLE,
    BARE,
    Amount,
    Dimension,
    bounded,
    order,
    same_kind,
)
from compiler.spec.families.refusal import RefusalError

MAX_GIVEN = 20

Work = Callable[[tuple[Amount, ...]], Amount]


@dataclass(frozen=True, slots=True)
class Function:
    """How many values it takes, and what it makes of them."""

    least: int
    most: int
    work: Work


def call(name: str, given: tuple[Amount, ...]) -> Amount:
    """The function of what it is given. Raises RefusalError (E801, E804, E805)."""
    function = FUNCTIONS[name]
    if not function.least <= len(given) <= function.most:
        raise RefusalError(
            "E801",
            f"`{name}` takes {_count(function)}, and is given {len(given)}",
            "check commas and brackets",
        )
    return bounded(function.work(given))


def _count(function: Function) -> str:
    if function.least == function.most:
        return "one value" if function.least == 1 else f"{function.least} values"
    return f"{function.least} to {function.most} values"


def _bare(value: Amount, what: str) -> int | float:
    if value.dimension != BARE:
        raise RefusalError(
            "E804",
            f"{what} wants a bare number, not {value.dimension.words}",
            "divide by a unit first, as `round(tube / 1 mm) * 1 mm`",
        )
    return value.size


def _angle(value: Amount, what: str) -> float:
    if value.dimension != ANGLE:
        raise RefusalError(
            "E804",
            f"{what} wants an angle, not {value.dimension.words}",
            "write `30 deg` or `0.5 rad`, or multiply by `1 deg`",
        )
    return value.size


def _extreme(sign: int, name: str) -> Work:
    def work(given: tuple[Amount, ...]) -> Amount:
        best = given[0]
        for other in given[1:]:
            if sign * order(other, best, f"take the {name} of") > 0:
                best = other
        return best

    return work


def _turned(name: str, function: Callable[[float], float]) -> Work:
    return lambda given: Amount(function(_angle(given[0], name)))


def _inverse(name: str, function: Callable[[float], float]) -> Work:
    def work(given: tuple[Amount, ...]) -> Amount:
        size = _bare(given[0], f"`{name}`")
        if not -1 <= size <= 1:
            raise RefusalError(
                "E805", f"`{name}` of a number outside -1 to 1", "check what goes in"
            )
        return Amount(function(size), ANGLE, "deg")

    return work


def _whole(name: str, function: Callable[[float], int]) -> Work:
    return lambda given: Amount(function(_bare(given[0], f"`{name}`")))


def _round(given: tuple[Amount, ...]) -> Amount:
    size = _bare(given[0], "`round`")
    if len(given) == 1:
        return Amount(round(size))
    places = _bare(given[1], "`round`")
    if places != int(places) or not 0 <= places <= 12:
        raise RefusalError("E805", "`round` to a number of places outside 0 to 12", "use 3, say")
    return Amount(round(size, int(places)))


def _sqrt(given: tuple[Amount, ...]) -> Amount:
    (value,) = given
    if value.size < 0:
        raise RefusalError("E805", "the square root of a negative number", "check what goes in")
    if any(p % 2 for p in value.dimension):
        raise RefusalError(
            "E804",
            f"the square root of {value.dimension.words} is nothing that can be measured",
            "multiply two lengths first, or divide by a unit",
        )
    return Amount(math.sqrt(value.size), Dimension(*(p // 2 for p in value.dimension)))


def _hypot(given: tuple[Amount, ...]) -> Amount:
    for other in given[1:]:
        same_kind(given[0], other, "take `hypot` of")
    return replace(given[0], size=math.hypot(*(value.size for value in given)))


def _atan2(given: tuple[Amount, ...]) -> Amount:
    same_kind(given[0], given[1], "take `atan2` of")
    return Amount(math.atan2(given[0].size, given[1].size), ANGLE, "deg")


FUNCTIONS: dict[str, Function] = {
    "min": Function(1, MAX_GIVEN, _extreme(-1, "least")),
    "max": Function(1, MAX_GIVEN, _extreme(1, "most")),
    "abs": Function(1, 1, lambda given: replace(given[0], size=abs(given[0].size))),
    "sqrt": Function(1, 1, _sqrt),
    "sin": Function(1, 1, _turned("`sin`", math.sin)),
    "cos": Function(1, 1, _turned("`cos`", math.cos)),
    "tan": Function(1, 1, _turned("`tan`", math.tan)),
    "asin": Function(1, 1, _inverse("asin", math.asin)),
    "acos": Function(1, 1, _inverse("acos", math.acos)),
    "atan2": Function(2, 2, _atan2),
    "hypot": Function(1, MAX_GIVEN, _hypot),
    "floor": Function(1, 1, _whole("floor", math.floor)),
    "ceil": Function(1, 1, _whole("ceil", math.ceil)),
    "round": Function(1, 2, _round),
}
CONSTANTS: dict[str, Amount] = {"pi": Amount(math.pi)}
