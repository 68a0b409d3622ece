"""Labels that do not overlap: inside the shape where they fit, else beside it with a leader."""

from dataclasses import dataclass

from compiler.geometry import Point, Region
from compiler.pictures.display import Item, Words, text_width
from compiler.pictures.frame import Box
from compiler.pictures.hatch import widest_row
from compiler.pictures.marks import circle, line

LINE = 3.2  # mm from base line to base line
SIZE = 2.6


@dataclass(frozen=True, slots=True)
class Label:
    """What to say about a region on paper: the first line is bold."""

    region: Region
    lines: tuple[str, ...]


def place(labels: tuple[Label, ...], taken: list[Box], room: Box) -> tuple[Item, ...]:
    """All labels as items.

    Args:
        labels: In order of weight; the later ones give way.
        taken: Boxes that no label outside its region may cover; grows with the labels placed.
        room: What labels may use, mm on paper.
    """
    inside = [(label, _inside(label)) for label in labels]
    items: list[Item] = []
    for label, at in inside:
        if at is not None:
            taken.append(_box(label, at))
            items += _text(label, at)
    for label, at in inside:
        if at is None:
            items += _beside(label, taken, room)
    return tuple(items)


def _size(label: Label) -> tuple[float, float]:
    """Width and height of the text block."""
    return max(text_width(t, SIZE) for t in label.lines) * 1.05, LINE * len(label.lines)


def _box(label: Label, middle: Point) -> Box:
    w, h = _size(label)
    return (middle.x - w / 2, middle.y - h / 2, middle.x + w / 2, middle.y + h / 2)


def _text(label: Label, middle: Point) -> list[Item]:
    top = middle.y + LINE * len(label.lines) / 2
    return [
        Words(Point(middle.x, top - LINE * (i + 0.75)), t, SIZE, "middle", bold=i == 0, halo=True)
        for i, t in enumerate(label.lines)
    ]


def _inside(label: Label) -> Point | None:
    """Where the text fits inside the region with a little room, or None."""
    w, h = _size(label)
    row = widest_row(label.region, 0.7)
    if row is None or row.length < w + 1.5:
        return None
    middle = row.at(0.5)
    low, high = middle.y - h / 2, middle.y + h / 2
    _, y0, _, y1 = label.region.bounds
    return middle if y0 + 0.3 <= low and high <= y1 - 0.3 else None


def _beside(label: Label, taken: list[Box], room: Box) -> list[Item]:
    """The text near the region, with a leader that ends in a dot on it."""
    row = widest_row(label.region, 0.7)
    x0, y0, x1, y1 = label.region.bounds
    target = row.at(0.5) if row else Point((x0 + x1) / 2, (y0 + y1) / 2)
    w, h = _size(label)
    for off in (3.0, 6.0, 10.0, 16.0, 24.0):
        for ux, uy in ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1)):
            middle = Point(
                target.x + ux * ((x1 - x0) / 2 + off + w / 2),
                target.y + uy * ((y1 - y0) / 2 + off + h / 2),
            )
            box = _box(label, middle)
            if _within(box, room) and not any(_meet(box, other) for other in taken):
                taken.append(box)
                edge = Point(middle.x - ux * w / 2, middle.y - uy * h / 2)
                dot = circle(target, 0.5, pen=None, fill=0.0)
                return [line(target, edge), dot, *_text(label, middle)]
    return []  # told in the table of regions


def _within(box: Box, room: Box) -> bool:
    return room[0] <= box[0] and room[1] <= box[1] and box[2] <= room[2] and box[3] <= room[3]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
