"""Parts of the content as blocks of a page, in print that reads at a machine."""

from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import white
from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import CondPageBreak, Flowable, KeepTogether, Paragraph, Spacer
from reportlab.platypus import Table as Grid

from compiler.sheet.content import Checks, Facts, Lines, Part, Section, Table
from compiler.sheet.fonts import BODY, BOLD

BLACK, GREY, PALE = 0.0, 0.45, 0.92


def style(size: float, *, bold: bool = False, right: bool = False) -> ParagraphStyle:
    """Text of a size in points; nothing is set below 7."""
    return ParagraphStyle(
        f"{size}{bold}{right}",
        fontName=BOLD if bold else BODY,
        fontSize=size,
        leading=size * 1.22,
        alignment=TA_RIGHT if right else TA_LEFT,
        splitLongWords=1,
    )


LABEL, CELL, CELL_RIGHT = style(7), style(7.6), style(7.6, right=True)
HEAD, HEAD_RIGHT, TITLE = (
    style(7.2, bold=True),
    style(7.2, bold=True, right=True),
    style(10.5, bold=True),
)


MOST_LETTERS = 600  # in one cell: a row has to fit a page


def words(text: str, how: ParagraphStyle, most: int = MOST_LETTERS) -> Paragraph:
    """Author's text as a paragraph: markup escaped, control characters out, length bound."""
    clean = "".join(c if c.isprintable() else " " for c in text)
    clean = clean if len(clean) <= most else clean[: most - 1] + "…"
    return Paragraph(escape(clean), how)


MAY_BREAK = {
    "checks",
    "holes",
    "operations",
    "standing",
    "reasons",
    "first article",
    "notes",
}  # long ones; the rest stay on one page


MOST_TOGETHER = 14  # rows of a table, and lines under it


def section(found: Section, width: float) -> list[Flowable]:
    """A titled section; the title stays with what follows it."""
    letters = LABEL if found.key == "reasons" else CELL  # to look up, not to work from
    blocks = [block(part, width, letters) for part in found.parts]
    title, gap, after = words(found.title, TITLE), Spacer(0, 1.2 * mm), Spacer(0, 3.2 * mm)
    if found.key in MAY_BREAK and not _is_short_with_lines(found):
        return [CondPageBreak(24 * mm), title, gap, *blocks, after]
    return [KeepTogether([title, gap, *blocks]), after]


def _is_short_with_lines(found: Section) -> bool:
    """Whether it is a short table with lines under it, which would be lost on the next page."""
    match found.parts:
        case (Table() as listed, Lines(items)):
            return len(listed.rows) + len(items) <= MOST_TOGETHER
    return False


def column(found: Section, width: float) -> list[Flowable]:
    """A section inside a column, where nothing can move to the next page: values are bound."""
    short = (
        Facts(tuple((name, value[:200]) for name, value in part.rows))
        if isinstance(part, Facts)
        else part
        for part in found.parts
    )
    return [words(found.title, TITLE), Spacer(0, 1.2 * mm), *(block(p, width) for p in short)]


def block(part: Part, width: float, letters: ParagraphStyle = CELL) -> Flowable:
    """One part, `width` points wide; its lines in the print given."""
    match part:
        case Facts(rows):
            return facts(rows, width)
        case Table():
            return table(part, width)
        case Checks(items):
            return checks(items, width)
        case Lines(items):
            return lines(items, width, letters)


def facts(rows: tuple[tuple[str, str], ...], width: float) -> Flowable:
    """Names at the left, values at the right; a line to write on where there is no value.

    In two columns where the page's width is there for it.
    """
    if width > 140 * mm and len(rows) > 5:
        half = (len(rows) + 1) // 2
        column = (width - 6 * mm) / 2
        left, right = facts(rows[:half], column), facts(rows[half:], column)
        return _grid([[left, "", right]], [column, 6 * mm, column], [], pad=0, side=0)
    made = [[words(name, LABEL), words(value, CELL)] for name, value in rows]
    share = min(42 * mm, width * 0.3)
    rules: list[tuple[Any, ...]] = [
        ("LINEBELOW", (0, i), (-1, i), 0.3, _grey(0.75 if value else BLACK))
        for i, (_, value) in enumerate(rows)
    ]
    rules += [
        ("BOTTOMPADDING", (0, i), (-1, i), 12) for i, (_, value) in enumerate(rows) if not value
    ]
    return _grid(made, [share, width - share], rules)


def table(found: Table, width: float) -> Flowable:
    """A table whose head is repeated on each page."""
    total = sum(found.widths)
    right = found.right
    made = [
        [words(cell, HEAD_RIGHT if i in right else HEAD) for i, cell in enumerate(found.head)],
        *(
            [words(cell, CELL_RIGHT if i in right else CELL) for i, cell in enumerate(row)]
            for row in found.rows
        ),
    ]
    rules: list[tuple[Any, ...]] = [
        ("LINEABOVE", (0, 0), (-1, 0), 0.9, _grey(BLACK)),
        ("LINEBELOW", (0, 0), (-1, 0), 0.6, _grey(BLACK)),
        ("LINEBELOW", (0, 1), (-1, -1), 0.25, _grey(0.7)),
        ("LINEBELOW", (0, -1), (-1, -1), 0.6, _grey(BLACK)),
        ("VALIGN", (0, 0), (-1, 0), "BOTTOM"),
    ]
    rules += [  # air between figures set to the right and words set to the left
        ("LEFTPADDING", (i, 0), (i, -1), 9)
        for i in range(1, len(found.head))
        if i - 1 in right and i not in right
    ]
    rules += [
        ("BOTTOMPADDING", (0, i), (-1, i), 16)  # room to write
        for i, row in enumerate(found.rows, start=1)
        if not any(row)
    ]
    return _grid(made, [w / total * width for w in found.widths], rules, repeat=1)


def checks(items: tuple[str, ...], width: float) -> Flowable:
    """A box and a sentence a row."""
    box = style(9)
    made = [[words("☐", box), words(item, CELL)] for item in items]
    rules = [("TOPPADDING", (1, 0), (1, -1), 1.3)]  # to stand on the box's line
    return _grid(made, [6 * mm, width - 6 * mm], rules, pad=0.5)


def lines(items: tuple[str, ...], width: float, letters: ParagraphStyle = CELL) -> Flowable:
    """A dash and a sentence a row."""
    made = [[words("–", letters), words(item, letters)] for item in items]
    return _grid(made, [4 * mm, width - 4 * mm], [], pad=0.4)


def title_block(fields: tuple[tuple[str, str], ...], width: float) -> Flowable:
    """The fields of ISO 7200 in a frame: the title over the width of two, the rest four a row."""
    big, small = style(13, bold=True), style(8.5, bold=True)
    first, *rest = fields
    cells = [[words(name, LABEL), words(value or "\u00a0", small, 80)] for name, value in rest]
    rows: list[list[Any]] = [[[words(first[0], LABEL), words(first[1], big, 200)], "", *cells[:2]]]
    rows += [cells[i : i + 4] for i in range(2, len(cells), 4)]
    rows[-1] += [""] * (4 - len(rows[-1]))
    rules: list[tuple[Any, ...]] = [
        ("SPAN", (0, 0), (1, 0)),
        ("BOX", (0, 0), (-1, -1), 1.2, _grey(BLACK)),
        ("INNERGRID", (0, 0), (-1, -1), 0.35, _grey(BLACK)),
        ("LEFTPADDING", (0, 0), (-1, -1), 4),
        ("BOTTOMPADDING", (0, -1), (-1, -1), 9),  # room to write
    ]
    return _grid(rows, [width * 0.28, width * 0.28, width * 0.26, width * 0.18], rules, pad=2)


def banner(said: tuple[str, ...], width: float) -> Flowable:
    """What must be seen from a step away, white on black."""
    how = ParagraphStyle("banner", parent=style(9.5, bold=True), textColor=white, alignment=1)
    made = [[words(text, how) for text in said]]
    rules: list[tuple[Any, ...]] = [
        ("BACKGROUND", (0, 0), (-1, -1), _grey(0.12)),
        ("INNERGRID", (0, 0), (-1, -1), 1.5, _grey(1.0)),
        ("VALIGN", (0, 0), (-1, -1), "MIDDLE"),
    ]
    return _grid(made, [width / len(said)] * len(said), rules, pad=3.5)


def columns(left: list[Flowable], right: list[Flowable], widths: tuple[float, float]) -> Flowable:
    """Two columns."""
    return _grid([[left, right]], list(widths), [], pad=0, side=0)


def _grid(
    rows: list[list[Any]],
    widths: list[float],
    rules: list[tuple[Any, ...]],
    *,
    repeat: int = 0,
    pad: float = 1.6,
    side: float = 3.0,
) -> Grid:
    every: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"),
        ("TOPPADDING", (0, 0), (-1, -1), pad),
        ("BOTTOMPADDING", (0, 0), (-1, -1), pad),
        ("LEFTPADDING", (0, 0), (-1, -1), side),
        ("RIGHTPADDING", (0, 0), (-1, -1), side),
    ]
    return Grid(rows, colWidths=widths, style=every + rules, repeatRows=repeat, hAlign="LEFT")


def _grey(grey: float) -> tuple[float, float, float]:
    return (grey, grey, grey)
