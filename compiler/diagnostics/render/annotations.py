"""Findings as workflow commands, one a line, that code hosts show beside the changed lines.

    ::error file=specs/bracket.yaml,line=31,endLine=31,col=19,endColumn=20,title=E203::no tool ...

The escapes are those of the workflow-command syntax: %, CR and LF everywhere, also `:` and `,` in
properties. Columns are left out of a stretch over several lines, where they have no meaning.
"""

from collections.abc import Mapping

from compiler.diagnostics.codes import CODES
from compiler.diagnostics.model import Diagnostic, Severity, Span
from compiler.diagnostics.render.bound import bounded
from compiler.diagnostics.render.clean import safe

_COMMANDS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.NOTE: "notice"}


def render(
    findings: tuple[Diagnostic, ...], sources: Mapping[str, str], *, colour: bool = False
) -> str:
    """One command a finding, help and notes in its text. `sources` and `colour` have no bearing."""
    shown, more = bounded(findings)
    lines = [_command(found) for found in shown]
    lines += [f"::notice title={code}::and {count} more of {code}" for code, count in more.items()]
    return "".join(line + "\n" for line in lines)


def _command(found: Diagnostic) -> str:
    place = [] if found.primary is None else _place(found.primary.span)
    info = CODES.get(found.code)
    title = f"{found.code} {info.title}" if info else found.code
    properties = ",".join(f"{name}={_property(str(value))}" for name, value in
                          [*place, ("title", title)])  # fmt: skip
    text = "\n".join([found.message, *found.notes, *([found.help] if found.help else [])])
    return f"::{_COMMANDS[found.severity]} {properties}::{_text(text)}"


def _place(span: Span) -> list[tuple[str, str | int]]:
    place: list[tuple[str, str | int]] = [
        ("file", span.file),
        ("line", span.line),
        ("endLine", span.end_line),
    ]
    if span.end_line == span.line:
        # their end column is that of the last character, ours the one after it
        place += [("col", span.column), ("endColumn", max(span.column, span.end_column - 1))]
    return place


def _text(value: str) -> str:
    return safe(value).replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(value: str) -> str:
    return _text(value).replace(":", "%3A").replace(",", "%2C")
