"""A table of members in CSV (RFC 4180): the first row names the parameters, `name` the member.

Read cell by cell with places, so that a size that breaks a limit is shown in its row.
"""

from __future__ import annotations

from dataclasses import dataclass

from compiler.diagnostics import Diagnostic, Label, Outcome, Span
from compiler.spec.fault import fault
from compiler.spec.scalars import NoNumberError, resolve
from compiler.spec.source import shorten
from compiler.spec.text import decode
from compiler.spec.tree import Entry, Scalar, Table

MAX_ROWS = 5000
MAX_CELLS = 100_000


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell, its text, whether it stood in quotes, and its place."""

    text: str
    quoted: bool
    span: Span


def read_members(data: bytes, file: str) -> Outcome[Table]:
    """The members of a CSV file: name to a mapping of what its row gives (E002, E814).

    Empty cells are not given, so that the parameter's default holds.
    """
    text = decode(data, file)
    if text.value is None:
        return Outcome(None, text.findings)
    try:
        rows = [row for row in _rows(text.value, file) if any(cell.text for cell in row)]
    except _BadCellError as bad:
        return Outcome(None, (bad.found,))
    start = Span(file, 1, 1, 1, 2)
    if not rows or "name" not in (cell.text for cell in rows[0]):
        message = "the first row has no column `name`"
        help = "begin with `name` and the parameters, as `name,tube,bosses`"
        return Outcome(None, (_fault(rows[0][0].span if rows else start, message, help),))
    head, *body = rows
    findings = _faulty_head(head)
    entries: dict[str, Entry] = {}
    for row in body:
        findings += _add(row, head, entries)
    if not entries and not findings:
        findings.append(_fault(start, "the table has no members", "add a row for each"))
    table = Table(entries, head[0].span)
    return Outcome(None if findings else table, tuple(findings))


def _faulty_head(head: list[Cell]) -> list[Diagnostic]:
    first: dict[str, Cell] = {}
    found = []
    for cell in head:
        if not cell.text:
            found.append(_fault(cell.span, "a column without a name", "name it or take it out"))
        elif cell.text in first:
            also = Label(first[cell.text].span, "the first")
            message = f"two columns are called `{shorten(cell.text)}`"
            found.append(_fault(cell.span, message, "keep one of the two", also))
        first.setdefault(cell.text, cell)
    return found


def _add(row: list[Cell], head: list[Cell], entries: dict[str, Entry]) -> list[Diagnostic]:
    if len(row) != len(head):
        message = f"the row has {len(row)} cells, the head {len(head)}"
        help = "give each column a cell, empty for the default; text with commas needs quotes"
        return [_fault(row[0].span, message, help, Label(head[0].span, "the head"))]
    named = {title.text: cell for title, cell in zip(head, row, strict=True)}
    name = named.pop("name")
    if name.text in entries:
        also = Label(entries[name.text].key_span, "the first")
        message = f"two members are called `{shorten(name.text)}`"
        return [_fault(name.span, message, "give one of them another name", also)]
    cells: dict[str, Entry] = {}
    for title in head:
        cell = named.get(title.text)
        if cell is None or not cell.text:
            continue
        try:
            value = cell.text if cell.quoted else resolve(cell.text)
        except NoNumberError as error:
            return [_fault(cell.span, f"`{shorten(cell.text)}` is {error}", "write `12.7`")]
        cells[title.text] = Entry(
            title.text, cell.span, Scalar(value, cell.text, not cell.quoted, cell.span)
        )
    entries[name.text] = Entry(name.text, name.span, Table(cells, name.span))
    return []


def _rows(text: str, file: str) -> list[list[Cell]]:
    rows: list[list[Cell]] = [[]]
    place, line, column, count = 0, 1, 1, 0
    while True:
        cell, place, line, column = _cell(text, place, line, column, file)
        rows[-1].append(cell)
        count += 1
        if count > MAX_CELLS or len(rows) > MAX_ROWS:
            raise _BadCellError(
                _fault(cell.span, "the table is too large", f"at most {MAX_ROWS} rows")
            )
        if place >= len(text):
            return rows
        ended = text[place] == "\n"
        place += 1
        if ended:
            rows.append([])
            line, column = line + 1, 1
        else:
            column += 1


def _cell(text: str, place: int, line: int, column: int, file: str) -> tuple[Cell, int, int, int]:
    """The cell that begins at a place, and where it ends."""
    end = place
    if text[place : place + 1] != '"':
        while end < len(text) and text[end] not in ",\n":
            end += 1
        said = text[place:end]
        span = Span(file, line, column, line, column + max(len(said.rstrip()), 1))
        return Cell(said.strip(), False, span), end, line, column + len(said)
    said, end = "", place + 1
    while True:
        close = text.find('"', end)
        if close < 0 or "\n" in text[end:close]:
            span = Span(file, line, column, line, column + 1)
            raise _BadCellError(
                _fault(span, "a quote is not closed in its line", 'close it with `"`')
            )
        said += text[end:close]
        end = close + 1
        if text[end : end + 1] != '"':
            break
        said, end = said + '"', end + 1
    after = end
    while after < len(text) and text[after] in " \r\t":
        after += 1
    last = column + end - place
    span = Span(file, line, column, line, last)
    if after < len(text) and text[after] not in ",\n":
        raise _BadCellError(_fault(span, "text after the closing quote", "quote the whole cell"))
    return Cell(said, True, span), after, line, column + after - place


class _BadCellError(Exception):
    """Ends reading where cells can no longer be told apart."""

    def __init__(self, found: Diagnostic) -> None:
        super().__init__(found.message)
        self.found = found


def _fault(span: Span, message: str, help: str, *also: Label) -> Diagnostic:
    return fault("E814", span, message, help, path="members", also=also)
