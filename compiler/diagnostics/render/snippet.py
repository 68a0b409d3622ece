"""Source lines with the places that matter underlined.

    31 |   - rough: {tool: T3, to: -0.5}
       |                   ^^ not among the job's tools

`^` is the place at fault, `-` another that matters. A stretch over several lines is underlined to
the end of its first and says where it ends.
"""

import re
from dataclasses import dataclass
from itertools import accumulate

from compiler.diagnostics.model import Label
from compiler.diagnostics.render.clean import cells, one_line, width

_BREAKS = re.compile("\r\n|[\r\n\x85\u2028\u2029]")  # as YAML counts lines
_CUT = "…"


@dataclass(frozen=True, slots=True)
class Row:
    """One printed row: the number in the margin (None for a marker), the text, and its role."""

    number: int | None
    text: str
    role: str  # "source", "primary", "secondary" or "gap"


def rows(source: str, primary: Label | None, others: tuple[Label, ...], room: int) -> list[Row]:
    """Rows for the labelled places of one file, in order of lines, source cut to `room` columns.

    A label beyond the end of the text is left out.
    """
    lines = _BREAKS.split(source)
    labels = ([(primary, "primary")] if primary is not None else []) + [
        (other, "secondary") for other in others
    ]
    printed: list[Row] = []
    last = 0
    for number in sorted({label.span.line for label, _ in labels}):
        if not 1 <= number <= len(lines):
            continue
        if last and number > last + 1:
            printed.append(Row(None, "...", "gap"))
        here = [(label, role) for label, role in labels if label.span.line == number]
        printed += _line_rows(number, lines[number - 1], here, room)
        last = number
    return printed


def _line_rows(number: int, line: str, labels: list[tuple[Label, str]], room: int) -> list[Row]:
    """A source line, and a row under it for each of its labels."""
    shown = cells(line)
    ends = (0, *accumulate(map(width, shown)))
    first, last = _window(ends, _place(labels[0][0], len(shown))[0], room)
    before = _CUT if first > 0 else ""
    after = _CUT if last < len(shown) else ""
    text = before + "".join(shown[first:last]) + after
    printed = [Row(number, text.rstrip(), "source")]
    for label, role in labels:
        start, end = _place(label, len(shown))
        start, end = min(max(start, first), last), min(max(end, first), last)
        indent = len(before) + ends[start] - ends[first]
        mark = ("^" if role == "primary" else "-") * max(1, ends[end] - ends[start])
        said = one_line(label.text)
        if label.span.end_line > label.span.line:
            said = f"{said} (to line {label.span.end_line})".lstrip()
        printed.append(Row(None, f"{' ' * indent}{mark} {said}".rstrip(), role))
    return printed


def _place(label: Label, length: int) -> tuple[int, int]:
    """First and last character of the label on its first line, counted from 0, end exclusive."""
    span = label.span
    end = span.end_column - 1 if span.end_line == span.line else length
    start = min(max(span.column - 1, 0), length)
    return start, min(max(end, start), length)


def _window(ends: tuple[int, ...], focus: int, room: int) -> tuple[int, int]:
    """Which characters to show of a line that is too long: the focus a third of the way in."""
    length = len(ends) - 1
    if ends[-1] <= room:
        return 0, length
    left = min(max(0, ends[focus] - room // 3), ends[-1] - room + 2)
    first = next(at for at in range(length) if ends[at] >= left)
    budget = room - 2
    last = max(at for at in range(first, length + 1) if ends[at] - ends[first] <= budget)
    return first, last
