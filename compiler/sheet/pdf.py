"""The setup sheet as PDF: A4, Letter for jobs in inches, black on white, same bytes each time."""

import io
from typing import Any

from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    Flowable,
    Frame,
    KeepTogether,
    PageTemplate,
    Spacer,
)

from compiler.geometry import Point
from compiler.job import Job
from compiler.judge.model import Report
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.part.table import spread
from compiler.pictures.part_view import Scene, part_scale, plan_drawing, scene
from compiler.pictures.side_view import side_drawing
from compiler.pictures.tool_view import tool_drawings
from compiler.plan.model import OperationList
from compiler.sheet import layout
from compiler.sheet.cards import cards
from compiler.sheet.compose import compose
from compiler.sheet.content import Content, Section
from compiler.sheet.fonts import BODY, register
from compiler.sheet.paint import Drawing
from compiler.sheet.setup import floor
from compiler.sheet.tooling import used_tools

SIDE, TOP, BOTTOM = 12 * mm, 10 * mm, 13 * mm
DRAWINGS = 160.0  # mm of height for the two views of the part: the setter's page holds the rest


def render(
    job: Job,
    part: Part,
    plan: OperationList,
    report: Report,
    *,
    version: str,
    commit: str | None = None,
    motions: Motions | None = None,
) -> bytes:
    """The setup sheet.

    Args:
        job: What the author said.
        part: What stands and what goes, work coordinates.
        plan: The operations.
        report: The evidence.
        version: This program's.
        commit: The spec's commit, where it is known; printed in the title block.
        motions: For one picture an operation; without them there are none.

    Returns:
        A PDF file; the same arguments give the same bytes.
    """
    register()
    content = compose(job, part, plan, report, version=version, commit=commit)
    page = LETTER if job.units == "inch" else A4
    width = page[0] - 2 * SIDE
    found = {section.key: section for section in content.sections}
    view = scene(part)
    story = _first_page(content, found, job, part, plan, view, width)
    for section in content.sections:
        if section.key == "tools":
            story += _tools(section, job, plan, width)
        elif section.key == "parts" and job.table is not None:
            story += _table(section, job, spread(part, job.table), job.table.places, width)
        elif section.key == "cuts" and motions is not None and motions.paths:
            story += cards(section, job, part, plan, motions.of_one_part, view, width)
        elif section.key not in ("setup", "checks"):
            story += layout.section(section, width)
    out = io.BytesIO()
    document = BaseDocTemplate(
        out,
        pagesize=page,
        title=f"Setup sheet {job.output_name}",
        author="standproud",
        subject=content.running,
        invariant=1,
    )
    frame = Frame(SIDE, BOTTOM, width, page[1] - TOP - BOTTOM, 0, 0, 0, 0)
    document.addPageTemplates([PageTemplate(frames=[frame])])
    document.build(story, canvasmaker=_numbered(content.running, page[0]))
    return out.getvalue()


def _tools(section: Section, job: Job, plan: OperationList, width: float) -> list[Flowable]:
    """The tools' table and their drawings; few of them stay on one page."""
    rows = tool_drawings(used_tools(job, plan), job.units, Point(width / mm, 75.0))
    drawn: list[Flowable] = [Drawing(row) for row in rows]
    if len(rows) > 1:
        return [*layout.section(section, width), *drawn, Spacer(0, 4 * mm)]
    tools = [*layout.column(section, width), Spacer(0, 2 * mm), *drawn]
    return [KeepTogether(tools), Spacer(0, 4 * mm)]


def _table(
    section: Section, job: Job, several: Part, places: tuple[Point, ...], width: float
) -> list[Flowable]:
    """Several parts where they lie, and the list of their places."""
    scale = part_scale(several, Point(width / mm, DRAWINGS), side_too=False)
    drawn = Drawing(plan_drawing(job, several, scale, places=places))
    together = [*layout.column(section, width), Spacer(0, 2 * mm), drawn]
    return [KeepTogether(together), Spacer(0, 4 * mm)]


def _first_page(
    content: Content,
    found: dict[str, Section],
    job: Job,
    part: Part,
    plan: OperationList,
    view: Scene,
    width: float,
) -> list[Flowable]:
    """Title block, banner, drawings with the setup beside them, and what to check."""
    beside = 52 * mm
    gap = 4 * mm
    scale = part_scale(part, Point(width / mm, DRAWINGS), side_too=True, view=view)
    above = plan_drawing(job, part, scale, view)
    front = side_drawing(job, part, floor(plan, part), scale, view)
    drawings: list[Flowable] = [Drawing(above), Drawing(front)]
    room = width - max(above.width, front.width) * mm - gap
    if room >= beside:
        share = (width - room, room)
        middle = [layout.columns(drawings, layout.column(found["setup"], room), share)]
    else:
        middle = [*drawings, Spacer(0, 2 * mm), *layout.section(found["setup"], width)]
    return [
        layout.title_block(content.title_block, width),
        Spacer(0, 1.5 * mm),
        layout.banner(content.banner, width),
        Spacer(0, 3 * mm),
        *middle,
        Spacer(0, 2 * mm),
        *layout.section(found["checks"], width),
    ]


def _numbered(running: str, width: float) -> type[Canvas]:
    """A canvas that prints the running line and `page n of m` on every page."""

    class Numbered(Canvas):  # type: ignore[misc, unused-ignore]
        def __init__(self, *args: Any, **kwargs: Any) -> None:
            super().__init__(*args, **kwargs)
            self._pages: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802 - reportlab's name
            """Keep the page until the number of pages is known."""
            self._pages.append(dict(self.__dict__))
            self._startPage()  # type: ignore[attr-defined, unused-ignore]

        def save(self) -> None:
            """Print the feet, then write the file."""
            total = len(self._pages)
            for page in self._pages:
                self.__dict__.update(page)
                _foot(self, running, total, width)
                super().showPage()
            super().save()

    return Numbered


def _foot(canvas: Canvas, running: str, total: int, width: float) -> None:
    """The running line, shortened where it is too long, and the page's number."""
    canvas.saveState()
    canvas.setStrokeGray(0)
    canvas.setLineWidth(0.4)
    canvas.line(SIDE, 10.5 * mm, width - SIDE, 10.5 * mm)
    canvas.setFont(BODY, 7.4)
    number = f"page {canvas.getPageNumber()} of {total}"
    room = width - 2 * SIDE - canvas.stringWidth(number, BODY, 7.4) - 5 * mm
    text = "".join(c if c.isprintable() else " " for c in running)
    while canvas.stringWidth(text, BODY, 7.4) > room:
        text = text[:-2].rstrip("…") + "…"
    canvas.drawString(SIDE, 7 * mm, text)
    canvas.drawRightString(width - SIDE, 7 * mm, number)
    canvas.restoreState()
