"""Wild expressions: grown from the grammar with wrong turns, and changed byte by byte.

Each is worked out twice with parameters of every kind: the same value or the same refusal, placed
inside the text; and a number that comes out is finite.
"""

from __future__ import annotations

import math
import random

from kind import NUMBERS, Kind, changed

from compiler.spec.families.amount import Amount, with_unit
from compiler.spec.families.evaluate import Value, evaluate, say
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.scope import written
from compiler.spec.families.syntax import parse

KNOWN: dict[str, Value] = {
    "tube": with_unit(2, "in"),
    "wall": with_unit(6.35, "mm"),
    "lean": with_unit(30, "deg"),
    "count": Amount(3),
    "nothing": Amount(0),
    "huge": Amount(1e9),
    "fit": "loose",
    "deep": True,
}
LEAVES = (
    *KNOWN,
    *("1", "0", "2.5", "1e3", "6 mm", "1/4 in", "30 deg", "2 rad", "0.25 in", "10 thou", "pi"),
    *("true", "false", "'loose'", '"close"', "unknown", "__class__", "10**10", "1e-300", "9" * 30),
)
BETWEEN = (
    *("+", "-", "*", "/", "//", "%", "**", "<", "<=", "==", "!=", ">", ">="),
    *(" and ", " or ", ",", " if ", ".", "=", ";", " is ", " in ", "@"),
)
BEFORE = ("-", "+", "not ", "~", "--", "- -", "lambda: ", "*")
CALLED = (
    *("min", "max", "abs", "sqrt", "sin", "cos", "tan", "asin", "acos", "atan2", "hypot"),
    *("floor", "ceil", "round", "eval", "tube", "pi", "print", "open"),
)


def make(chance: random.Random) -> bytes:
    """An expression: half grown, half grown and changed."""
    grown = _grown(chance, chance.choice((1, 2, 3, 4, 6, 9))).encode()
    if chance.random() < 0.5:
        return grown
    return changed(chance, grown, [_grown(chance, 3).encode(), *NUMBERS])


def _grown(chance: random.Random, depth: int) -> str:
    if depth <= 0 or chance.random() < 0.1:
        return chance.choice(LEAVES)
    match chance.randrange(12):
        case 0:
            return chance.choice(BEFORE) + _grown(chance, depth - 1)
        case 1:
            return f"({_grown(chance, depth - 1)})"
        case 2 | 3:
            given = [_grown(chance, depth - 1) for _ in range(chance.choice((0, 1, 1, 2, 2, 3)))]
            return f"{chance.choice(CALLED)}({', '.join(given)})"
        case 4:
            then, when, other = (_grown(chance, depth - 1) for _ in range(3))
            return f"{then} if {when} else {other}"
        case 5:  # deep, or long
            inner, count = chance.choice(LEAVES), chance.choice((5, 60, 400))
            return chance.choice(("(" * count + inner + ")" * count, "+".join([inner] * count)))
        case _:
            left, right = _grown(chance, depth - 1), _grown(chance, depth - 1)
            return left + chance.choice(BETWEEN) + right


def try_out(data: bytes) -> str:
    """Work it out twice; its kind of value, or the code it is refused with."""
    text = data.decode("utf-8", "replace")
    first, second = _outcome(text), _outcome(text)
    assert first == second, f"{first} and then {second}"
    return first[0]


def _outcome(text: str) -> tuple[str, str]:
    try:
        value = evaluate(parse(text), KNOWN)
    except RefusalError as refusal:
        assert refusal.message and refusal.help, text
        assert 0 <= refusal.start <= refusal.end <= max(len(text), 2) + 1, (
            refusal.start,
            refusal.end,
            text,
        )
        return f"refused: {refusal.code}", refusal.message
    if isinstance(value, Amount):
        assert math.isfinite(value.size), text
    kind = "a quantity" if isinstance(value, Amount) else say(value).split("`")[0].strip()
    return kind, written(value, "mm") + written(value, "inch")


KIND = Kind("expressions", make, try_out)
