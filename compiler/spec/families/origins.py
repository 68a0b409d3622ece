"""Where an expanded job came from: which parameters set a value, and which member was made.

A finding about an expanded job points at the family's text, where the value stands. Its author
needs the other half too: the line of the member that gave the parameter.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from compiler.diagnostics import Diagnostic, Label, Severity, Span

MOST_LABELS = 3


@dataclass(frozen=True, slots=True)
class Origins:
    """What stands behind the values of a job.

    Attributes:
        set_by: Value's place to the places of the parameters that it was worked out from.
        made_at: Where the member is named or its family is; None for a job that stands alone.
        files: Files whose text is not the member's own.
    """

    set_by: Mapping[Span, tuple[Label, ...]] = field(default_factory=dict)
    made_at: Label | None = None
    files: frozenset[str] = frozenset()

    def explain(self, findings: Iterable[Diagnostic]) -> tuple[Diagnostic, ...]:
        """The findings, each error with the places of the member that stand behind it."""
        if not self.set_by and self.made_at is None:
            return tuple(findings)
        return tuple(self._explained(found) for found in findings)

    def words(self, span: Span) -> str:
        """What set a worked-out value, for `expand`: `tube from rings/50.yaml:5`."""
        labels = self.set_by.get(span, ())
        return ", ".join(
            f"{label.text.split('`')[1]} from {label.span.file}:{label.span.line}"
            for label in labels
        )

    def _explained(self, found: Diagnostic) -> Diagnostic:
        if found.primary is None or found.severity is not Severity.ERROR:
            return found
        span = found.primary.span
        known = {label.span for label in found.secondary} | {span}
        also = [label for label in self._behind(span) if label.span not in known]
        told = any(label.span.file not in self.files for label in (*found.secondary, *also))
        made_at = self.made_at
        if made_at is not None and span.file in self.files and not told:
            own_line = (made_at.span.file, made_at.span.line) == (span.file, span.line)
            also += [] if own_line or made_at.span in known else [made_at]
        unique = tuple(dict.fromkeys(also))[:MOST_LABELS]
        return replace(found, secondary=(*found.secondary, *unique)) if unique else found

    def _behind(self, span: Span) -> list[Label]:
        """Labels of the value at a place, else of the values that stand inside it."""
        if span in self.set_by:
            return list(self.set_by[span])
        inside = [labels for at, labels in self.set_by.items() if _is_inside(at, span)]
        return [label for labels in inside for label in labels]


def _is_inside(inner: Span, outer: Span) -> bool:
    """Whether a place lies in another, or on its line where that is a key."""
    if inner.file != outer.file:
        return False
    if outer.line == outer.end_line:
        return inner.line == outer.line
    return outer.line <= inner.line <= outer.end_line
