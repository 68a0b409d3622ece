"""Exact shapes from what an author writes: circles, rectangles, slots, polygons, steps.

    outline(Point(0, 0), [LineTo(Point(20, 0), round=3), ArcTo(Point(20, 10), radius=5), ...])

What can't be made raises `GeometryError`, whose `index` is the point or step at fault.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from compiler.geometry.arcs import all_halved, sound
from compiler.geometry.cornering import cornered
from compiler.geometry.corners import fit_error, is_smooth
from compiler.geometry.errors import GeometryError
from compiler.geometry.outline import Chain, Outline
from compiler.geometry.point import Point
from compiler.geometry.region import self_contact
from compiler.geometry.segment import Arc, Line
from compiler.geometry.steps import ArcTo, Corner, LineTo, Step, Walked, finite, size, walk
from compiler.geometry.tolerance import CLOSED
from compiler.geometry.trace import full_circle

__all__ = [
    "ArcTo",
    "LineTo",
    "Step",
    "chain",
    "circle",
    "outline",
    "polygon",
    "rectangle",
    "slot",
]


def circle(centre: Point, radius: float) -> Outline:
    """A circle, counter-clockwise, as two half arcs."""
    size("radius", radius)
    finite(centre)
    return full_circle(Point(*centre), radius, True)


def rectangle(low: Point, high: Point, corner_radius: float = 0.0) -> Outline:
    """A rectangle between two opposite corners, counter-clockwise, its corners rounded if asked."""
    finite(low, 0)
    finite(high, 1)
    x0, x1 = sorted((low[0], high[0]))
    y0, y1 = sorted((low[1], high[1]))
    size("width", x1 - x0)
    size("height", y1 - y0)
    points = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    most = min(x1 - x0, y1 - y0) / 2
    if corner_radius > most + CLOSED:
        raise fit_error("corner radius", corner_radius, points[0], most, 0)
    return polygon(points, min(corner_radius, most))


def slot(a: Point, b: Point, width: float) -> Outline:
    """A slot with round ends whose centres are `a` and `b`, counter-clockwise."""
    a, b = Point(*a), Point(*b)
    finite(a, 0)
    finite(b, 1)
    size("width", width)
    size("distance between the ends", a.distance(b))
    aside = b.minus(a).unit().left().times(width / 2)
    a_left, a_right = a.plus(aside), a.plus(aside, -1)
    b_left, b_right = b.plus(aside), b.plus(aside, -1)
    return Outline(
        (
            Line(a_right, b_right),
            Arc(b_right, b_left, b, True),
            Line(b_left, a_left),
            Arc(a_left, a_right, a, True),
        )
    )


def polygon(points: Sequence[Point], corner_radius: float = 0.0) -> Outline:
    """A polygon through the points, closed by itself, every corner rounded if asked.

    The first point may be given again at the end. Keeps the sense in which the points go round.
    """
    points = [Point(*p) for p in points]
    for i, point in enumerate(points):
        finite(point, i)
    if len(points) > 1 and points[0].distance(points[-1]) <= CLOSED:
        points = points[:-1]
    if len(points) < 3:
        raise GeometryError(
            "E301", "a polygon needs three different points", help="add the missing points"
        )
    for i, point in enumerate(points):
        if point.distance(points[i - 1]) <= CLOSED:
            raise GeometryError(
                "E301",
                "two points in a row are the same, {at}",
                help="leave one of them out",
                index=i,
                place=point,
                at=point,
            )
    sides = [Line(point, points[(i + 1) % len(points)]) for i, point in enumerate(points)]
    path = []
    for i, side in enumerate(sides):
        after = (i + 1) % len(sides)
        # a point on a straight side has no corner to round
        flat = not corner_radius or is_smooth(side, sides[after])
        path.append(Walked(side, Corner() if flat else Corner(round=corner_radius), after))
    return _closed(path)


def outline(start: Point, steps: Sequence[Step]) -> Outline:
    """A closed outline walked from `start` in steps; the last must come back to it.

    Keeps the sense in which it is walked. `round` or `chamfer` on the last step is the corner at
    the start.
    """
    path = walk(Point(*start), steps)
    first, last = path[0].segment.start, path[-1].segment.end
    gap = first.distance(last)
    if gap > CLOSED:
        raise GeometryError(
            "E305",
            "the outline ends at {end}, {gap} from its start {start}",
            help="end the last step at the start, or add a line to {start}",
            index=len(steps) - 1,
            place=last,
            start=first,
            end=last,
            gap=gap,
        )
    if len(path) == 1:
        raise GeometryError(
            "E301", "an outline of one line has no area", help="add its other sides"
        )
    if gap > 0.0:
        path[-1] = replace(path[-1], segment=_ending_at(path[-1].segment, first))
    return _closed(path)


def chain(start: Point, steps: Sequence[Step]) -> Chain:
    """An open chain walked from `start` in steps."""
    path = walk(Point(*start), steps)
    last = steps[-1]
    if last.round or last.chamfer:
        raise GeometryError(
            "E303",
            "the last step of an open path ends in no corner",
            help="leave out its `round` or `chamfer`",
            index=len(steps) - 1,
            place=path[-1].segment.end,
        )
    made = cornered(path, closed=False)
    return Chain(tuple(all_halved(segment for segment, _ in made)))


def _ending_at(segment: Line | Arc, end: Point) -> Line | Arc:
    """The segment with its end moved by no more than rounding."""
    if isinstance(segment, Line):
        return Line(segment.start, end)
    return sound(Arc(segment.start, end, segment.centre, segment.ccw))[0]


def _closed(path: Sequence[Walked]) -> Outline:
    """The outline of a path with its corners made, refused where it meets itself."""
    made = cornered(path, closed=True)
    segments = [half for segment, _ in made for half in all_halved([segment])]
    owners = [index for segment, index in made for _ in all_halved([segment])]
    result = Outline(tuple(segments))
    contact = self_contact(result)
    if contact is not None:
        place, at = contact
        raise GeometryError(
            "E306",
            "the outline crosses or touches itself at {at}",
            help="let it go round once without meeting itself; "
            "for two areas give two shapes, for a hole use `minus`",
            index=owners[at],
            place=place,
            at=place,
        )
    return result
