"""A picture's display list painted on a PDF page, and as a block that flows with the text."""

import math
from typing import Any

from reportlab.lib.units import mm
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import Flowable

from compiler.geometry import Arc, Segment
from compiler.pictures.display import Item, Picture, Run, Words
from compiler.sheet.fonts import BODY, BOLD


class Drawing(Flowable):  # type: ignore[misc, unused-ignore]
    """A picture at its own size, so that its stated scale is true on paper."""

    def __init__(self, picture: Picture) -> None:
        super().__init__()
        self.picture = picture
        self.hAlign = "LEFT"
        self.width, self.height = picture.width * mm, picture.height * mm

    def wrap(self, *_: Any) -> tuple[float, float]:
        """Its size, points."""
        return self.width, self.height

    def draw(self) -> None:
        """Paint it at the canvas's origin."""
        paint(self.canv, self.picture)


def paint(canvas: Canvas, picture: Picture) -> None:
    """Draw a picture with its lower left corner at the canvas's origin."""
    canvas.saveState()
    canvas.setLineCap(1)
    canvas.setLineJoin(1)
    for item in picture.items:
        _item(canvas, item)
    canvas.restoreState()


def _item(canvas: Canvas, item: Item) -> None:
    if isinstance(item, Words):
        _words(canvas, item)
    else:
        _run(canvas, item)


def _run(canvas: Canvas, item: Run) -> None:
    if item.within:
        canvas.saveState()
        canvas.clipPath(_path(canvas, item.within, closed=True), stroke=0, fill=0, fillMode=0)
    path = _path(canvas, item.runs, closed=item.closed)
    if item.pen is not None:
        canvas.setStrokeGray(item.pen.grey)
        canvas.setLineWidth(item.pen.width * mm)
        canvas.setDash([d * mm for d in item.pen.dash] if item.pen.dash else [])
    if item.fill is not None:
        canvas.setFillGray(item.fill)
    canvas.drawPath(path, stroke=item.pen is not None, fill=item.fill is not None, fillMode=0)
    if item.within:
        canvas.restoreState()


def _path(canvas: Canvas, runs: tuple[tuple[Segment, ...], ...], *, closed: bool) -> Any:
    """All runs as one path."""
    path = canvas.beginPath()
    for run in runs:
        if not run:
            continue
        path.moveTo(run[0].start.x * mm, run[0].start.y * mm)
        for segment in run:
            if isinstance(segment, Arc):
                _arc(path, segment)
            else:
                path.lineTo(segment.end.x * mm, segment.end.y * mm)
        if closed:
            path.close()
    return path


def _arc(path: Any, arc: Arc) -> None:
    """An arc as cubic curves of at most a quarter turn; off by under 0.03 % of the radius."""
    count = max(1, math.ceil(abs(arc.sweep) / (math.pi / 2) - 1e-9))
    reach = 4 / 3 * math.tan(arc.sweep / count / 4)
    for index in range(count):
        a, b = arc.at(index / count), arc.at((index + 1) / count)
        one = a.plus(a.minus(arc.centre).left(), reach)
        two = b.plus(b.minus(arc.centre).left(), -reach)
        path.curveTo(*(c * mm for p in (one, two, b) for c in p))


def _words(canvas: Canvas, item: Words) -> None:
    font, size = BOLD if item.bold else BODY, item.size * mm
    text = "".join(c if c.isprintable() else " " for c in item.text)
    wide = canvas.stringWidth(text, font, size)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[item.anchor]
    canvas.saveState()
    canvas.translate(item.at.x * mm, item.at.y * mm)
    canvas.rotate(math.degrees(item.angle))
    if item.halo:
        canvas.setFillGray(1)
        around = 0.3 * mm
        canvas.rect(left - around, -0.22 * size, wide + 2 * around, 1.02 * size, stroke=0, fill=1)
    canvas.setFillGray(0)
    canvas.setFont(font, size)
    canvas.drawString(left, 0, text)
    canvas.restoreState()
