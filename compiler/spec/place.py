"""A place in a document under resolution: file tree, path, and where findings go."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.spec.errors import did_you_mean, listed
from compiler.spec.fault import fault
from compiler.spec.tree import Path, Table, at, first_line, key_span, path_text, value_span
from compiler.units.number import Units

if TYPE_CHECKING:
    from compiler.spec.linked import Linked

MOST_NAMES = 60  # in a help text


@dataclass(frozen=True, slots=True)
class Place:
    """A value in a tree. `place / "key"` goes down; findings are gathered in one list."""

    root: Table
    units: Units
    findings: list[Diagnostic]
    path: Path = field(default=())
    linked: Linked | None = None  # the drawings and models that the job names

    def __truediv__(self, step: str | int) -> Place:
        return Place(self.root, self.units, self.findings, (*self.path, step), self.linked)

    @property
    def span(self) -> Span:
        """Of the value."""
        return value_span(self.root, self.path)

    @property
    def key_span(self) -> Span:
        """Of the key that holds the value."""
        return key_span(self.root, self.path)

    @property
    def head_span(self) -> Span:
        """For what is missing inside: the key that holds the value, or its first key."""
        return first_line(self.root, self.path)

    @property
    def text(self) -> str:
        """The path as people read it."""
        return path_text(self.path)

    @property
    def exists(self) -> bool:
        """Whether the author wrote it."""
        return at(self.root, self.path) is not None

    def report(
        self,
        code: str,
        message: str,
        help: str,
        *,
        span: Span | None = None,
        also: tuple[Label, ...] = (),
        severity: Severity = Severity.ERROR,
    ) -> None:
        """Add a finding here, at the value unless another span is given."""
        found = fault(
            code, span or self.span, message, help, path=self.text, also=also, severity=severity
        )
        self.findings.append(found)

    def unknown(
        self,
        code: str,
        what: str,
        name: str,
        known: Mapping[str, object],
        none: str,
        near: str = "",
    ) -> None:
        """Report a name that points nowhere; the help lists the names there are, else is `none`.

        `near` is the one that is meant, where the caller knows better than by its letters.
        """
        guess = f"did you mean `{near}`? " if near else did_you_mean(name, known)
        help = f"{guess}there are {listed(known, MOST_NAMES)}" if known else none
        self.report(code, f"there is no {what} `{name}`", help)
