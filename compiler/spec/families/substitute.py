"""Expressions in a tree replaced by their values; every node keeps the place where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.spec.families.amount import BARE, DECIMALS, Amount
from compiler.spec.families.evaluate import Value
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.scope import Scope, written
from compiler.spec.families.text import hole_value, holes, is_whole, refused, used_names
from compiler.spec.fault import fault
from compiler.spec.tree import Entry, Items, Node, Path, Scalar, Table, path_text
from compiler.units.number import short
from compiler.units.quantity import LIMIT


@dataclass(slots=True)
class Substitution:
    """Works through trees with one scope; gathers findings, names used and where values went."""

    scope: Scope
    findings: list[Diagnostic] = field(default_factory=list)
    used: set[str] = field(default_factory=set)
    set_by: dict[Span, tuple[Label, ...]] = field(default_factory=dict)
    _values: Mapping[str, Value] = field(init=False)

    def __post_init__(self) -> None:
        self._values = self.scope.values

    def tree(self, node: Node, path: Path = ()) -> Node:
        """The node with its expressions worked out (E801 to E806)."""
        match node:
            case Table():
                return self.table(node, path)
            case Items(nodes, span):
                return Items(
                    tuple(self.tree(item, (*path, i)) for i, item in enumerate(nodes)), span
                )
            case Scalar(value=str()) if "${" in node.text:
                return self._scalar(node, path)
            case _:
                return node

    def table(self, node: Table, path: Path = ()) -> Table:
        """A mapping's values; keys are never expressions."""
        entries = {
            key: Entry(key, entry.key_span, self.tree(entry.node, (*path, key)))
            for key, entry in node.entries.items()
        }
        return Table(entries, node.span)

    def _scalar(self, node: Scalar, path: Path) -> Node:
        names = set(used_names(node.text))
        self.used |= names
        also = self.scope.labels(node.text)
        if path == ("units",):
            return self._refuse(
                node, path, "`units` can't be worked out", "write `inch` or `mm`", also
            )
        if any(n in self.scope.names and n not in self.scope.bound for n in names):
            # what it needs has no value, which has been told; nothing is made of this tree
            return node
        try:
            found = self._worked_out(node)
        except RefusalError as error:
            self.findings.append(refused(error, node, path_text(path), also))
            return node
        self.set_by[node.span] = also
        return found

    def _worked_out(self, node: Scalar) -> Scalar:
        there = holes(node.text)
        if len(there) == 1 and is_whole(node.text, there[0]):
            return self._made(node, hole_value(there[0], self._values))
        text, place = "", 0
        for hole in there:
            value = hole_value(hole, self._values)
            text += node.text[place : hole.start - 2] + written(value, self.scope.units)
            place = hole.end
        text += node.text[place:]
        return Scalar(text, text, False, node.span)

    def _made(self, node: Scalar, value: Value) -> Scalar:
        """The value as an author would have written it there."""
        units = self.scope.units
        match value:
            case bool() | str():
                return Scalar(value, written(value, units), True, node.span)
            case Amount(size, dimension) if dimension == BARE:
                if abs(size) >= LIMIT:
                    raise RefusalError("E806", "the result is far too large", "check what goes in")
                whole = int(size) if size == int(size) else round(size, DECIMALS)
                return Scalar(whole, short(size, DECIMALS), True, node.span)
            case Amount():
                text = value.text(units)
                self._refuse_unwritable(value, text)
                return Scalar(text, text, True, node.span)

    def _refuse_unwritable(self, value: Amount, text: str) -> None:
        """Values that no key takes (E806): areas and the like, and what is far too large."""
        if not value.unit_in(self.scope.units):
            raise RefusalError(
                "E806",
                f"the result is {value.dimension.words}, which no key takes",
                "check the units; a fraction of an inch is `0.125 in`, or `1 in / 8`",
            )
        if abs(float(text.split()[0])) >= LIMIT:
            raise RefusalError("E806", "the result is far too large", "check what goes in")

    def _refuse(
        self, node: Scalar, path: Path, message: str, help: str, also: tuple[Label, ...]
    ) -> Scalar:
        self.findings.append(
            fault("E806", node.span, message, help, path=path_text(path), also=also)
        )
        return node
