"""What every stage reports with: places in a file, findings about them, and outcomes.

A user's mistake is a `Diagnostic`, never an exception. A stage returns an `Outcome`: its value,
or None where it could not make one, and everything it found. All findings of a stage are
reported together; the road stops between stages, not within one.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum
from typing import Generic, TypeVar

T = TypeVar("T")


class Severity(StrEnum):
    """How much a finding weighs: an error stops the road, a warning does not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True, order=True)
class Span:
    """A stretch of a source file. Lines and columns count from 1; the end column is exclusive.

    `file` is the path as the user may read it: relative to the project's root, forward slashes.
    """

    file: str
    line: int
    column: int
    end_line: int
    end_column: int

    def __str__(self) -> str:
        """`file:line:column`, as compilers print it."""
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True)
class Label:
    """A place, and the few words that stand under it in the snippet."""

    span: Span
    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Diagnostic:
    """One finding.

    Attributes:
        code: Key of `codes.CODES`, as `E203`; shown, searchable, told in full by `explain`.
        severity: Error, warning or note.
        message: One fact, lower case, no full stop, values in backticks; never the remedy.
        primary: The place at fault; None only where no file is to blame.
        path: The key's path in the spec, as `passes[1].rough.tool`; empty where there is none.
        secondary: Other places that matter, as `first defined here`.
        help: What to do, with a number worth trying where the facts give one.
        notes: Context, as where a default came from.
        data: The numbers behind the message for JSON readers, as name and value.
    """

    code: str
    message: str
    primary: Label | None = None
    severity: Severity = Severity.ERROR
    path: str = ""
    secondary: tuple[Label, ...] = ()
    help: str = ""
    notes: tuple[str, ...] = ()
    data: tuple[tuple[str, str | float], ...] = ()


@dataclass(frozen=True, slots=True)
class Outcome(Generic[T]):
    """What a stage hands on: its value (None where it failed) and its findings."""

    value: T | None
    findings: tuple[Diagnostic, ...] = ()

    @property
    def failed(self) -> bool:
        """Whether the road ends here: no value, or an error among the findings."""
        return self.value is None or has_errors(self.findings)


def has_errors(findings: Iterable[Diagnostic]) -> bool:
    """Whether any of the findings is an error."""
    return any(found.severity is Severity.ERROR for found in findings)


def in_order(findings: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
    """The findings without repeats, by place in the file, then by code."""

    def key(found: Diagnostic) -> tuple[str, int, int, str, str]:
        if found.primary is None:
            return ("", 0, 0, found.code, found.message)
        span = found.primary.span
        return (span.file, span.line, span.column, found.code, found.message)

    unique = {(*key(found), found.severity): found for found in findings}
    return tuple(sorted(unique.values(), key=key))
