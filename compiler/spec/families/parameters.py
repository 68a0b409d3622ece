"""Parameters: what kind each is, what a member gave it, and whether that is within its limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.spec.errors import did_you_mean, listed
from compiler.spec.families.amount import Amount, order
from compiler.spec.families.evaluate import Value
from compiler.spec.families.functions import CONSTANTS, FUNCTIONS
from compiler.spec.families.kinds import typed
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.syntax import WORDS
from compiler.spec.families.text import refused, used_names, value_of
from compiler.spec.fault import fault
from compiler.spec.models.family import Parameter
from compiler.spec.tree import Entry, Scalar, Table
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


@dataclass(slots=True)
class Binder:
    """Gives every parameter its value: the member's, else the default, else worked out."""

    declared: Mapping[str, Parameter]
    table: Table  # of `parameters`, where they are declared
    given: Table  # of `with`
    units: Units
    path: str  # of `with`, for messages
    findings: list[Diagnostic] = field(default_factory=list)

    def scope(self) -> Scope:
        """All values. What is wrong is in `findings` (E803 to E811); such ones have no value."""
        self._check_names()
        bound: dict[str, Bound] = {}
        for name, parameter in self.declared.items():
            if parameter.value is None:
                found = self._given(name, parameter)
                if found is not None:
                    bound[name] = found
        for name in self._in_order():
            self._work_out(name, bound)
        return Scope(bound, self.units, frozenset(self.declared))

    def _check_names(self) -> None:
        for name in self.declared:
            if name in WORDS or name in FUNCTIONS or name in CONSTANTS:
                self._report_declared(
                    name,
                    "E808",
                    f"`{name}` already means something else",
                    "give the parameter another name",
                )
        for name, entry in self.given.entries.items():
            parameter = self.declared.get(name)
            where = f"{self.path}.{name}" if self.path else name
            if parameter is None:
                there = (
                    f"parameters are {listed(self.declared)}" if self.declared else "take it out"
                )
                self.findings.append(
                    fault(
                        "E809",
                        entry.key_span,
                        f"there is no parameter `{name}`",
                        f"{did_you_mean(name, self.declared)}{there}",
                        path=where,
                        also=(Label(self.table.span, "these are declared"),)
                        if self.declared
                        else (),
                    )
                )
            elif parameter.value is not None:
                self.findings.append(
                    fault(
                        "E809",
                        entry.key_span,
                        f"`{name}` is worked out and can't be set",
                        "set the parameters that it is worked out from",
                        path=where,
                        also=(Label(self._declared_span(name), "worked out here"),),
                    )
                )

    def _given(self, name: str, parameter: Parameter) -> Bound | None:
        """The member's value, else the default; both are held to the limits."""
        default = self._read(name, parameter, self._declared_entry(name, parameter.kind), True)
        entry = self.given.entries.get(name)
        if entry is None:
            return default
        return self._read(name, parameter, entry, False)

    def _read(self, name: str, parameter: Parameter, entry: Entry, default: bool) -> Bound | None:
        code = "E808" if default else "E810"
        path = f"parameters.{name}.{parameter.kind}" if default else f"{self.path}.{name}"
        declared = self._declared_span(name)
        also = () if default else (Label(declared, f"`{name}` is declared here"),)
        try:
            value = typed(parameter, entry.node, self.units)
        except RefusalError as error:
            self.findings.append(
                fault(code, entry.node.span, error.message, error.help, path=path, also=also)
            )
            return None
        limit = self._broken_limit(name, parameter, value)
        if limit is not None:
            message, help, span = limit
            self.findings.append(
                fault(
                    "E808" if default else "E811",
                    entry.node.span,
                    message,
                    help,
                    path=path,
                    also=(Label(span, "the limit"),),
                )
            )
            return None
        return Bound(value, entry.node.span, default)

    def _broken_limit(
        self, name: str, parameter: Parameter, value: Value
    ) -> tuple[str, str, Span] | None:
        """Message, remedy and place of the limit that a value breaks, if any."""
        shown = written(value, self.units)
        if parameter.choice is not None:
            if value not in (parameter.of or ()):
                choices = parameter.of or ()
                help = f"{did_you_mean(shown, choices)}choices are {listed(choices)}"
                return f"`{shown}` is not a choice of `{name}`", help, self._declared_span(name)
            return None
        for key, sign, word in (("min", 1, "below"), ("max", -1, "above")):
            limit = self._limit(name, parameter, key)
            if limit is None or not isinstance(value, Amount):
                continue
            if limit.dimension == value.dimension and sign * order(value, limit) < 0:
                edge = written(limit, self.units)
                least = "least" if key == "min" else "most"
                entry = self._declared_entry(name, key)
                return (
                    f"`{name}` is {shown}, {word} its limit of {edge}",
                    f"give at {least} {edge}",
                    entry.node.span,
                )
        return None

    def _limit(self, name: str, parameter: Parameter, key: str) -> Amount | None:
        """A limit as an amount; None where there is none or it is faulty, which is told."""
        if getattr(parameter, key) is None:
            return None
        entry = self._declared_entry(name, key)
        try:
            value = typed(parameter, entry.node, self.units)
        except RefusalError as error:
            self._add_once(
                fault(
                    "E808",
                    entry.node.span,
                    error.message,
                    error.help,
                    path=f"parameters.{name}.{key}",
                )
            )
            return None
        return value if isinstance(value, Amount) else None

    def _work_out(self, name: str, bound: dict[str, Bound]) -> None:
        """A parameter with `value`, from those that it names."""
        entry = self._declared_entry(name, "value")
        assert isinstance(entry.node, Scalar)
        scope = Scope(bound, self.units, frozenset(self.declared))
        used = set(used_names(entry.node.text))
        if any(other in self.declared and other not in bound for other in used):
            return  # what it needs has no value, which has been told
        path = f"parameters.{name}.value"
        also = scope.labels(entry.node.text)
        try:
            value = value_of(entry.node, scope.values)
        except RefusalError as error:
            self.findings.append(refused(error, entry.node, path, also))
            return
        limit = self._broken_limit(name, self.declared[name], value)
        if limit is not None:
            message, help, span = limit
            at_limit = Label(span, "the limit")
            self.findings.append(
                fault("E811", entry.node.span, message, help, path=path, also=(at_limit, *also))
            )
            return
        members = [bound[other] for other in used if other in bound]
        set_at = next((b.set_at for b in members if not b.is_default), entry.node.span)
        bound[name] = Bound(value, set_at, all(b.is_default for b in members))

    def _in_order(self) -> Iterator[str]:
        """Parameters with `value`, each after those that it needs; circles are told (E807)."""
        needs = {
            name: [other for other in dict.fromkeys(self._needs(name)) if other in self.declared]
            for name, parameter in self.declared.items()
            if parameter.value is not None
        }
        done: set[str] = set(self.declared) - set(needs)
        left = dict(needs)
        while left:
            ready = [name for name, others in left.items() if all(o in done for o in others)]
            if not ready:
                self._report_circle(left)
                return
            for name in ready:
                del left[name]
                done.add(name)
                yield name

    def _needs(self, name: str) -> Iterator[str]:
        node = self._declared_entry(name, "value").node
        return used_names(node.text) if isinstance(node, Scalar) else iter(())

    def _report_circle(self, left: Mapping[str, list[str]]) -> None:
        name = next(iter(left))
        seen: list[str] = []
        while name not in seen:
            seen.append(name)
            name = next(other for other in left[name] if other in left)
        circle = [*seen[seen.index(name) :], name]
        steps = " needs ".join(f"`{step}`" for step in circle[:6])
        more = " ..." if len(circle) > 6 else ""
        self._report_declared(
            name, "E807", f"parameters go in a circle: {steps}{more}", "let one of them be given"
        )

    def _report_declared(self, name: str, code: str, message: str, help: str) -> None:
        span = self._declared_span(name)
        self.findings.append(fault(code, span, message, help, path=f"parameters.{name}"))

    def _add_once(self, found: Diagnostic) -> None:
        if found not in self.findings:
            self.findings.append(found)

    def _declared_span(self, name: str) -> Span:
        return self.table.entries[name].key_span

    def _declared_entry(self, name: str, key: str) -> Entry:
        table = self.table.entries[name].node
        assert isinstance(table, Table)  # the model has seen it
        return table.entries[key]
