"""What is wrong with text that is not YAML, at the place where it went wrong.

A reader of YAML gives up where it can't go on, which may be lines after the slip: a forgotten colon
is missed at the next key, an open quote at the end of the file. What it had begun tells the line.
"""

from __future__ import annotations

import yaml

from compiler.diagnostics import Diagnostic, Span
from compiler.spec.fault import fault

_BEFORE_A_QUOTE = " \t[{,(-"


def not_yaml(error: yaml.YAMLError, text: str, file: str) -> Diagnostic:
    """E004 for an error of the event stream of `text`."""
    mark = getattr(error, "problem_mark", None) or getattr(error, "context_mark", None)
    line, column = (mark.line + 1, mark.column + 1) if mark else (1, 1)
    begun = getattr(error, "context_mark", None)
    context = str(getattr(error, "context", None) or "")
    quote = _open_quote(text.split("\n"), line)
    if begun is not None and "simple key" in context:
        line, column = begun.line + 1, begun.column + 1
        if quote is None or quote[0] > line:
            return _at(
                file,
                line,
                column,
                f"line {line} has no `:` followed by a space",
                "write a key, a colon and a space, as `title: Encoder plate`; what goes on in "
                "the next line is indented deeper",
            )
    if quote is not None:
        return _at(
            file,
            *quote,
            f"the quote opened at line {quote[0]} is not closed",
            "close it in the same line with the same sign; text needs no quotes where it holds no "
            "`:`, `#` or bracket",
        )
    if begun is not None and "flow" in context and begun.line + 1 < line:
        what = "[" if "sequence" in context else "{"
        return _at(
            file,
            begun.line + 1,
            begun.column + 1,
            f"the `{what}` opened at line {begun.line + 1} is not closed",
            f"close it with `{'}' if what == '{' else ']'}`, and put a comma between its values; "
            f"the reader came as far as line {line}",
        )
    problem = getattr(error, "problem", None) or "the text breaks off"
    message = str(problem).strip().lower().replace("'", "`")
    return _at(
        file,
        line,
        column,
        f"not YAML: {message}",
        "check indentation (spaces, no tabs), quotes and brackets here and in the line above",
    )


def _at(file: str, line: int, column: int, message: str, help: str) -> Diagnostic:
    return fault("E004", Span(file, line, column, line, column + 1), message, help)


def _open_quote(lines: list[str], last: int) -> tuple[int, int] | None:
    """Line and column of the first quote that its own line does not close, up to a line."""
    for number, line in enumerate(lines[:last], 1):
        column = _unclosed(line)
        if column is not None:
            return number, column + 1
    return None


def _unclosed(line: str) -> int | None:
    """Where a quoted value begins that the line does not end; quotes within words are none."""
    open_at, place = None, 0
    while place < len(line):
        sign = line[place]
        if open_at is not None:
            quote = line[open_at]
            doubled = quote == "'" and line[place : place + 2] == "''"
            if doubled or (quote == '"' and sign == "\\"):
                place += 1
            elif sign == quote:
                open_at = None
        elif sign == "#" and (place == 0 or line[place - 1] in " \t"):
            return None
        elif sign in "\"'" and (place == 0 or line[place - 1] in _BEFORE_A_QUOTE):
            open_at = place
        place += 1
    return open_at
