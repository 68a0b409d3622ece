"""The values that expressions see, and the places that set them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from compiler.diagnostics import Label, Span
from compiler.spec.families.amount import Amount
from compiler.spec.families.evaluate import Value
from compiler.spec.families.text import used_names
from compiler.units.number import Units


@dataclass(frozen=True, slots=True)
class Bound:
    """A parameter's value, and the place that set it."""

    value: Value
    set_at: Span
    is_default: bool


@dataclass(frozen=True, slots=True)
class Scope:
    """Every parameter that has a value, in the file's units."""

    bound: Mapping[str, Bound]
    units: Units
    names: frozenset[str] = frozenset()  # those without a value too

    @property
    def values(self) -> Mapping[str, Value]:
        """What an expression sees."""
        return {name: bound.value for name, bound in self.bound.items()}

    def text(self, name: str) -> str:
        """A parameter's value as the language writes it."""
        return written(self.bound[name].value, self.units)

    def labels(self, text: str, limit: int = 3) -> tuple[Label, ...]:
        """Where the parameters that a text uses were set, those of a member first."""
        used = [name for name in dict.fromkeys(used_names(text)) if name in self.bound]
        used.sort(key=lambda name: self.bound[name].is_default)
        return tuple(
            Label(self.bound[name].set_at, f"`{name}` is {self.text(name)}")
            for name in used[:limit]
        )


def written(value: Value, units: Units) -> str:
    """A value as the language writes it."""
    match value:
        case bool():
            return "true" if value else "false"
        case str():
            return value
        case Amount():
            return value.text(units)
