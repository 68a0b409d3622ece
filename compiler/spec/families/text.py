"""`${ ... }` in the text of a value: found, read, worked out, told where it goes wrong."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.spec.families.evaluate import Value, evaluate
from compiler.spec.families.refusal import RefusalError
from compiler.spec.families.syntax import Tree, names, parse
from compiler.spec.fault import fault
from compiler.spec.tree import Scalar

MAX_TEXT = 2000  # characters of a text that holds expressions
_HOLE = re.compile(r"\$\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class Hole:
    """One `${ ... }`: its expression, and where that stands in the text."""

    expression: str
    start: int
    end: int  # of the whole, braces included


def holes(text: str) -> tuple[Hole, ...]:
    """Every expression in a text. Raises RefusalError (E801, E802)."""
    if len(text) > MAX_TEXT:
        raise RefusalError(
            "E802",
            f"a text with expressions of {len(text)} characters",
            f"at most {MAX_TEXT}; longer texts may not hold expressions",
        )
    found = tuple(Hole(m.group(1), m.start(1), m.end()) for m in _HOLE.finditer(text))
    if text.count("${") != len(found):
        place = _first_open(text)
        raise RefusalError(
            "E801",
            "`${` without its `}`, or braces inside",
            "write `${ tube / 2 }`, in quotes where YAML needs them",
            place,
            place + 2,
        )
    return found


def is_whole(text: str, hole: Hole) -> bool:
    """Whether a text is one expression and nothing else."""
    return text[: hole.start].strip() == "${" and not text[hole.end :].strip()


def _first_open(text: str) -> int:
    closed = {match.start() for match in _HOLE.finditer(text)}
    return next(m.start() for m in re.finditer(r"\$\{", text) if m.start() not in closed)


@lru_cache(maxsize=4096)
def read(expression: str) -> Tree:
    """The tree of an expression; a family's are read once for all its members."""
    return parse(expression)


def used_names(text: str) -> Iterator[str]:
    """The names that the expressions of a text use; none where it can't be read."""
    try:
        for hole in holes(text):
            for name in names(read(hole.expression)):
                yield name.name
    except RefusalError:
        return


def value_of(node: Scalar, known: Mapping[str, Value]) -> Value:
    """The value of a text that is one expression. Raises RefusalError, placed in the text."""
    hole = holes(node.text)[0]
    return hole_value(hole, known)


def hole_value(hole: Hole, known: Mapping[str, Value]) -> Value:
    """The value of one expression. Raises RefusalError, placed in the text that holds it."""
    try:
        return evaluate(read(hole.expression), known)
    except RefusalError as error:
        # a tree is read once and used often: the error it keeps must not be moved
        whole = error.end == 0
        raise RefusalError(
            error.code,
            error.message,
            error.help,
            hole.start - 2 if whole else hole.start + error.start,
            hole.end if whole else hole.start + error.end,
        ) from None


def refused(error: RefusalError, node: Scalar, path: str, also: Sequence[Label] = ()) -> Diagnostic:
    """What an expression was refused for, at the part of its text that is at fault."""
    return fault(
        error.code, within(node, error), error.message, error.help, path=path, also=tuple(also)
    )


def within(node: Scalar, error: RefusalError) -> Span:
    """Where the part at fault stands in the file; the whole value where that can't be told."""
    span = node.span
    quotes = span.end_column - span.column - len(node.text)
    if span.line != span.end_line or quotes not in (0, 2) or error.end <= error.start:
        return span
    first = span.column + quotes // 2
    return Span(span.file, span.line, first + error.start, span.line, first + error.end)
