"""Findings about a given program's text, at its own lines."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from compiler.commands.lost_blocks import lost_before
from compiler.diagnostics import Diagnostic, Label, Severity, Span

DIFFERS = "E520"  # the finding of `text_true`


def at_program(
    findings: Iterable[Diagnostic], name: str, text: str, as_planned: bool, planned: Sequence[str]
) -> Iterable[Diagnostic]:
    """Findings with the program's own line beside that of the spec; a mere difference warns.

    `planned` are the lines of the program that would be written, where that is known.
    """
    lines = text.split("\n")
    for found in findings:
        line = next((int(v) for k, v in found.data if k in ("line", "program_line")), 0)
        if 0 < line <= len(lines):
            span = Span(name, line, 1, line, max(2, len(lines[line - 1].rstrip("\r")) + 1))
            if found.code == "E501":
                found = replace(found, primary=Label(span, "refused here"))
                if lost := lost_before(planned, lines, line):
                    found = replace(found, notes=(*found.notes, lost))
            else:
                found = replace(found, secondary=(*found.secondary, Label(span, "this block")))
        if found.code == DIFFERS and not as_planned:
            found = replace(
                found,
                code="W520",
                severity=Severity.WARNING,
                help="meant so if the program was edited or made elsewhere; "
                "`build` writes the planned one",
            )
        yield found
