"""The part from above: what stands, what holds it, where the datum is.

Regions that stand are hatched as ISO 128-3 hatches what is cut (from memory of the standard); each
height has a hatch of its own. The blank and what holds it are drawn with long dashes and two dots,
the line for blanks and neighbouring parts.
"""

import math
from dataclasses import dataclass

from compiler.geometry import Arc, Line, Point, Region, Segment
from compiler.geometry.combine import difference
from compiler.geometry.errors import GeometryError
from compiler.job import Job
from compiler.part.model import Part
from compiler.pictures import marks
from compiler.pictures.circles import beyond, centre_lines, circle_of
from compiler.pictures.display import (
    HATCH,
    HIDDEN,
    OUTSIDE,
    WIDE,
    Item,
    Pen,
    Picture,
    Run,
)
from compiler.pictures.frame import Box, Frame, box_region, joined, scale_for, shown
from compiler.pictures.hatch import hatch
from compiler.pictures.hole_view import hole_items, hole_labels
from compiler.pictures.holes import Hole, holes, on_each_part
from compiler.pictures.labels import Label, place
from compiler.pictures.ordinates import Mark, below, beside, overall, thinned
from compiler.units.number import LENGTH_DECIMALS, Units, in_units, short

LEFT, BELOW, RIGHT, ABOVE = 22.0, 17.0, 16.0, 14.0  # mm on paper around the work, for dimensions
AXIS = 13.5  # mm from the datum to the end of an axis's letter
OVERALL = 4.5  # mm from the drawing to the line of an overall dimension
MOST_VALUES = 18
MOST_SIZES = 3  # diameters and radii in a label; the table of regions has them all
OBSTACLE_SHOWN = 0.12  # of the stock's longer side: obstacles are drawn no further out


@dataclass(frozen=True, slots=True)
class Scene:
    """The part cut to what a drawing shows, in work coordinates."""

    stock: Region
    standing: tuple[tuple[str, float, Region], ...]  # name, top, region in the stock; low first
    obstacles: tuple[tuple[str, float, Region], ...]
    reach: Box
    hidden: tuple[Region, ...] = ()  # walls on the other side, from setups before


def scene(part: Part) -> Scene:
    """Open regions cut by the stock, obstacles by a frame round it."""
    x0, y0, x1, y1 = part.stock.bounds
    beyond = OBSTACLE_SHOWN * max(x1 - x0, y1 - y0)
    frame = box_region((x0 - beyond, y0 - beyond, x1 + beyond, y1 + beyond))
    obstacles = tuple((b.name, b.top, shown(b.region, frame)) for b in part.obstacles)
    standing = tuple((s.name, s.top, shown(s.region, part.stock)) for s in part.visible)
    boxes = [part.stock.bounds, *(r.bounds for _, _, r in obstacles if r.outlines)]
    if x0 - beyond <= 0 <= x1 + beyond and y0 - beyond <= 0 <= y1 + beyond:
        boxes.append((0.0, 0.0, 0.0, 0.0))
    return Scene(
        part.stock,
        tuple(sorted((s for s in standing if s[2].outlines), key=lambda s: s[1])),
        tuple(o for o in obstacles if o[2].outlines),
        joined(boxes),
        tuple(shown(m.region, part.stock) for m in part.made if m.faces_down and m.kind == "wall"),
    )


def value(mm: float, units: Units) -> str:
    """A length as a bare number in the job's units."""
    return short(in_units(mm, units), LENGTH_DECIMALS[units])


def part_scale(
    part: Part, room: Point, *, side_too: bool, view: Scene | None = None
) -> tuple[str, float]:
    """The largest scale of ISO 5455 at which the view from above, and the one from the front
    below it where wanted, fit the room (mm on paper).
    """
    box = (view or scene(part)).reach
    tall = box[3] - box[1]
    free = Point(room.x - LEFT - RIGHT, room.y - BELOW - ABOVE)
    if side_too:
        tall += max(part.clearance, part.stock_top) - part.stock_bottom
        free = Point(free.x, free.y - 15.0)
    return scale_for(box[2] - box[0], tall, free)


def plan_drawing(
    job: Job,
    part: Part,
    scale: tuple[str, float],
    view: Scene | None = None,
    places: tuple[Point, ...] = (Point(0, 0),),
) -> Picture:
    """The part from above.

    Args:
        job: For units.
        part: What to draw.
        scale: Its name and factor.
        view: What `scene` makes of the part, where it is at hand.
        places: Where the datums of several parts lie, mm; each part has the job's holes.
    """
    view = view or scene(part)
    name, factor = scale
    box = view.reach
    frame = Frame(name, factor, Point(box[0] - LEFT / factor, box[1] - BELOW / factor))
    width = (box[2] - box[0]) * factor + LEFT + RIGHT
    zero = frame.point(Point(0, 0))
    has_datum = joined([view.reach, (0.0, 0.0, 0.0, 0.0)]) == view.reach
    corner = frame.point(Point(box[2], box[3]))
    # room for the datum's axes where the stock is smaller than they are
    right, over = (max(0.0, AXIS + z - c) * has_datum for z, c in zip(zero, corner, strict=True))
    width += right
    height = (box[3] - box[1]) * factor + BELOW + ABOVE + over
    items: list[Item] = [Run(_runs(frame.region(view.stock)), OUTSIDE, fill=1.0, closed=True)]
    for _, _, region in view.obstacles:
        items += _obstacle(frame.region(region))
    heights = sorted({s.top for s in part.visible if s.top < part.stock_top}, reverse=True)
    for _, top, region in view.standing:
        items += _standing(frame.region(region), heights.index(top) + 1 if top in heights else 0)
    items += [Run(_runs(frame.region(below)), HIDDEN, closed=True) for below in view.hidden]
    drilled = holes(job)
    everywhere = on_each_part(drilled, places)
    for hole in everywhere:
        items += hole_items(hole, frame)
    items += [*_values(job, view, frame, drilled), *_overall(job, view, frame, Point(right, over))]
    taken: list[Box] = []
    if has_datum:
        items += marks.datum(zero)
        taken.append((zero.x - 2.5, zero.y - 2.5, zero.x + 14, zero.y + 4))
        taken.append((zero.x - 2.5, zero.y - 2.5, zero.x + 4, zero.y + 14))
    room = (LEFT, BELOW, width - RIGHT + 3, height - ABOVE + 3)
    labels = (*_labels(job, part, view, frame), *hole_labels(job, part, everywhere, frame))
    items += place(labels, taken, room, _edges(frame.region(view.stock)))
    dashed = "; dashed: walls on the other side" if view.hidden else ""
    title = f"Seen from above, scale {name}{dashed}"
    items += marks.head(title, height, factor, job.units)
    return Picture(max(width, marks.head_width(title)), height, tuple(items), factor)


def round_sizes(region: Region, units: Units) -> tuple[str, ...]:
    """Diameters of whole circles and radii of other arcs, as ISO 129-1 writes them: Ø12, R3."""
    wholes: dict[str, int] = {}
    radii: set[float] = set()
    for outline in region.outlines:
        if (arc := circle_of(outline)) is not None:
            said = f"Ø{value(2 * arc.radius, units)}"
            wholes[said] = wholes.get(said, 0) + 1
        else:
            radii |= {round(s.radius, 4) for s in outline.segments if isinstance(s, Arc)}
    found = [f"{many} × {said}" if many > 1 else said for said, many in wholes.items()]
    return (*found, *dict.fromkeys(f"R{value(radius, units)}" for radius in sorted(radii)))


def _runs(region: Region) -> tuple[tuple[Segment, ...], ...]:
    return tuple(outline.segments for outline in region.outlines)


def _standing(region: Region, step: int) -> list[Item]:
    """A region that stands: hatched by its height, its outline wide, circles with their centre."""
    rows = hatch(region, 1.6 + 0.7 * step, math.radians(45 if step % 2 == 0 else 135))
    runs = _runs(region)
    items: list[Item] = [
        Run(runs, pen=None, fill=1.0, closed=True),
        Run(tuple((row,) for row in rows), HATCH),
        Run(runs, WIDE, closed=True),
    ]
    items += centre_lines(region)
    return items


def _edges(region: Region) -> tuple[Box, ...]:
    """An outline as small boxes, mm on paper."""
    boxes: list[Box] = []
    for segment in region.segments():
        straight = isinstance(segment, Line) and min(map(abs, segment.tangent())) < 1e-9
        count = 1 if straight else max(1, math.ceil(segment.length / 2.0))
        boxes += [segment.part(k / count, (k + 1) / count).bounds for k in range(count)]
    return tuple((a - 0.2, b - 0.2, c + 0.2, d + 0.2) for a, b, c, d in boxes)


def _obstacle(region: Region) -> list[Item]:
    """Where no tool may be: cross-hatched."""
    rows = tuple((row,) for a in (45, 135) for row in hatch(region, 2.2, math.radians(a)))
    return [
        Run(_runs(region), pen=None, fill=0.92, closed=True),
        Run(rows, Pen(0.1, grey=0.55)),
        Run(_runs(region), OUTSIDE, closed=True),
    ]


def _values(job: Job, view: Scene, frame: Frame, drilled: tuple[Hole, ...]) -> list[Item]:
    """Running values from the datum, under the work and to its left."""
    box = view.stock.bounds
    xs, ys = {box[0], box[2], 0.0}, {box[1], box[3], 0.0}
    for _, _, region in view.standing:
        for outline in region.outlines:
            a, b, c, d = outline.bounds
            whole = circle_of(outline) is not None
            xs |= {(a + c) / 2} if whole else {a, c}
            ys |= {(b + d) / 2} if whole else {b, d}
    xs |= {hole.at.x for hole in drilled}
    ys |= {hole.at.y for hole in drilled}
    corner = frame.point(Point(view.reach[0], view.reach[1]))

    def listed(places: set[float], axis: int, low: float, high: float) -> list[Mark]:
        kept = sorted(p for p in places if low - 1e-6 <= p <= high + 1e-6)
        return thinned(
            [(frame.point(Point(p, p))[axis], value(p, job.units)) for p in kept], MOST_VALUES
        )

    across = listed(xs, 0, min(box[0], view.reach[0]), box[2])
    upward = listed(ys, 1, min(box[1], view.reach[1]), box[3])
    zero = frame.point(Point(0, 0))
    return [
        *below(across, corner.y, reach=3.0, origin=zero.x),
        *beside(upward, corner.x, left=True, reach=3.0, origin=zero.y),
    ]


def _overall(job: Job, view: Scene, frame: Frame, beyond: Point) -> list[Item]:
    """How long and how wide the stock is, above it and to its right, `beyond` what stands there."""
    x0, y0, x1, y1 = view.stock.bounds
    corner = frame.point(Point(view.reach[2], view.reach[3]))
    low, high = frame.point(Point(x0, y0)), frame.point(Point(x1, y1))
    over = corner.y - high.y + beyond.y + OVERALL
    right = corner.x - high.x + beyond.x + OVERALL
    return [
        *overall(Point(low.x, high.y), high, value(x1 - x0, job.units), over),
        *overall(high, Point(high.x, low.y), value(y1 - y0, job.units), right),
    ]


def _uncovered(region: Region, higher: list[Region]) -> Region:
    """What of a region shows from above: a label belongs there."""
    try:
        for other in higher:
            region = difference(region, other)
    except GeometryError:  # a label's place is not worth failing a drawing
        return region
    return region


def _labels(job: Job, part: Part, view: Scene, frame: Frame) -> tuple[Label, ...]:
    """A label for each region and each obstacle; numbered as the sheet's table lists them."""
    found: list[Label] = []
    stands = {region.name: n for n, region in enumerate(part.visible, start=1)}
    holds = {b.name: n for n, b in enumerate(part.obstacles, start=len(stands) + 1)}
    for index, (name, top, region) in enumerate(view.standing):
        free = frame.region(_uncovered(region, [r for _, _, r in view.standing[index + 1 :]]))
        ending = f"top Z {value(top, job.units)}"
        sizes = round_sizes(region, job.units)
        around = beyond(frame.region(region))
        full = Label(free, (name, ", ".join(sizes), ending), stands[name], around)
        whole = bool(sizes) and all(size[0] != "R" for size in sizes)
        if whole or (0 < len(sizes) <= MOST_SIZES and full.fits):
            found.append(full)
        else:  # radii only where there is room for them inside; the table has them all
            found.append(Label(free, (name, ending), stands[name], around))
    for name, top, region in view.obstacles:
        biggest = max(region.outlines, key=lambda o: o.area)
        text = (name, f"up to Z {value(top, job.units)}")
        found.append(Label(frame.region(Region((biggest,))), text, holds[name]))
    return tuple(found)
