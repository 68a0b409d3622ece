"""The old outlines under the new, from above: what a change of the spec moves."""

from __future__ import annotations

from compiler.compare.model import Difference
from compiler.compare.regions import STOCK
from compiler.geometry import Point, Region, Segment
from compiler.part.model import Part
from compiler.pictures import marks
from compiler.pictures.display import OUTSIDE, Item, Pen, Picture, Run, Words, text_width
from compiler.pictures.frame import Frame, joined, scale_for, shown
from compiler.pictures.svg import svg

ROOM = Point(240.0, 170.0)  # mm on paper
HEAD = 14.0  # mm on paper above the work
OLD = Pen(0.45, (1.6, 1.0), grey=0.5)
NEW = Pen(0.5)
OLD_FILL = 0.88


def as_svg(difference: Difference, before: Part, after: Part) -> str:
    """The picture as an SVG file: before grey and dashed, after black; changed regions named."""
    box = joined([before.stock.bounds, after.stock.bounds])
    name, factor = scale_for(box[2] - box[0], box[3] - box[1], ROOM)
    frame = Frame(name, factor, Point(box[0] - 4 / factor, box[1] - 4 / factor))
    width = max((box[2] - box[0]) * factor + 8, 110.0)
    height = (box[3] - box[1]) * factor + HEAD + 4
    changed = {change.name for change in difference.regions}
    items: list[Item] = []
    if STOCK in changed:
        items.append(Run(_runs(frame.region(before.stock)), OLD, closed=True))
    items.append(Run(_runs(frame.region(after.stock)), OUTSIDE, closed=True))
    for standing in before.standing:
        if standing.name in changed:
            region = frame.region(shown(standing.region, before.stock))
            items.append(Run(_runs(region), OLD, fill=OLD_FILL, closed=True))
    for standing in after.standing:
        region = frame.region(shown(standing.region, after.stock))
        items.append(Run(_runs(region), NEW, closed=True))
    items += _names(after, before, changed, frame)
    items += marks.datum(frame.point(Point(0, 0)))
    items += _legend(name, height)
    title = f"{difference.after.job}: before and after"
    return svg(Picture(width, height, tuple(items), factor), title)


def _names(after: Part, before: Part, changed: set[str], frame: Frame) -> list[Item]:
    items: list[Item] = []
    there = {standing.name for standing in after.standing}
    for part in (after, before):
        for standing in part.standing:
            if standing.name not in changed or (part is before and standing.name in there):
                continue
            region = shown(standing.region, part.stock)
            if region.outlines:
                x0, y0, x1, y1 = region.bounds
                at = frame.point(Point((x0 + x1) / 2, (y0 + y1) / 2))
                gone = "" if standing.name in there else " (removed)"
                items.append(Words(at, standing.name + gone, size=3.0, anchor="middle", halo=True))
    return items


def _legend(scale: str, height: float) -> list[Item]:
    """Title, and what the two kinds of line mean."""
    title = f"Seen from above, scale {scale}"
    top, low = height - 3.5, height - 9.0
    items: list[Item] = [Words(Point(0, top), title, size=3.0, bold=True)]
    x = 0.0
    for pen, word in ((OLD, "before"), (NEW, "after")):
        items.append(marks.line(Point(x, low + 1), Point(x + 9, low + 1), pen))
        items.append(Words(Point(x + 11, low), word))
        x += 16 + text_width(word, 2.6)
    return items


def _runs(region: Region) -> tuple[tuple[Segment, ...], ...]:
    return tuple(outline.segments for outline in region.outlines)
