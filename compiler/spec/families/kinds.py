"""What each kind of parameter may be given."""

from __future__ import annotations

from compiler.spec.errors import listed
from compiler.spec.families import amount
from compiler.spec.families.amount import Amount
from compiler.spec.families.evaluate import Value
from compiler.spec.families.refusal import RefusalError
from compiler.spec.models.family import Parameter
from compiler.spec.source import describe
from compiler.spec.tree import Node, Scalar
from compiler.units import quantity
from compiler.units.number import Units
from compiler.units.quantity import QuantityError


def typed(parameter: Parameter, node: Node, units: Units) -> Value:
    """What a parameter of a kind was given. Raises RefusalError with the remedy."""
    said = node.value if isinstance(node, Scalar) else None
    match parameter.kind:
        case "length":
            return _measured(quantity.LENGTH, node, units)
        case "angle":
            return _measured(quantity.ANGLE, node, units)
        case "choice":
            if not isinstance(said, str):
                raise _wrong_kind("one of its choices", node, f"write {listed(parameter.of or ())}")
            return said
        case "count":
            if isinstance(said, bool) or not isinstance(said, int):
                raise _wrong_kind("a whole number", node, "write a whole number, as `3`")
            return Amount(said)
        case "number":
            if isinstance(said, bool) or not isinstance(said, int | float):
                raise _wrong_kind("a bare number", node, "write a number without unit, as `1.5`")
            return Amount(said)
        case _:
            raise TypeError("what is worked out is not given")


def limit_like(value: Amount, node: Node, units: Units) -> Amount:
    """A limit for something that was worked out, of the same kind. Raises RefusalError."""
    match value.dimension:
        case amount.LENGTH:
            return _measured(quantity.LENGTH, node, units)
        case amount.ANGLE:
            return _measured(quantity.ANGLE, node, units)
        case amount.BARE:
            said = node.value if isinstance(node, Scalar) else None
            if isinstance(said, bool) or not isinstance(said, int | float):
                raise _wrong_kind("a bare number", node, "write a number without unit, as `1.5`")
            return Amount(said)
        case _:
            words = value.dimension.words
            raise RefusalError("E808", f"{words} can't have limits", "use a check instead")


def _wrong_kind(wanted: str, node: Node, help: str) -> RefusalError:
    return RefusalError("E810", f"expected {wanted}, found {describe(node)}", help)


def _measured(measure: quantity.Measure, node: Node, units: Units) -> Amount:
    said = node.value if isinstance(node, Scalar) else None
    if said is None:
        raise _wrong_kind(f"a {measure.name}", node, f"write it as {measure.example}")
    try:
        size = measure.read(said, units)
    except QuantityError as error:
        raise RefusalError("E810", error.message, error.help) from None
    if measure is quantity.ANGLE:
        return Amount(size, amount.ANGLE, "deg")
    unit = ""
    if isinstance(said, str):
        unit = next((u for u in _LONGEST_FIRST if said.rstrip().endswith(u)), "")
    return Amount(size, amount.LENGTH, unit)


_LONGEST_FIRST = sorted((u for u in quantity.LENGTH.units if u != '"'), key=len, reverse=True)
