"""Validation errors as diagnostics: located, in the author's words, with a remedy.

Nothing of the validation library's own wording reaches an author: each of its error types is told
here in ours, and what the leaves raise (`models.scalars.refused`) already carries its code.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.spec.fault import fault
from compiler.spec.grammar import keys_at, keys_inside
from compiler.spec.source import describe, shorten
from compiler.spec.tree import (
    Items,
    Node,
    Path,
    Scalar,
    Table,
    at,
    first_line,
    key_span,
    path_text,
)

KEY = "[key]"  # pydantic's mark for an error in the key of a mapping
LIKE = 0.75  # nothing less alike is worth suggesting

_WANTED = {
    "model_type": ("keys and values", "write `key: value` lines below it, or `{key: value}`"),
    "model_attributes_type": ("keys and values", "write `key: value` lines below it"),
    "dict_type": ("names and what they stand for", "write `name: value` lines below it"),
    "tuple_type": ("a list", "write `[a, b]`, or lines that begin with `-`"),
    "list_type": ("a list", "write `[a, b]`, or lines that begin with `-`"),
    "bool_type": ("`true` or `false`", "write `true` or `false`"),
    "int_type": ("a whole number", "write a whole number, as `3`"),
    "float_type": ("a number", "write a number, as `3.5`"),
    "string_type": ("text", "put quotes around it to make it text"),
}

# errors of structure: no single value could mend them, whatever an expression comes to
STRUCTURE = (
    *("model_type", "model_attributes_type", "dict_type", "tuple_type", "list_type"),
    *("extra_forbidden", KEY),
)


def did_you_mean(word: str, known: Sequence[str] | Mapping[str, object]) -> str:
    """`did you mean ...? `, or nothing where no known word is near."""
    near = get_close_matches(word, list(known), 1, LIKE)
    return f"did you mean `{near[0]}`? " if near else ""


def listed(words: Sequence[str] | Mapping[str, object], limit: int = 24) -> str:
    """Words for a help text, cut where there are many."""
    shown = [f"`{word}`" for word in list(words)[:limit]]
    more = len(words) - len(shown)
    return ", ".join(shown) + (f" and {more} more" if more > 0 else "")


def findings(
    error: ValidationError,
    root: Table,
    model: type[BaseModel],
    base: Path = (),
    *,
    let_pass: Callable[[str, Node], bool],
) -> tuple[Diagnostic, ...]:
    """Every error of a validation, located in the tree.

    Args:
        error: What validating `plain(root)` (or the part of it at `base`) raised.
        root: The located tree.
        model: The model that it was validated against.
        base: Where in the tree the validated part stands.
        let_pass: Whether an error of some kind at a node is told elsewhere, or later.
    """
    found: list[Diagnostic] = []
    for item in error.errors(include_url=False, include_input=False):
        loc = tuple(item["loc"])
        path = place(root, loc, base)
        node = at(root, path)
        if node is not None and not let_pass(_kind(item["type"], loc), node):
            told = _finding(item["type"], loc, item.get("ctx", {}), (root, path, node), model)
            found += [] if told is None else [told]
    return _without_echoes(found)


def _kind(kind: str, loc: Path) -> str:
    """The kind of an error; one in a key is of the key, whatever is wrong with it."""
    return KEY if loc[-1:] == (KEY,) else kind


def _without_echoes(found: Sequence[Diagnostic]) -> tuple[Diagnostic, ...]:
    """One finding for one cause: a mistyped key is not also told as the key that is missing."""
    meant = {
        _sibling(f.path, str(value)) for f in found for name, value in f.data if name == "meant"
    }
    return tuple(f for f in found if f.code != "E104" or f.path not in meant)


def _sibling(path: str, key: str) -> str:
    return path[: path.rfind(".") + 1] + key


def place(root: Table, loc: Sequence[str | int], base: Path = ()) -> Path:
    """The path in the tree that an error's place stands for: tags and missing keys left out."""
    path: list[str | int] = list(base)
    node = at(root, base)
    for step in loc:
        child = None if node is None else at(node, (step,))
        if child is not None:
            path.append(step)
            node = child
    return tuple(path)


def _finding(
    kind: str,
    loc: Path,
    context: Mapping[str, Any],
    where: tuple[Table, Path, Node],
    model: type[BaseModel],
) -> Diagnostic | None:
    """One error as a diagnostic; None where it only follows from another."""
    root, path, node = where
    match kind:
        case "extra_forbidden":
            return _unknown_key(root, path, keys_at(model, loc[:-1]))
        case "too_short" if _count(node) >= context.get("min_length", 0):
            return None  # counts only what is valid; what is not has been told
        case "missing":
            if isinstance(node, Items):
                return _wrong_count(path, node, "a point or pair has two values")
            return _missing_key(root, path, str(loc[-1]), keys_at(model, loc[:-1]))
        case "literal_error":
            return _not_a_choice(path, node, str(context.get("expected", "")))
        case "too_short" | "too_long":
            return _count_out_of_bounds(root, path, node, kind, context)
        case "E110" | "E111":
            return _wrong_keys(kind, root, path, context)
        case _ if kind in _WANTED:
            wanted, help = _WANTED[kind]
            if loc[-1:] == ("<written>",):
                wanted = f"a word, or {wanted}"
            return _wrong_kind(path, node, f"expected {wanted}", help)
        case _ if context.get("help"):
            span = key_span(root, path) if loc[-1:] == (KEY,) else node.span
            return _told_by_leaf(kind, span, path, node, context)
        case _:
            return _wrong_kind(path, node, "this value is not allowed here", "see the schema")


def _told_by_leaf(
    code: str, span: Span, path: Path, node: Node, context: Mapping[str, Any]
) -> Diagnostic:
    message, help = str(context["message"]), str(context["help"])
    if code == "E105":
        return _wrong_kind(path, node, message, help)
    if code == "E108" and isinstance(node, Scalar) and "`" not in message:
        message = f"{message}, found `{shorten(node.text)}`"
    return fault(code, span, message, help, path=path_text(path))


def _wrong_kind(path: Path, node: Node, message: str, help: str) -> Diagnostic:
    return fault(
        "E105", node.span, f"{message}, found {describe(node)}", help, path=path_text(path)
    )


def _unknown_key(root: Table, path: Path, known: Mapping[str, FieldInfo]) -> Diagnostic:
    key = str(path[-1])
    mapping = at(root, path[:-1])
    free = [k for k in known if not (isinstance(mapping, Table) and k in mapping.entries)]
    near = get_close_matches(key, list(known), 1, LIKE)
    inside = [k for k, info in known.items() if key in keys_inside(info)]
    hint = did_you_mean(key, known)
    if not near and 0 < len(inside) <= 3:
        hint = f"`{key}` belongs inside {' or '.join(f'`{k}`' for k in inside)}; "
    found = fault(
        "E103",
        key_span(root, path),
        f"unknown key `{shorten(key)}`",
        f"{hint}keys here are {listed(sorted(free or known))}",
        path=path_text(path),
    )
    return replace(found, data=(("meant", near[0]),)) if near else found


def _missing_key(root: Table, path: Path, key: str, known: Mapping[str, Any]) -> Diagnostic:
    info = known.get(key)
    meaning = (info.description or "") if info is not None else ""
    example = ""
    if info is not None and info.examples:
        example = f": {_yaml(info.examples[0])}"
    return fault(
        "E104",
        first_line(root, path),
        f"the key `{key}` is missing",
        f"add `{key}{example}` ({meaning[:1].lower()}{meaning[1:].rstrip('.')})",
        path=path_text((*path, key)),
    )


def _yaml(value: object) -> str:
    """An example as an author would write it on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_yaml(item)}" for key, item in value.items()) + "}"
    if isinstance(value, list | tuple):
        return "[" + ", ".join(_yaml(item) for item in value) + "]"
    return str(value)


def _not_a_choice(path: Path, node: Node, expected: str) -> Diagnostic:
    choices = re.findall(r"'([^']*)'", expected) or ([expected.lower()] if expected else [])
    found = node.text if isinstance(node, Scalar) else ""
    suggestion = did_you_mean(found, choices)
    return fault(
        "E106",
        node.span,
        f"`{shorten(found)}` is not one of the choices" if found else "not one of the choices",
        f"{suggestion}write {' or '.join(f'`{choice}`' for choice in choices)}",
        path=path_text(path),
    )


def _count(node: Node) -> int:
    match node:
        case Items(nodes):
            return len(nodes)
        case Table(entries):
            return len(entries)
        case _:
            return 0


def _wrong_count(path: Path, node: Items, help: str) -> Diagnostic:
    count = len(node.nodes)
    return fault(
        "E113",
        node.span,
        f"the list has {count} value{'' if count == 1 else 's'}",
        help,
        path=path_text(path),
    )


def _count_out_of_bounds(
    root: Table, path: Path, node: Node, kind: str, context: Mapping[str, Any]
) -> Diagnostic:
    low, high = context.get("min_length"), context.get("max_length")
    bound = f"at least {low}" if kind == "too_short" else f"at most {high}"
    if isinstance(node, Items):
        return _wrong_count(path, node, f"write {bound} here")
    count = len(node.entries) if isinstance(node, Table) else 0
    return fault(
        "E113",
        first_line(root, path),
        f"`{path[-1] if path else 'the file'}` names {count or 'nothing'}",
        f"name {bound} here",
        path=path_text(path),
    )


def _wrong_keys(code: str, root: Table, path: Path, context: Mapping[str, Any]) -> Diagnostic:
    """Keys that exclude one another (points at the last of them), or too few of a group."""
    given = [str(key) for key in str(context.get("keys", "")).split() if key]
    node = at(root, path)
    message, help = str(context["message"]), str(context["help"])
    if not isinstance(node, Table) or not given:
        return fault(code, first_line(root, path), message, help, path=path_text(path))
    spans = sorted(node.entries[key].key_span for key in given if key in node.entries)
    also = tuple(Label(span, "and this") for span in spans[:-1]) if code == "E111" else ()
    return fault(code, spans[-1], message, help, path=path_text(path), also=also)
