"""What one spec file itself says, a value a line, in a fixed order: a text that `git diff` can
compare. References are not followed; spelling, comments and the order of keys leave no trace.

    keep_regions.boss.circle.radius: 0.9 in
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from compiler.diagnostics import Outcome
from compiler.spec.document import as_family, as_job, as_shop, units_of
from compiler.spec.families.origins import Origins
from compiler.spec.families.override import pass_names
from compiler.spec.models.amounts import Amount, InLength
from compiler.spec.resolved import View
from compiler.spec.source import read
from compiler.spec.tree import Items, Node, Path, Scalar, Table, path_text
from compiler.units.number import Units, in_units, short

FIRST = ("spec", "name", "title", "number", "revision")
DECIMALS = 6
READERS: dict[str, Callable[[Table], Outcome[Any]]] = {
    "job": as_job,
    "shop": as_shop,
    "family": as_family,
}


def lines_of(data: bytes) -> str | None:
    """The text; None where the file is no spec that can be read, which then speaks for itself."""
    tree = read(data, "file").value
    if tree is None:
        return None
    node = tree.get("spec")
    kind = str(node.value).split("/")[0] if isinstance(node, Scalar) else ""
    if kind not in READERS:
        return None
    typed = READERS[kind](tree).value
    body = tree.get("job") if kind == "family" else None
    units = units_of(body if isinstance(body, Table) else tree)
    return "".join(f"{line}\n" for line in _lines(tree, typed, (), View(units, units, Origins())))


def _lines(node: Node, typed: object, path: Path, view: View) -> Iterator[str]:
    match node:
        case Table(entries):
            for key in sorted(entries, key=lambda key: (_rank(key), key)):
                inner = view.inside(typed, key)
                yield from _lines(entries[key].node, inner, (*path, key), view)
        case Items(nodes) if path[-1:] == ("passes",):
            for name, item in zip(pass_names(node), nodes, strict=True):
                index = nodes.index(item)
                inner = view.inside(typed, index)
                yield from _lines(item, inner, (*path, name or index), view)
        case Items(nodes) if all(isinstance(item, Scalar) for item in nodes):
            shown = (_text(item, view.inside(typed, i), view.own) for i, item in enumerate(nodes))
            yield f"{path_text(path)}: [{', '.join(shown)}]"
        case Items(nodes):
            for i, item in enumerate(nodes):
                yield from _lines(item, view.inside(typed, i), (*path, i), view)
        case Scalar():
            yield f"{path_text(path)}: {_text(node, typed, view.own)}"


def _rank(key: str) -> int:
    return FIRST.index(key) if key in FIRST else len(FIRST)


def _text(node: Node, typed: object, units: Units) -> str:
    """A value in one spelling: lengths in the file's units, numbers without idle noughts."""
    assert isinstance(node, Scalar)
    if isinstance(typed, InLength):
        return f"{short(in_units(typed, units), DECIMALS)} {'in' if units == 'inch' else 'mm'}"
    if isinstance(typed, Amount) and isinstance(node.value, int | float):
        return f"{short(node.value, DECIMALS)} {typed.measure.bare[units]}".rstrip()
    if isinstance(node.value, bool):
        return "true" if node.value else "false"
    if isinstance(node.value, int | float):
        return short(node.value, 12)
    return " ".join(node.text.split())
