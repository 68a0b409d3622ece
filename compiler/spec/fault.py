"""How `spec` makes its findings: one short constructor."""

from compiler.diagnostics import Diagnostic, Label, Severity, Span


def fault(
    code: str,
    span: Span | None,
    message: str,
    help: str,
    *,
    label: str = "",
    path: str = "",
    also: tuple[Label, ...] = (),
    notes: tuple[str, ...] = (),
    severity: Severity = Severity.ERROR,
) -> Diagnostic:
    """A finding at a place, with its remedy."""
    return Diagnostic(
        code=code,
        severity=severity,
        message=message,
        primary=None if span is None else Label(span, label),
        path=path,
        secondary=also,
        help=help,
        notes=notes,
    )
