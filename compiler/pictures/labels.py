"""Labels that do not overlap: inside the shape where they fit, else beside it with a leader."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from compiler.geometry import Point, Region
from compiler.geometry.transform import turned
from compiler.pictures.display import Item, Words, text_width
from compiler.pictures.frame import Box
from compiler.pictures.hatch import hatch
from compiler.pictures.marks import circle, line

LINE = 3.2  # mm from base line to base line
SIZE = 2.6
NEAR = 1.0  # mm: a label as near as that needs no leader
DETOUR = 10.0  # mm: so much further off rather than over a line
FINE = 0.6  # mm between the rows that are tried
MOST_BESIDE = 10  # labels outside their regions; beyond that numbers stand for names
_WAYS = (  # where a label may stand, seen from its region
    *((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)),
    *((1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)),
    *((1.0, 0.5), (1.0, -0.5), (-1.0, 0.5), (-1.0, -0.5)),
    *((0.5, 1.0), (-0.5, 1.0), (0.5, -1.0), (-0.5, -1.0)),
)


@dataclass(frozen=True, slots=True)
class Label:
    """What to say about a region on paper: the first line is bold.

    `number` is its row in the table of regions: it stands alone where there are too many to name.
    """

    region: Region
    lines: tuple[str, ...]
    number: int
    beyond: tuple[Box, ...] = ()  # what is drawn of it outside its outline: centre lines

    @property
    def size(self) -> tuple[float, float]:
        """Width and height of the text, mm."""
        widths = [text_width(t, SIZE, bold=i == 0) for i, t in enumerate(self.lines)]
        if self.is_number:
            return text_width(self.lines[0], SIZE) + 0.4, SIZE
        return max(widths) + 1.0, LINE * len(self.lines)

    @property
    def is_number(self) -> bool:
        """Whether its number stands for all there is to say."""
        return self.lines == (str(self.number),)

    @property
    def fits(self) -> bool:
        """Whether the text fits inside its region, level or upright."""
        return _spot(self.region, self.size) is not None or _upright(self) is not None


def place(
    labels: tuple[Label, ...], taken: list[Box], room: Box, lines: tuple[Box, ...] = ()
) -> tuple[Item, ...]:
    """All labels as items.

    Args:
        labels: In order of weight; the later ones give way.
        taken: Boxes that no label outside its region may cover.
        room: What labels may use, mm on paper.
        lines: What a label covers only where the way round is long.
    """
    if sum(label.fits for label in labels) < len(labels) - MOST_BESIDE:
        labels = tuple(
            label if label.fits else replace(label, lines=(str(label.number),)) for label in labels
        )
    items: list[Item] = []
    outside: list[int] = []
    texts = list(taken)
    covered = [[*_covered(label.region), *label.beyond] for label in labels]
    for index, label in enumerate(labels):
        if (at := _spot(label.region, label.size)) is not None:
            texts.append(_box(at, label.size))
            items += _text(label, at, 0.0)
        elif (at := _upright(label)) is not None:
            texts.append(_box(at, label.size[::-1]))
            items += _text(label, at, math.pi / 2)
        else:
            outside.append(index)
    for index in outside:
        others = [box for i, boxes in enumerate(covered) if i != index for box in boxes]
        items += _beside(labels[index], covered[index], others, texts, room, lines)
    return tuple(items)


def _covered(region: Region) -> list[Box]:
    """The region as low boxes, row by row."""
    return [
        (row.start.x, row.start.y - FINE / 2, row.end.x, row.start.y + FINE / 2)
        for row in hatch(region, FINE, 0.0)
    ]


def _spot(region: Region, size: tuple[float, float]) -> Point | None:
    """The middle of a place where a box of that size lies inside the region, or None.

    A row fits where all rows within half the height of it reach as far to both sides; of those
    that do the one nearest to the region's middle is taken.
    """
    if region.is_empty:
        return None
    width, height = size
    rows = [row for row in hatch(region, FINE, 0.0) if row.length >= width + 0.6]
    _, low, _, high = region.bounds
    rows.sort(key=lambda row: (abs(row.start.y - (low + high) / 2), row.start.x))
    for row in rows:
        left, right, y = row.start.x, row.end.x, row.start.y
        near = [r for r in rows if abs(r.start.y - y) <= (height + FINE) / 2]
        around = [r for r in near if r.start.x < right and r.end.x > left]
        left = max(r.start.x for r in around)
        right = min(r.end.x for r in around)
        tall = FINE * len({r.start.y for r in around})
        if right - left >= width and tall >= height:
            return Point((left + right) / 2, y)
    return None


def _upright(label: Label) -> Point | None:
    """As `_spot`, for text that is read from the right."""
    spot = _spot(turned(label.region, -math.pi / 2, Point(0, 0)), label.size)
    return None if spot is None else Point(-spot.y, spot.x)


def _box(middle: Point, size: tuple[float, float]) -> Box:
    w, h = size
    return (middle.x - w / 2, middle.y - h / 2, middle.x + w / 2, middle.y + h / 2)


def _text(label: Label, middle: Point, angle: float) -> list[Item]:
    """The lines about their middle."""
    down = Point(math.sin(angle), -math.cos(angle))
    first = 0.75 - len(label.lines) / 2
    return [
        Words(middle.plus(down, LINE * (first + i)), t, SIZE, "middle", angle, bold, halo=True)
        for i, t in enumerate(label.lines)
        for bold in (i == 0 and not label.is_number,)
    ]


def _beside(
    label: Label,
    own: list[Box],
    others: list[Box],
    texts: list[Box],
    room: Box,
    lines: tuple[Box, ...],
    *,
    across: bool = False,
) -> list[Item]:
    """The text near the region, with a leader that ends in a dot on it: the shortest that is free.

    A region of several pieces is labelled at any one of them. The leader runs `across` a neighbour
    only where there is no other way; the text never does.
    """
    best: tuple[float, Box, Point, Point] | None = None
    holes = tuple(outline for outline in label.region.outlines if outline.area < 0)
    for piece in label.region.outlines:
        rows = hatch(Region((piece, *holes)), FINE, 0.0) if piece.area > 0 else ()
        if not rows:
            continue
        target = max(rows, key=lambda row: (round(row.length, 3), -row.start.y)).at(0.5)
        for box, edge in _candidates(label, piece.bounds, target):
            long = target.distance(edge) + DETOUR * any(_meet(box, line) for line in lines)
            if (best is not None and long >= best[0] - 1e-9) or not _within(box, room):
                continue
            if any(_meet(box, other) for boxes in (texts, own, others) for other in boxes):
                continue
            if not _crosses(target, edge, texts if across else [*texts, *others]):
                best = (long, box, target, edge)
    if best is None and not across:
        return _beside(label, own, others, texts, room, lines, across=True)
    if best is None:
        return []  # told in the table of regions
    _, box, target, edge = best
    texts.append(box)
    middle = Point((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    text = _text(label, middle, 0.0)
    if any(_meet(box, (x0 - NEAR, y0 - NEAR, x1 + NEAR, y1 + NEAR)) for x0, y0, x1, y1 in own):
        return text  # so near that nothing has to point at it
    return [line(target, edge), circle(target, 0.5, pen=None, fill=0.0), *text]


def _candidates(label: Label, around: Box, target: Point) -> Iterator[tuple[Box, Point]]:
    """Boxes about a piece and about a point on it, each with where a leader to it ends."""
    w, h = label.size
    spot = (target.x, target.y, target.x, target.y)
    for x0, y0, x1, y1 in (around, spot):
        round_corner = -min(x1 - x0, y1 - y0) / 8  # what a circle leaves free in its box's corner
        for ux, uy in _WAYS[4:8]:
            middle = Point(
                (x0 + x1) / 2 + ux * ((x1 - x0) / 2 + round_corner + w / 2),
                (y0 + y1) / 2 + uy * ((y1 - y0) / 2 + round_corner + h / 2),
            )
            yield _box(middle, label.size), middle
        for off in (0.7, 2.0, 4.0, 6.0, 9.0, 13.0, 18.0, 25.0):
            for ux, uy in _WAYS:
                middle = Point(
                    (x0 + x1) / 2 + ux * ((x1 - x0) / 2 + off + w / 2),
                    (y0 + y1) / 2 + uy * ((y1 - y0) / 2 + off + h / 2),
                )
                edge = Point(middle.x - round(ux) * w / 2, middle.y - round(uy) * h / 2)
                yield _box(middle, label.size), edge


def _crosses(a: Point, b: Point, boxes: list[Box]) -> bool:
    """Whether a leader runs through any of the boxes."""
    steps = [a.plus(b.minus(a), i / 24) for i in range(25)]
    return any(o[0] < p.x < o[2] and o[1] < p.y < o[3] for o in boxes for p in steps)


def _within(box: Box, room: Box) -> bool:
    return room[0] <= box[0] and room[1] <= box[1] and box[2] <= room[2] and box[3] <= room[3]


def _meet(a: Box, b: Box) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]
