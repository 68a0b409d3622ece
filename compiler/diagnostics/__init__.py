"""Findings: their shape, the table of their codes, and the printers for people and programs."""

from compiler.diagnostics.model import (
    Diagnostic,
    Label,
    Outcome,
    Severity,
    Span,
    has_errors,
    in_order,
)

__all__ = ["Diagnostic", "Label", "Outcome", "Severity", "Span", "has_errors", "in_order"]
