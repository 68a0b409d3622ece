"""Quantities as they are read: in the unit used inside, and still knowing their measure."""

import math
from typing import Any, ClassVar

from pydantic import ValidationInfo

from compiler.spec.models.leaf import Leaf, refused
from compiler.units import quantity
from compiler.units.quantity import LIMIT, Measure, QuantityError, Sign


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


def quantity_leaf(kind: type[Amount], sign: Sign) -> Leaf:
    """A quantity of a kind and sign: a bare number in the file's units, or text with a unit."""

    def read(value: object, info: ValidationInfo) -> Amount:
        return read_quantity(kind, value, info, sign)

    words = {"any": "", "positive": "positive ", "not negative": "non-negative "}
    name = f"{words[sign]}{kind.measure.name}"
    return Leaf(read, {"x-shared": name, **quantity_schema(kind.measure, sign)})


def angle_leaf(below: float) -> Leaf:
    """A positive angle less than `below`, degrees."""

    def read(value: object, info: ValidationInfo) -> Amount:
        found = read_quantity(InAngle, value, info, "positive")
        if math.degrees(found) > below - 1e-9:
            help = f"write a number as {quantity.ANGLE.example}"
            raise refused("E108", f"angle must be less than {below:g} degrees", help)
        return found

    number, text = quantity_schema(quantity.ANGLE, "positive")["anyOf"]
    return Leaf(
        read,
        {
            "x-shared": f"positive angle below {below:g} degrees",
            "anyOf": [{**number, "exclusiveMaximum": below}, text],
        },
    )


def depth_leaf() -> Leaf:
    """A length, or a percentage of the tool's diameter."""

    def read(value: object, info: ValidationInfo) -> Amount:
        is_part = isinstance(value, str) and value.rstrip().endswith("%")
        return read_quantity(OfDiameter if is_part else InLength, value, info, "positive")

    return Leaf(
        read,
        {
            "x-shared": "positive length or percentage",
            "anyOf": [
                *quantity_schema(quantity.LENGTH, "positive")["anyOf"],
                quantity_schema(quantity.PERCENT, "positive"),
            ],
        },
    )
