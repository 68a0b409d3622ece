"""The located tree: what a file says, every value and key with its place.

Three kinds of node. Keys are always text; a scalar has the value that YAML 1.2's core schema gives
it. Nodes may be shared where a file uses aliases, so the tree is a graph without cycles.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from compiler.diagnostics import Span

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class Scalar:
    """A single value. `text` is what the author wrote; `plain` tells whether without quotes."""

    value: str | int | float | bool | None
    text: str
    plain: bool
    span: Span


@dataclass(frozen=True, slots=True)
class Items:
    """A list."""

    nodes: tuple[Node, ...]
    span: Span


@dataclass(frozen=True, slots=True)
class Entry:
    """One key of a mapping, its place, and what it holds."""

    key: str
    key_span: Span
    node: Node


@dataclass(frozen=True, slots=True)
class Table:
    """A mapping, in the file's order."""

    entries: Mapping[str, Entry]
    span: Span

    def get(self, key: str) -> Node | None:
        """What the key holds, if it is there."""
        entry = self.entries.get(key)
        return None if entry is None else entry.node


Node = Scalar | Items | Table


def plain(node: Node) -> object:
    """The node as dicts, lists and scalars, for validation."""
    match node:
        case Scalar(value):
            return value
        case Items(nodes):
            return [plain(item) for item in nodes]
        case Table(entries):
            return {key: plain(entry.node) for key, entry in entries.items()}


def at(node: Node, path: Sequence[str | int]) -> Node | None:
    """The node that a path of keys and indexes leads to, if it is there."""
    for step in path:
        match node:
            case Table() if isinstance(step, str) and (entry := node.entries.get(step)):
                node = entry.node
            case Items(nodes) if isinstance(step, int) and 0 <= step < len(nodes):
                node = nodes[step]
            case _:
                return None
    return node


def value_span(root: Node, path: Sequence[str | int]) -> Span:
    """The place of the value at a path; of the nearest thing above it where there is none."""
    for length in range(len(path), -1, -1):
        node = at(root, path[:length])
        if node is not None:
            return first_line(root, path[:length]) if length < len(path) else node.span
    return root.span


def key_span(root: Node, path: Sequence[str | int]) -> Span:
    """The place of the key (or list item) at a path; as `value_span` where there is none."""
    parent = at(root, path[:-1]) if path else None
    if isinstance(parent, Table) and (entry := parent.entries.get(str(path[-1]))):
        return entry.key_span
    return value_span(root, path)


def first_line(root: Node, path: Sequence[str | int]) -> Span:
    """Where to point for something that is missing inside the value at a path.

    The key that holds it; in a list, its first key; at the top of a file, the first key.
    """
    if path and isinstance(path[-1], str):
        return key_span(root, path)
    node = at(root, path)
    if isinstance(node, Table) and node.entries:
        return next(iter(node.entries.values())).key_span
    return root.span if node is None else node.span


def walk(node: Node, path: Path = ()) -> Iterator[tuple[Path, Node]]:
    """Every node with its path, parents first. Shared nodes come once for each place they stand."""
    yield path, node
    match node:
        case Items(nodes):
            for index, item in enumerate(nodes):
                yield from walk(item, (*path, index))
        case Table(entries):
            for key, entry in entries.items():
                yield from walk(entry.node, (*path, key))
        case _:
            pass


def is_expression(node: object) -> bool:
    """Whether a node is text that holds `${ ... }`."""
    return isinstance(node, Scalar) and isinstance(node.value, str) and "${" in node.value


def path_text(path: Sequence[str | int]) -> str:
    """A path as people read it: `passes[1].rough.tool`, `keep_regions["left lug"].top`."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        elif step.replace("_", "a").isalnum():
            text += f".{step}" if text else step
        else:
            text += f'["{step}"]'
    return text
