"""The part from above and from the front: what stands, what holds it, where the datum is.

Seen from above, regions that stand are hatched as ISO 128-3 hatches what is cut (from memory of
the standard); each height has a hatch of its own. The blank and what holds it are drawn with long
dashes and two dots, the line for blanks and neighbouring parts.
"""

import math

from compiler.geometry import Arc, Point, Region
from compiler.job import Job
from compiler.part.model import Part, Standing
from compiler.pictures import marks
from compiler.pictures.display import (
    CHAIN,
    HATCH,
    HIDDEN,
    OUTSIDE,
    WIDE,
    Item,
    Pen,
    Picture,
    Run,
    Words,
    text_width,
)
from compiler.pictures.frame import Box, Frame, joined, scale_for
from compiler.pictures.hatch import hatch
from compiler.pictures.labels import Label, place
from compiler.pictures.ordinates import Mark, below, beside, thinned
from compiler.units.number import LENGTH_DECIMALS, Units, in_units, short

MARGIN_LEFT, MARGIN_BELOW, MARGIN = 22.0, 24.0, 9.0  # mm on paper, for dimensions and axes
HEAD = 6.0  # over the drawing, for its scale
MOST_VALUES = 18


def value(mm: float, units: Units) -> str:
    """A length as a bare number in the job's units."""
    return short(in_units(mm, units), LENGTH_DECIMALS[units])


def plan_drawing(job: Job, part: Part, room: Point) -> Picture:
    """The part from above, at the largest scale of ISO 5455 that fits.

    Args:
        job: For units and the datum's words.
        part: What to draw.
        room: The paper to fit, mm.
    """
    box = _reach(part)
    free = Point(room.x - MARGIN_LEFT - MARGIN, room.y - MARGIN_BELOW - MARGIN - HEAD)
    name, scale = scale_for(box[2] - box[0], box[3] - box[1], free)
    corner = Point(box[0] - MARGIN_LEFT / scale, box[1] - MARGIN_BELOW / scale)
    frame = Frame(name, scale, corner)
    width = (box[2] - box[0]) * scale + MARGIN_LEFT + MARGIN
    height = (box[3] - box[1]) * scale + MARGIN_BELOW + MARGIN + HEAD
    stock = frame.region(part.stock)
    items: list[Item] = [Run(_runs(stock), OUTSIDE, fill=1.0, closed=True)]
    for blocked in part.obstacles:
        items += _obstacle(frame.region(blocked.region))
    heights = part.tops()
    for standing in part.standing:
        items += _standing(standing, frame, heights, part)
    items += _values(job, part, frame)
    zero = frame.point(Point(0, 0))
    items += marks.datum(zero)
    taken: list[Box] = [
        (zero.x - 2.5, zero.y - 2.5, zero.x + 14, zero.y + 3),
        (zero.x - 2.5, zero.y - 2.5, zero.x + 3.5, zero.y + 14),
        *(o for s in part.standing for o in _boxes(frame.region(s.region))),
    ]
    items += place(_labels(job, part, frame), taken, (0.0, 0.0, width, height - HEAD))
    items += _head(f"Seen from above, scale {name}", height, scale, job.units)
    return Picture(width, height, tuple(items))


def side_drawing(job: Job, part: Part, floor: float, room: Point) -> Picture:
    """The part from the front (along +Y), with the heights that matter.

    Args:
        job: For units.
        part: What to draw.
        floor: The deepest that is cut, Z in mm.
        room: The paper to fit, mm.
    """
    reach = _reach(part)
    low, high = part.stock_bottom, max(part.clearance, part.stock_top)
    free = Point(room.x - 44.0, room.y - 2 * MARGIN - HEAD)
    name, scale = scale_for(reach[2] - reach[0], high - low, free)
    frame = Frame(name, scale, Point(reach[0] - 22.0 / scale, low - MARGIN / scale))
    width = (reach[2] - reach[0]) * scale + 44.0
    height = (high - low) * scale + 2 * MARGIN + HEAD
    x0, _, x1, _ = part.stock.bounds

    def box(a: float, b: float, c: float, d: float) -> tuple[Point, ...]:
        return tuple(frame.point(Point(*p)) for p in ((a, b), (c, b), (c, d), (a, d)))

    items: list[Item] = [marks.polygon(box(x0, low, x1, floor), fill=0.93, pen=WIDE)]
    for standing, (a, _, c, _) in _front_order(part):
        left, right = max(a, x0), min(c, x1)
        if right > left and standing.top > floor:
            items.append(marks.polygon(box(left, floor, right, standing.top), fill=1.0, pen=WIDE))
    items.append(marks.polygon(box(x0, low, x1, part.stock_top), fill=None, pen=OUTSIDE))
    for blocked in part.obstacles:
        for a, _, c, _ in (o.bounds for o in blocked.region.outlines if o.area > 0):
            items.append(
                marks.polygon(box(a, min(low, blocked.top), c, blocked.top), fill=0.8, pen=OUTSIDE)
            )
    left = frame.point(Point(reach[0], 0)).x
    right = frame.point(Point(reach[2], 0)).x
    for z, pen in ((part.clearance, HIDDEN), (part.lowest_cut, CHAIN)):
        y = frame.point(Point(0, z)).y
        items.append(marks.line(Point(left - 3, y), Point(right + 3, y), pen))
    items += _heights(job, part, floor, frame, left, right)
    items += _head(f"From the front, scale {name}", height, scale, job.units)
    return Picture(width, height, tuple(items))


def _reach(part: Part) -> Box:
    """The stock and everything that holds it, obstacles not followed further than a third out."""
    x0, y0, x1, y1 = part.stock.bounds
    dx, dy = (x1 - x0) / 3, (y1 - y0) / 3
    stop = (x0 - dx, y0 - dy, x1 + dx, y1 + dy)
    boxes = [(x0, y0, x1, y1), (0.0, 0.0, 0.0, 0.0)]
    for blocked in part.obstacles:
        a, b, c, d = blocked.region.bounds
        boxes.append((max(a, stop[0]), max(b, stop[1]), min(c, stop[2]), min(d, stop[3])))
    return joined(boxes)


def _runs(region: Region) -> tuple[tuple[Arc, ...], ...]:
    return tuple(outline.segments for outline in region.outlines)  # type: ignore[misc]


def _boxes(region: Region) -> list[Box]:
    return [outline.bounds for outline in region.outlines if outline.area > 0]


def _standing(
    standing: Standing, frame: Frame, heights: tuple[float, ...], part: Part
) -> list[Item]:
    """A region that stands: hatched by its height, its outline wide."""
    region = frame.region(standing.region)
    step = heights.index(standing.top) + 1 if standing.top in heights else 0
    angle = math.radians(45 if step % 2 == 0 else 135)
    lines = hatch(region, 1.6 + 0.7 * step, angle)
    limit = frame.region(part.stock).bounds
    shown = tuple((row,) for row in lines if _inside_x(row.at(0.5), limit))
    return [
        Run(_runs(region), pen=None, fill=1.0, closed=True),
        Run(shown, HATCH),
        Run(_runs(region), WIDE, closed=True),
    ]


def _inside_x(p: Point, box: Box) -> bool:
    return box[0] <= p.x <= box[2] and box[1] <= p.y <= box[3]


def _obstacle(region: Region) -> list[Item]:
    """Where no tool may be: cross-hatched."""
    rows = tuple((row,) for a in (45, 135) for row in hatch(region, 2.2, math.radians(a)))
    return [
        Run(_runs(region), pen=None, fill=0.92, closed=True),
        Run(rows, Pen(0.1, grey=0.55)),
        Run(_runs(region), OUTSIDE, closed=True),
    ]


def _values(job: Job, part: Part, frame: Frame) -> list[Item]:
    """Running values from the datum, under the stock and to its left."""
    box = part.stock.bounds
    xs, ys = {box[0], box[2], 0.0}, {box[1], box[3], 0.0}
    for standing in part.standing:
        for outline in standing.region.outlines:
            a, b, c, d = outline.bounds
            round_ = _is_round(outline.segments)
            xs |= {(a + c) / 2} if round_ else {a, c}
            ys |= {(b + d) / 2} if round_ else {b, d}
    reach = _reach(part)
    low, left = frame.point(Point(reach[0], reach[1])).y, frame.point(Point(reach[0], 0)).x

    def across(places: set[float], axis: int, low_: float, high: float) -> list[Mark]:
        kept = {p for p in places if low_ - 1e-6 <= p <= high + 1e-6} | {0.0}
        marks_ = [(frame.point(Point(p, p))[axis], value(p, job.units)) for p in sorted(kept)]
        return thinned(marks_, MOST_VALUES)

    items = list(below(across(xs, 0, box[0], box[2]), low, reach=3.0))
    items += beside(across(ys, 1, box[1], box[3]), left, left=True, reach=2.0)
    return items


def _is_round(segments: tuple[object, ...]) -> bool:
    """Whether an outline is one circle."""
    centres = {(round(s.centre.x, 6), round(s.centre.y, 6)) for s in segments if isinstance(s, Arc)}
    return len(centres) == 1 and all(isinstance(s, Arc) for s in segments)


def _labels(job: Job, part: Part, frame: Frame) -> tuple[Label, ...]:
    """A label for each region and each obstacle."""
    found: list[Label] = []
    stock = part.stock.bounds
    for standing in part.standing:
        biggest = max(standing.region.outlines, key=lambda o: o.area)
        lines = [standing.name]
        if _is_round(biggest.segments) and isinstance(biggest.segments[0], Arc):
            many = sum(_is_round(o.segments) and o.area > 0 for o in standing.region.outlines)
            times = f"{many}× " if many > 1 else ""
            lines.append(f"{times}Ø{value(2 * biggest.segments[0].radius, job.units)}")
        lines.append(f"top Z {value(standing.top, job.units)}")
        region = frame.region(_cut(Region((biggest,)), stock))
        found.append(Label(region, tuple(lines)))
    for blocked in part.obstacles:
        biggest = max(blocked.region.outlines, key=lambda o: o.area)
        top = f"up to Z {value(blocked.top, job.units)}"
        found.append(
            Label(frame.region(_cut(Region((biggest,)), _reach(part))), (blocked.name, top))
        )
    return tuple(found)


def _cut(region: Region, box: Box) -> Region:
    """The region's box within another: only to place a label where a region reaches far out."""
    a, b, c, d = region.bounds
    if a >= box[0] and b >= box[1] and c <= box[2] and d <= box[3]:
        return region
    from compiler.geometry import Line, Outline

    a, b, c, d = max(a, box[0]), max(b, box[1]), min(c, box[2]), min(d, box[3])
    if a >= c or b >= d:
        return region
    corners = (Point(a, b), Point(c, b), Point(c, d), Point(a, d))
    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    return Region((Outline(tuple(Line(p, q) for p, q in sides)),))


def _front_order(part: Part) -> list[tuple[Standing, Box]]:
    """All pieces that stand, the farthest first, so that the nearer ones hide them."""
    pieces = [(s, o.bounds) for s in part.standing for o in s.region.outlines if o.area > 0]
    return sorted(pieces, key=lambda piece: (-piece[1][1], piece[1][0]))


def _heights(
    job: Job, part: Part, floor: float, frame: Frame, left: float, right: float
) -> list[Item]:
    """Z values at the right, what they are at the left."""
    named: dict[float, str] = {}
    for z, words in (
        (part.clearance, "clearance"),
        (part.stock_top, "stock top"),
        (floor, "floor"),
        (part.lowest_cut, "lowest cut"),
        (part.stock_bottom, "underside"),
    ):
        named.setdefault(z, words)
    for top in part.tops():
        named.setdefault(top, "top")
    marks_ = sorted((frame.point(Point(0, z)).y, z) for z in named)
    values = [(y, f"Z {value(z, job.units)}") for y, z in marks_]
    words_ = [(y, named[z]) for y, z in marks_]
    return [
        *beside(values, right, left=False, reach=2.5),
        *beside(words_, left, left=True, reach=2.5),
    ]


def _head(text: str, height: float, scale: float, units: Units) -> list[Item]:
    """The drawing's title and a scale bar."""
    bar = Point(text_width(text, 3.0) + 4.0, height - 4.0)
    return [
        Words(Point(0.0, height - 4.0), text, size=3.0, bold=True),
        *marks.scale_bar(bar, scale, units),
    ]
