"""A survey drawn: what closes wide and shaded, what is open dashed, tight places marked."""

from __future__ import annotations

from compiler.geometry import Point
from compiler.geometry.build import circle
from compiler.pictures.display import HIDDEN, NARROW, WIDE, Item, Picture, Run, Words
from compiler.pictures.frame import Frame, scale_for
from compiler.pictures.svg import svg
from compiler.survey.model import Survey
from compiler.units.number import length

ROOM = Point(180.0, 180.0)  # mm of paper
MARGIN = 8.0  # mm of paper, for the words at the edge
SHADES = (0.85, 1.0)  # outlines and holes


def picture(survey: Survey) -> str:
    """The survey as an SVG file; a blank one where there is nothing."""
    if survey.box is None:
        return svg(Picture(40, 10, (Words(Point(2, 4), "nothing to cut"),), 1.0), survey.file)
    x0, y0, x1, y1 = survey.box
    name, scale = scale_for(max(x1 - x0, 1e-3), max(y1 - y0, 1e-3), ROOM)
    frame = Frame(name, scale, Point(x0 - MARGIN / scale, y0 - MARGIN / scale))
    items: list[Item] = []
    for row in sorted(survey.shapes, key=lambda r: (r.top or 0.0, r.depth)):
        outlines = frame.region(row.region).outlines
        runs = tuple(o.segments for o in (outlines if survey.kind == "model" else outlines[:1]))
        items.append(Run(runs, WIDE, SHADES[row.depth % 2], closed=True))
    for chain, _ in survey.runs:
        items.append(Run((tuple(frame.segment(s) for s in chain.segments),), HIDDEN))
    if survey.tight.corner is not None:
        where = frame.point(survey.tight.corner.at)
        items += _mark(where, f"R {length(survey.tight.corner.radius, survey.show)}")
    if survey.tight.channel is not None:
        where = frame.point(survey.tight.channel.at)
        items += _mark(where, length(survey.tight.channel.width, survey.show))
    tall = (y1 - y0) * scale + 2 * MARGIN
    items.append(Words(Point(0, tall - 2.6), f"{survey.file}, {name}"))
    wide = (x1 - x0) * scale + 2 * MARGIN
    return svg(Picture(wide, tall, tuple(items), scale), f"What {survey.file} holds")


def _mark(at: Point, words: str) -> list[Item]:
    ring = circle(at, 1.5)
    return [
        Run((ring.segments,), NARROW, closed=True),
        Words(at.plus(Point(2.0, 1.0)), words, halo=True),
    ]
