"""Whole circles of a region, and the centre lines that they are drawn with."""

from compiler.geometry import Arc, Outline, Point, Region
from compiler.pictures import marks
from compiler.pictures.display import CHAIN, Item
from compiler.pictures.frame import Box

CENTRE_LINE = 1.5  # mm beyond its circle


def circle_of(outline: Outline) -> Arc | None:
    """An arc of the circle that the whole outline is, or None."""
    first = outline.segments[0]
    if not isinstance(first, Arc):
        return None
    same = all(
        isinstance(s, Arc) and s.centre.distance(first.centre) < 1e-6 for s in outline.segments
    )
    return first if same else None


def centre_lines(region: Region) -> list[Item]:
    """The centre lines of every whole circle of a region."""
    items: list[Item] = []
    for outline in region.outlines:
        if (arc := circle_of(outline)) is not None:
            long = arc.radius + CENTRE_LINE
            for way in (Point(long, 0), Point(0, long)):
                items.append(marks.line(arc.centre.minus(way), arc.centre.plus(way), CHAIN))
    return items


def beyond(region: Region) -> tuple[Box, ...]:
    """Where centre lines are, as low boxes, mm on paper."""
    boxes: list[Box] = []
    for outline in region.outlines:
        if (arc := circle_of(outline)) is not None:
            (x, y), long = arc.centre, arc.radius + CENTRE_LINE
            boxes += [
                (x - long, y - 0.3, x + long, y + 0.3),
                (x - 0.3, y - long, x + 0.3, y + long),
            ]
    return tuple(boxes)
