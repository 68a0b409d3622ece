"""Small signs on a drawing: datum, axes, scale bar, arrow heads."""

import math

from compiler.geometry import Arc, Line, Point
from compiler.pictures.display import NARROW, WIDE, Item, Pen, Run, Words, text_width
from compiler.units.number import MM_PER_INCH, Units, short

SOLID = 0.0
BAR = 46.0  # mm: a scale bar with its value is no longer


def polygon(points: tuple[Point, ...], *, fill: float | None, pen: Pen | None = None) -> Run:
    """A closed polygon."""
    sides = tuple(Line(a, b) for a, b in zip(points, (*points[1:], points[0]), strict=True))
    return Run((sides,), pen=pen, fill=fill, closed=True)


def circle(
    centre: Point, radius: float, pen: Pen | None = NARROW, fill: float | None = None
) -> Run:
    """A full circle."""
    start = Point(centre.x + radius, centre.y)
    return Run(((Arc(start, start, centre, True),),), pen=pen, fill=fill, closed=True)


def line(a: Point, b: Point, pen: Pen = NARROW) -> Run:
    """One straight line."""
    return Run(((Line(a, b),),), pen=pen)


def arrow(tip: Point, angle: float, length: float = 2.2) -> Run:
    """A filled arrow head that points in the direction of `angle`."""
    back = Point(math.cos(angle), math.sin(angle)).times(-length)
    side = back.left().times(1 / 6)
    return polygon((tip, tip.plus(back).plus(side), tip.plus(back).minus(side)), fill=SOLID)


def zero(at: Point, radius: float) -> tuple[Item, ...]:
    """The sign for a workpiece's zero: a circle, two of its quarters black.

    Common practice for a zero point, no source.
    """
    quarters = []
    for start in (0.0, math.pi):
        a = at.plus(Point(math.cos(start), math.sin(start)), radius)
        b = at.plus(Point(math.cos(start + math.pi / 2), math.sin(start + math.pi / 2)), radius)
        quarters.append((Line(at, a), Arc(a, b, at, True), Line(b, at)))
    return (
        circle(at, radius, Pen(0.3), fill=1.0),
        *(Run((quarter,), pen=None, fill=SOLID, closed=True) for quarter in quarters),
    )


def datum(at: Point) -> tuple[Item, ...]:
    """The zero from above, with the axes X and Y."""
    radius = 2.0
    axes: list[Item] = []
    for name, angle in (("X", 0.0), ("Y", math.pi / 2)):
        way = Point(math.cos(angle), math.sin(angle))
        tip = at.plus(way, 11.0)
        axes += [line(at.plus(way, radius), at.plus(way, 9.5), WIDE), arrow(tip, angle, 2.6)]
        label = tip.plus(Point(0.8, -2.6) if angle == 0 else Point(0.9, -1.0))
        axes.append(Words(label, name, size=3.0, bold=True, halo=True))
    return (*zero(at, radius), *axes)


def scale_bar(at: Point, scale: float, units: Units) -> tuple[Item, ...]:
    """A bar of a round length near 30 mm on paper, for drawings that get resized."""
    unit = MM_PER_INCH if units == "inch" else 1.0
    wanted = 30.0 / scale / unit
    power = 10.0 ** math.floor(math.log10(wanted))
    count = max(n for n in (1, 2, 5) if n * power <= wanted)
    long = count * power * unit * scale
    half = at.plus(Point(long / 2, 0))
    text = f"{short(count * power, 4)} {'in' if units == 'inch' else 'mm'}"
    box = (at, half, half.plus(Point(0, 1.2)), at.plus(Point(0, 1.2)))
    other = tuple(p.plus(Point(long / 2, 0)) for p in box)
    return (
        polygon(box, fill=SOLID, pen=NARROW),
        polygon(other, fill=None, pen=NARROW),
        Words(at.plus(Point(long + 1.5, -0.3)), text),
    )


def head(text: str, height: float, scale: float, units: Units) -> tuple[Item, ...]:
    """A drawing's title and a scale bar, at its upper edge."""
    bar = Point(text_width(text, 3.0, bold=True) + 4.0, height - 3.5)
    title = Words(Point(0.0, height - 3.5), text, size=3.0, bold=True)
    return (title, *scale_bar(bar, scale, units))


def head_width(text: str) -> float:
    """How wide a title is with its scale bar, mm."""
    return text_width(text, 3.0, bold=True) + 4.0 + BAR
