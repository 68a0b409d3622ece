"""The stock from above before and after the program: what is left, by depth, as it was simulated.

The deeper the darker; every depth is also named in its place and in the legend, so that neither
colour nor an even print is needed to read it. What holds the work is cross-hatched: no grey of its
own could be told from those of the depths.
"""

from __future__ import annotations

import math
from itertools import pairwise

import shapely

from compiler.geometry import Line, Point, Region, Segment
from compiler.geometry.build import rectangle
from compiler.job.model import Units
from compiler.judge.case import Case
from compiler.judge.model import Leftover
from compiler.pictures import marks
from compiler.pictures.bands import Area, Band, bands
from compiler.pictures.display import HIDDEN, NARROW, Item, Pen, Picture, Run, Words, text_width
from compiler.pictures.frame import Frame, joined, scale_for, shown
from compiler.pictures.hatch import hatch
from compiler.simulate.raster import inside
from compiler.units.number import MM_PER_INCH, fixed, in_units, short

LIGHT, DARK = 0.95, 0.5  # greys
HATCH, HATCH_GAP = Pen(0.1, grey=0.4), 2.0  # mm on paper
GAP, TITLE, ROW = 8.0, 9.0, 4.6  # mm on paper
EDGE = Pen(0.18, grey=0.25)
_CROSS = 1.3  # mm on paper
Rings = tuple[tuple[Segment, ...], ...]


def stock_drawing(case: Case, leftovers: tuple[Leftover, ...], room: Point) -> Picture:
    """Two views of one scale: the stock with what is to stand, and what the program leaves."""
    found = bands(case.cut.heights, inside(case.part.stock, case.cut.grid), case.cut.grid)
    low_x, low_y, high_x, high_y = joined(
        [case.part.stock.bounds, *(o.region.bounds for o in case.part.obstacles)]
    )
    wide, tall = high_x - low_x, high_y - low_y
    rows = len(found) + 3
    foot = ROW * rows + 2
    beside = scale_for(2 * wide, tall, Point(room.x - GAP, room.y - foot - 2 * TITLE))
    above = scale_for(wide, 2 * tall, Point(room.x, room.y - foot - 3 * TITLE))
    side_by_side = beside[1] >= above[1]
    name, scale = beside if side_by_side else above
    step = Point(wide * scale + GAP, 0) if side_by_side else Point(0, -(tall * scale + TITLE))
    width = max(wide * scale + step.x, 118.0)
    height = foot + tall * scale - step.y + 2 * TITLE
    corner = Point(0, height - 2 * TITLE - tall * scale)
    items: list[Item] = []
    first, second = (
        Frame(name, scale, Point(low_x - at.x / scale, low_y - at.y / scale))
        for at in (corner, corner.plus(step))
    )
    items += _before(case, first)
    items += _after(case, found, leftovers, second)
    for at, title in ((corner, "before"), (corner.plus(step), "after")):
        items.append(Words(Point(at.x, at.y + tall * scale + 2.5), title, 3.0, bold=True))
    items += _legend(case, found, foot, bool(leftovers))
    title = f"{case.job.output_name}: material by depth, scale {name}"
    items += marks.head(title, height, scale, case.job.units)
    return Picture(max(width, marks.head_width(title)), height, tuple(items), scale)


def _before(case: Case, frame: Frame) -> list[Item]:
    """The whole stock, and dashed what is to stand in it."""
    items: list[Item] = [Run(_rings(frame, case.part.stock), NARROW, fill=LIGHT, closed=True)]
    items += [Run(rings, HIDDEN, closed=True) for rings in _standing(case, frame)]
    return items + _held(case, frame)


def _after(
    case: Case, found: list[Band], leftovers: tuple[Leftover, ...], frame: Frame
) -> list[Item]:
    """What is left, band over band, with the exact outlines over it."""
    stock = _rings(frame, case.part.stock)
    items: list[Item] = []
    for k, band in enumerate(found):
        rings = _polygon_rings(frame, band.nested)
        items.append(Run(rings, None, fill=_grey(k, found), closed=True, within=stock))
    items += [Run(rings, EDGE, closed=True) for rings in _standing(case, frame)]
    items.append(Run(stock, NARROW, closed=True))
    items += _held(case, frame)
    for k, band in enumerate(found):
        deeper = found[k + 1].nested if k + 1 < len(found) else None
        items += _label(frame, band, deeper, case.job.units)
    for left in leftovers:
        items += _cross(frame.point(Point(left.x_mm, left.y_mm)))
    return items


def _standing(case: Case, frame: Frame) -> list[Rings]:
    """Outlines of what is to stand, as far as the stock goes."""
    stock = case.part.stock
    return [_rings(frame, shown(s.region, stock)) for s in case.part.visible]


def _held(case: Case, frame: Frame) -> list[Item]:
    items: list[Item] = []
    for obstacle in case.part.obstacles:
        items += _cross_hatched(frame.region(obstacle.region), HATCH_GAP)
    return items


def _cross_hatched(region: Region, gap: float) -> list[Item]:
    """A region on paper that no depth's grey can be taken for."""
    rings = tuple(outline.segments for outline in region.outlines)
    rows = tuple((row,) for a in (45, 135) for row in hatch(region, gap, math.radians(a)))
    return [
        Run(rings, None, fill=1.0, closed=True),
        Run(rows, HATCH),
        Run(rings, EDGE, closed=True),
    ]


def _grey(k: int, found: list[Band]) -> float:
    """Light for the highest, dark for the deepest; white where it is cut through."""
    if found[k].z is None:
        return 1.0
    count = sum(band.z is not None for band in found)
    return LIGHT - (LIGHT - DARK) * k / max(1, count - 1)


def _label(frame: Frame, band: Band, deeper: Area | None, units: Units) -> list[Item]:
    """The band's height in its roomiest place; nothing where there is no room."""
    own = band.nested if deeper is None else shapely.difference(band.nested, deeper)
    parts = [p for p in shapely.get_parts(own) if p.area > 0]
    if not parts:
        return []
    largest = max(parts, key=lambda p: (p.area, p.bounds))
    circle = shapely.maximum_inscribed_circle(largest, tolerance=0.5)
    text = "through" if band.z is None else f"Z {short(in_units(band.z, units), 3)}"
    if circle.length * frame.scale < 0.5 * text_width(text, 2.6):  # the legend has it
        return []
    x, y = circle.coords[0]
    at = frame.point(Point(x, y))
    return [Words(Point(at.x, at.y - 0.9), text, 2.6, "middle", halo=True)]


def _height(z: float | None, units: Units) -> str:
    if z is None:
        return "through"
    return f"Z {fixed(z / MM_PER_INCH, 3)} in" if units == "inch" else f"Z {fixed(z, 2)} mm"


def _area(mm2: float, units: Units) -> str:
    return f"{fixed(mm2 / MM_PER_INCH**2, 2)} in²" if units == "inch" else f"{fixed(mm2, 0)} mm²"


def _cross(at: Point) -> list[Item]:
    pen = Pen(0.35)
    return [
        marks.line(Point(at.x - _CROSS, at.y - _CROSS), Point(at.x + _CROSS, at.y + _CROSS), pen),
        marks.line(Point(at.x - _CROSS, at.y + _CROSS), Point(at.x + _CROSS, at.y - _CROSS), pen),
    ]


def _legend(case: Case, found: list[Band], top: float, crossed: bool) -> list[Item]:
    """A row for each grey, with its height and area; what dashes and crosses mean."""
    items: list[Item] = []
    y = top - ROW - 1.0

    def swatch(fill: float | None, pen: Pen, text: str) -> None:
        nonlocal y
        box = (Point(0, y - 0.5), Point(7, y - 0.5), Point(7, y + 2.6), Point(0, y + 2.6))
        items.append(marks.polygon(box, fill=fill, pen=pen))
        items.append(Words(Point(9, y), text))
        y -= ROW

    for k, band in enumerate(found):
        said = f"{_height(band.z, case.job.units)}, {_area(band.area, case.job.units)}"
        swatch(_grey(k, found), NARROW, said)
    swatch(LIGHT, HIDDEN, "to stand")
    if case.part.obstacles:
        box = Region((rectangle(Point(0, y - 0.5), Point(7, y + 2.6)),))
        items += _cross_hatched(box, 1.0)
        items.append(Words(Point(9, y), "holds the work"))
        y -= ROW
    if crossed:
        items += _cross(Point(3.5, y + 1.0))
        items.append(Words(Point(9, y), "stays: no cutter of the job reaches it"))
    return items


def _rings(frame: Frame, region: Region) -> Rings:
    return tuple(outline.segments for outline in frame.region(region).outlines)


def _polygon_rings(frame: Frame, area: Area) -> Rings:
    """A polygon's rings on paper."""
    found: list[tuple[Segment, ...]] = []
    for part in shapely.get_parts(area):
        for ring in (part.exterior, *part.interiors):
            places = [frame.point(Point(x, y)) for x, y in ring.coords]
            pairs = pairwise(places)
            found.append(tuple(Line(a, b) for a, b in pairs if a.distance(b) > 1e-9))
    return tuple(found)
