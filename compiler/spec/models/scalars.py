"""The values at the leaves of a spec: quantities, numbers, names and texts.

Each type validates what YAML gave, converts it to the unit used inside, and carries its own JSON
Schema, made from the same pattern. Errors are `PydanticCustomError`s whose type is our code and
whose context holds the help; `spec.errors` turns them into diagnostics.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from typing import Annotated, Any, ClassVar

from pydantic import Field, PlainValidator, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from compiler.units import quantity
from compiler.units.quantity import LIMIT, Measure, QuantityError, Sign

NAME_PATTERN = r"^[A-Za-z][A-Za-z0-9 _-]{0,39}$"
FILE_NAME_PATTERN = r"^[A-Za-z0-9][A-Za-z0-9_-]{0,59}$"
PARAMETER_PATTERN = r"^[a-z][a-z0-9_]{0,39}$"
EXPRESSION_PATTERN = r"^\$\{[^{}]*\}$"
BLOCK_PATTERN = r"^[ -~]{1,120}$"


class Amount(float):
    """A quantity that remembers its measure, so that it can be said again with a unit."""

    __slots__ = ()
    measure: ClassVar[Measure]


class InLength(Amount):
    """mm."""

    measure = quantity.LENGTH


class InAngle(Amount):
    """rad."""

    measure = quantity.ANGLE


class InFeed(Amount):
    """mm/min."""

    measure = quantity.FEED


class InSpeed(Amount):
    """m/min."""

    measure = quantity.SURFACE_SPEED


class InPower(Amount):
    """kW."""

    measure = quantity.POWER


class InTorque(Amount):
    """N m."""

    measure = quantity.TORQUE


class InAcceleration(Amount):
    """mm/s2."""

    measure = quantity.ACCELERATION


class InTime(Amount):
    """s."""

    measure = quantity.TIME


class InCuttingForce(Amount):
    """N/mm2."""

    measure = quantity.CUTTING_FORCE


class InUnitPower(Amount):
    """N/mm2, which is the same as an energy per volume."""

    measure = quantity.UNIT_POWER


class OfDiameter(Amount):
    """A fraction of the tool's diameter."""

    measure = quantity.PERCENT


def refused(code: str, message: str, help: str, keys: str = "") -> PydanticCustomError:
    """A validation error that carries its diagnostic; `keys` are the keys at fault, if any."""
    context = {"message": message, "help": help, "keys": keys}
    return PydanticCustomError(code, "{message}", context)


def read_quantity(kind: type[Amount], value: object, info: ValidationInfo, sign: Sign) -> Amount:
    """The quantity as its kind. Raises E105 (wrong kind of value), E107 (text) or E108 (range)."""
    units = (info.context or {}).get("units", "mm")
    try:
        return kind(kind.measure.read(value, units, sign))
    except QuantityError as error:
        code = "E108" if error.out_of_range else "E107"
        if isinstance(value, bool) or not isinstance(value, int | float | str):
            code = "E105"
        raise refused(code, error.message, error.help) from error


def number_schema(sign: Sign) -> dict[str, Any]:
    """JSON Schema of a bare number of that sign."""
    schema: dict[str, Any] = {"type": "number", "exclusiveMaximum": LIMIT}
    match sign:
        case "positive":
            schema["exclusiveMinimum"] = 0
        case "not negative":
            schema["minimum"] = 0
        case _:
            schema["exclusiveMinimum"] = -LIMIT
    return schema


def quantity_schema(measure: Measure, sign: Sign) -> dict[str, Any]:
    """JSON Schema of a quantity: a bare number, or text with its unit."""
    text = {"type": "string", "pattern": measure.pattern(sign)}
    if measure is quantity.PERCENT:
        return text
    return {"anyOf": [number_schema(sign), text]}


def _quantity(kind: type[Amount], sign: Sign) -> tuple[PlainValidator, WithJsonSchema]:
    def read(value: object, info: ValidationInfo) -> Amount:
        return read_quantity(kind, value, info, sign)

    words = {"any": "", "positive": "positive ", "not negative": "non-negative "}
    return PlainValidator(read), WithJsonSchema(
        {"x-shared": f"{words[sign]}{kind.measure.name}", **quantity_schema(kind.measure, sign)}
    )


_LENGTH = _quantity(InLength, "any")
_POSITIVE_LENGTH = _quantity(InLength, "positive")
_ROOM = _quantity(InLength, "not negative")
_ANGLE = _quantity(InAngle, "any")
_POSITIVE_ANGLE = _quantity(InAngle, "positive")
_FEED = _quantity(InFeed, "positive")
_SPEED = _quantity(InSpeed, "positive")
_POWER = _quantity(InPower, "positive")
_TORQUE = _quantity(InTorque, "positive")
_ACCELERATION = _quantity(InAcceleration, "positive")
_TIME = _quantity(InTime, "not negative")
_CUTTING_FORCE = _quantity(InCuttingForce, "positive")
_UNIT_POWER = _quantity(InUnitPower, "positive")

Length = Annotated[float, *_LENGTH]
PositiveLength = Annotated[float, *_POSITIVE_LENGTH]
Room = Annotated[float, *_ROOM]  # a length that may be nothing but not less
Angle = Annotated[float, *_ANGLE]
PositiveAngle = Annotated[float, *_POSITIVE_ANGLE]
Feed = Annotated[float, *_FEED]
Speed = Annotated[float, *_SPEED]
Power = Annotated[float, *_POWER]
Torque = Annotated[float, *_TORQUE]
Acceleration = Annotated[float, *_ACCELERATION]
Time = Annotated[float, *_TIME]
CuttingForce = Annotated[float, *_CUTTING_FORCE]
UnitPower = Annotated[float, *_UNIT_POWER]


def _read_depth(value: object, info: ValidationInfo) -> Amount:
    if isinstance(value, str) and value.rstrip().endswith("%"):
        return read_quantity(OfDiameter, value, info, "positive")
    return read_quantity(InLength, value, info, "positive")


# a length, or a percentage of the tool's diameter
RadialDepth = Annotated[
    float,
    PlainValidator(_read_depth),
    WithJsonSchema(
        {
            "x-shared": "positive length or percentage",
            "anyOf": [
                *quantity_schema(quantity.LENGTH, "positive")["anyOf"],
                quantity_schema(quantity.PERCENT, "positive"),
            ],
        }
    ),
]


def _read_number(low: float, high: float, above: bool) -> Callable[[object], float]:
    def read(value: object) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refused(
                "E105", "expected a number", f"write a number, as `{_between(low, high)}`"
            )
        if not math.isfinite(value) or value > high or value < low or (above and value == low):
            edge = "more than" if above else "at least"
            raise refused(
                "E108",
                f"`{value:g}` is out of range",
                f"write a number of {edge} {low:g} and at most {high:g}",
            )
        return float(value)

    return read


def _between(low: float, high: float) -> str:
    return f"{(low + min(high, low + 2)) / 2:g}"


def _read_whole(low: int, high: int) -> Callable[[object], int]:
    def read(value: object) -> int:
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise refused("E105", "expected a whole number", f"write a whole number, as `{low}`")
        if not math.isfinite(value) or not low <= value <= high or value != int(value):
            raise refused(
                "E108",
                f"`{value:g}` is not a whole number from {low} to {high}",
                f"write a whole number from {low} to {high}",
            )
        return int(value)

    return read


def _whole(low: int, high: int) -> tuple[PlainValidator, WithJsonSchema]:
    return PlainValidator(_read_whole(low, high)), WithJsonSchema(
        {"type": "integer", "minimum": low, "maximum": high}
    )


WholeNumber = Annotated[int, *_whole(1 - LIMIT, LIMIT - 1)]
Flutes = Annotated[int, *_whole(1, 20)]
ToolNumber = Annotated[int, *_whole(1, 9999)]
Count = Annotated[int, *_whole(1, 500)]
SmallCount = Annotated[int, *_whole(0, 20)]
Levels = Annotated[int, *_whole(1, 10)]
Decimals = Annotated[int, *_whole(1, 6)]
ProgramNumber = Annotated[int, *_whole(1, 99999)]
LineLength = Annotated[int, *_whole(40, 256)]

_rpm = _read_number(0, 200_000, True)
Rpm = Annotated[
    float,
    PlainValidator(_rpm),
    WithJsonSchema(
        {"x-shared": "spindle speed", "type": "number", "exclusiveMinimum": 0, "maximum": 200_000}
    ),
]
Fraction = Annotated[
    float,
    PlainValidator(_read_number(0, 20, True)),
    WithJsonSchema({"type": "number", "exclusiveMinimum": 0, "maximum": 20}),
]
YesNo = Annotated[bool, Field(strict=True)]


def _read_text(pattern: str | None, limit: int, code: str, help: str) -> Callable[[object], str]:
    shape = None if pattern is None else re.compile(pattern)

    def read(value: object) -> str:
        if not isinstance(value, str):
            raise refused("E105", "expected text", "put quotes around it to make it text")
        if len(value) > limit:
            raise refused("E114", f"the text has {len(value)} characters", f"at most {limit}")
        if shape is not None and not shape.search(value):
            shown = value if len(value) <= 40 else value[:37] + "..."
            what = "not a well-formed name" if code == "E109" else "not allowed here"
            raise refused(code, f"`{shown}` is {what}", help)
        return value

    return read


def _text(
    pattern: str | None, limit: int, help: str = "", shared: str = "", code: str = "E109"
) -> tuple[PlainValidator, WithJsonSchema]:
    schema: dict[str, Any] = {"x-shared": shared} if shared else {}
    schema |= {"type": "string", "maxLength": limit}
    if pattern is not None:
        schema["pattern"] = pattern
    return PlainValidator(_read_text(pattern, limit, code, help)), WithJsonSchema(schema)


Text = Annotated[str, *_text(None, 200)]
LongText = Annotated[str, *_text(None, 1000)]
Name = Annotated[
    str,
    *_text(
        NAME_PATTERN,
        1000,
        "a name begins with a letter and has letters, digits, space, `-` and `_`, "
        "at most 40 of them",
        "name",
    ),
]
FileName = Annotated[
    str,
    *_text(
        FILE_NAME_PATTERN,
        1000,
        "it names the output files: letters, digits, `-` and `_` only, at most 60 of them",
    ),
]
ParameterName = Annotated[
    str,
    *_text(
        PARAMETER_PATTERN,
        1000,
        "a parameter's name has small letters, digits and `_`, and begins with a letter",
    ),
]
FilePath = Annotated[
    str, *_text(r"^[^\x00-\x1f]+$", 300, "write a path relative to this file", code="E114")
]
Block = Annotated[
    str,
    *_text(BLOCK_PATTERN, 1000, "one block of ASCII text, at most 120 characters", code="E114"),
]
DatumText = Annotated[
    str,
    *_text(
        r"^(?:stock (?:lower_left|lower_right|upper_left|upper_right|centre)"
        r"|region [A-Za-z][A-Za-z0-9 _-]{0,39} centre)$",
        1000,
        "write a point as `[0, 0]`, or `stock lower_left`, `stock lower_right`, "
        "`stock upper_left`, `stock upper_right`, `stock centre`, or `region NAME centre`",
        code="E106",
    ),
]
Expression = Annotated[
    str,
    *_text(
        EXPRESSION_PATTERN, 500, "write an expression as `${ tube / 2 }`", "expression", code="E114"
    ),
]
