"""Parameters: what kind each is, what a member gave it, and whether that is within its limits."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.spec.errors import did_you_mean, listed
from compiler.spec.families.amount import Amount, order
from compiler.spec.families.evaluate import Value
from compiler.spec.families.functions import CONSTANTS, FUNCTIONS
from compiler.spec.families.kinds import limit_like, typed
from compiler.spec.families.order import in_order
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.scope import Bound, Scope, written
from compiler.spec.families.syntax import WORDS
from compiler.spec.families.text import refused, used_names, value_of
from compiler.spec.fault import fault
from compiler.spec.models.family import Parameter
from compiler.spec.tree import Entry, Scalar, Table
from compiler.units.number import Units

# a limit: its key, the sense in which a value breaks it, and the words for that
LIMITS = (("min", -1, "below", "least"), ("max", 1, "above", "most"))


@dataclass(frozen=True, slots=True)
class _Broken:
    """A limit that a value breaks, in words, and where it stands."""

    message: str
    help: str
    label: Label


@dataclass(slots=True)
class Binder:
    """Gives every parameter its value: the member's, else the default, else worked out.

    What is wrong gathers in `findings` (E803 to E811); such parameters have no value.
    """

    declared: Mapping[str, Parameter]
    table: Table  # of `parameters`, where they are declared
    given: Table  # of `with`
    units: Units
    path: str  # of `with`, for messages
    findings: list[Diagnostic] = field(default_factory=list)

    def scope(self) -> Scope:
        """All values."""
        self._check_names()
        self._check_keys()
        self._check_given()
        bound: dict[str, Bound] = {}
        for name, parameter in self.declared.items():
            found = None if parameter.kind == "value" else self._read(name, parameter)
            if found is not None:
                bound[name] = found
        for name in self._worked_out_in_order():
            found = self._work_out(name, bound)
            if found is not None:
                bound[name] = found
        return self._scope(bound)

    def _scope(self, bound: Mapping[str, Bound]) -> Scope:
        return Scope(bound, self.units, frozenset(self.declared))

    def _check_names(self) -> None:
        """Names that already mean something (E808)."""
        for name in self.declared:
            if name in WORDS or name in FUNCTIONS or name in CONSTANTS:
                message = f"`{name}` already means something else"
                help = "give the parameter another name"
                self._report("E808", self._at(name), message, help, f"parameters.{name}")

    def _check_keys(self) -> None:
        """Keys that mean nothing for a kind of parameter (E808)."""
        for name, parameter in self.declared.items():
            idle = ("min", "max") if parameter.kind == "choice" else ("of",)
            for key in idle:
                if getattr(parameter, key) is not None:
                    message = f"`{key}` means nothing for a parameter of the kind {parameter.kind}"
                    help = "`min` and `max` are for numbers, `of` for a choice; take it out"
                    path = f"parameters.{name}.{key}"
                    self._report("E808", self._entry(name, key).key_span, message, help, path)

    def _check_given(self) -> None:
        """Values for parameters that can't be set (E809)."""
        for name, entry in self.given.entries.items():
            path = f"{self.path}.{name}"
            if name not in self.declared:
                message = f"there is no parameter `{name}`"
                help = f"{did_you_mean(name, self.declared)}parameters are {listed(self.declared)}"
                also = [Label(self.table.span, "these are declared")]
                if not self.declared:
                    help, also = "take it out", []
                self._report("E809", entry.key_span, message, help, path, *also)
            elif self.declared[name].kind == "value":
                message = f"`{name}` is worked out and can't be set"
                help = "set the parameters that it is worked out from"
                also = [Label(self._at(name), "worked out here")]
                self._report("E809", entry.key_span, message, help, path, *also)

    def _read(self, name: str, parameter: Parameter) -> Bound | None:
        """The member's value, else the default; both are held to the limits."""
        path = f"parameters.{name}.{parameter.kind}"
        default = self._entry(name, parameter.kind)
        found = self._typed(name, parameter, default, ("E808", "E808"), path)
        entry = self.given.entries.get(name)
        if entry is None:
            return None if found is None else Bound(found, default.node.span, True)
        codes, path = ("E810", "E811"), f"{self.path}.{name}"
        declared = Label(self._at(name), f"`{name}` is declared here")
        found = self._typed(name, parameter, entry, codes, path, declared)
        return None if found is None else Bound(found, entry.node.span, False)

    def _typed(
        self,
        name: str,
        parameter: Parameter,
        entry: Entry,
        codes: tuple[str, str],
        path: str,
        *also: Label,
    ) -> Value | None:
        """A value of the parameter's kind; `codes` are for the wrong kind, and for a limit."""
        try:
            value = typed(parameter, entry.node, self.units)
        except RefusalError as error:
            self._report(codes[0], entry.node.span, error.message, error.help, path, *also)
            return None
        broken = self._broken_limit(name, parameter, value)
        if broken is None:
            return value
        self._report(codes[1], entry.node.span, broken.message, broken.help, path, broken.label)
        return None

    def _broken_limit(self, name: str, parameter: Parameter, value: Value) -> _Broken | None:
        shown = written(value, self.units)
        if parameter.choice is not None:
            choices = parameter.of or ()
            if value in choices:
                return None
            help = f"{did_you_mean(shown, choices)}choices are {listed(choices)}"
            label = Label(self._at(name), "the choices")
            return _Broken(f"`{shown}` is not a choice of `{name}`", help, label)
        for key, sense, word, edge in LIMITS:
            limit = self._limit(name, parameter, key, value)
            if limit is None or not isinstance(value, Amount):
                continue
            if sense * order(value, limit) > 0:
                bound = written(limit, self.units)
                message = f"`{name}` is {shown}, {word} its limit of {bound}"
                label = Label(self._entry(name, key).node.span, "the limit")
                return _Broken(message, f"give at {edge} {bound}", label)
        return None

    def _limit(self, name: str, parameter: Parameter, key: str, value: Value) -> Amount | None:
        """A limit as an amount; None where there is none or it is faulty, which is told."""
        if getattr(parameter, key) is None:
            return None
        node, path = self._entry(name, key).node, f"parameters.{name}.{key}"
        if not isinstance(value, Amount):
            message = f"`{written(value, self.units)}` can't have limits"
            self._report("E808", node.span, message, "take the limit out", path)
            return None
        try:
            limit = (
                limit_like(value, node, self.units)
                if parameter.kind == "value"
                else typed(parameter, node, self.units)
            )
        except RefusalError as error:
            self._report("E808", node.span, error.message, error.help, path)
            return None
        return limit if isinstance(limit, Amount) else None

    def _worked_out_in_order(self) -> list[str]:
        """Parameters with `value`, each after those that it needs; a circle is told (E807)."""
        needs: dict[str, list[str]] = {}
        for name, parameter in self.declared.items():
            if parameter.kind == "value":
                node = self._entry(name, "value").node
                assert isinstance(node, Scalar)  # the model has seen it
                needs[name] = list(dict.fromkeys(used_names(node.text)))
        names, circle = in_order(needs)
        if circle:
            steps = " needs ".join(f"`{step}`" for step in circle[:6])
            more = " ..." if len(circle) > 6 else ""
            message = f"parameters go in a circle: {steps}{more}"
            path = f"parameters.{circle[0]}"
            self._report("E807", self._at(circle[0]), message, "let one of them be given", path)
        return names

    def _work_out(self, name: str, bound: Mapping[str, Bound]) -> Bound | None:
        """A parameter with `value`, from those that it names."""
        node = self._entry(name, "value").node
        assert isinstance(node, Scalar)
        used = set(used_names(node.text))
        if any(other in self.declared and other not in bound for other in used):
            return None  # what it needs has no value, which has been told
        scope, path = self._scope(bound), f"parameters.{name}.value"
        also = scope.labels(node.text)
        try:
            value = value_of(node, scope.values)
        except RefusalError as error:
            self.findings.append(refused(error, node, path, also))
            return None
        broken = self._broken_limit(name, self.declared[name], value)
        if broken is not None:
            self._report("E811", node.span, broken.message, broken.help, path, broken.label, *also)
            return None
        behind = [bound[other] for other in sorted(used) if other in bound]
        set_at = next((b.set_at for b in behind if not b.is_default), node.span)
        return Bound(value, set_at, all(b.is_default for b in behind))

    def _report(
        self, code: str, span: Span, message: str, help: str, path: str, *also: Label
    ) -> None:
        found = fault(code, span, message, help, path=path, also=also)
        if found not in self.findings:  # a faulty limit is met at the default and at the value
            self.findings.append(found)

    def _at(self, name: str) -> Span:
        """Where a parameter is declared."""
        return self.table.entries[name].key_span

    def _entry(self, name: str, key: str) -> Entry:
        table = self.table.entries[name].node
        assert isinstance(table, Table)  # the model has seen it
        return table.entries[key]
