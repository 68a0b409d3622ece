"""Exact shapes from what an author writes: circles, rectangles, slots, polygons, steps.

    outline(Point(0, 0), [LineTo(Point(20, 0), round=3), ArcTo(Point(20, 10), radius=5), ...])

What can't be made raises `GeometryError`, whose `index` is the point or step at fault.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from compiler.geometry.arcs import all_halved, settled
from compiler.geometry.corners import Cut, chamfered, fit_error, is_smooth, largest, rounded
from compiler.geometry.errors import GeometryError
from compiler.geometry.outline import Chain, Outline
from compiler.geometry.point import Point
from compiler.geometry.region import self_contact
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.tolerance import CLOSED, ON_ARC
from compiler.geometry.trace import full_circle


@dataclass(frozen=True, slots=True, kw_only=True)
class _Corner:
    """What becomes of the corner at a step's end. At most one of the two is more than 0, mm."""

    round: float = 0.0
    chamfer: float = 0.0


@dataclass(frozen=True, slots=True)
class LineTo(_Corner):
    """A straight step. `round` or `chamfer` (mm) apply to the corner at its end."""

    to: Point


@dataclass(frozen=True, slots=True)
class ArcTo(_Corner):
    """A step along an arc, given by its centre or its radius.

    A radius gives the shorter arc, or the longer with `long`; `round` and `chamfer` as for lines.
    With a centre, `to` may be where the step starts: a full turn.
    """

    to: Point
    centre: Point | None = None
    radius: float | None = None
    ccw: bool = True
    long: bool = False


Step = LineTo | ArcTo


def circle(centre: Point, radius: float) -> Outline:
    """A circle, counter-clockwise, as two half arcs."""
    _size("radius", radius)
    _finite(centre)
    return full_circle(Point(*centre), radius, True)


def rectangle(low: Point, high: Point, corner_radius: float = 0.0) -> Outline:
    """A rectangle between two opposite corners, counter-clockwise, its corners rounded if asked."""
    _finite(low, 0)
    _finite(high, 1)
    x0, x1 = sorted((low[0], high[0]))
    y0, y1 = sorted((low[1], high[1]))
    _size("width", x1 - x0)
    _size("height", y1 - y0)
    points = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    most = min(x1 - x0, y1 - y0) / 2
    if corner_radius > most + CLOSED:
        raise fit_error("corner radius", corner_radius, points[0], most, 0)
    return polygon(points, min(corner_radius, most))


def slot(a: Point, b: Point, width: float) -> Outline:
    """A slot with round ends whose centres are `a` and `b`, counter-clockwise."""
    a, b = Point(*a), Point(*b)
    _finite(a, 0)
    _finite(b, 1)
    _size("width", width)
    _size("distance between the ends", a.distance(b))
    aside = b.minus(a).unit().left().times(width / 2)
    a_left, a_right, b_left, b_right = a.plus(aside), a.plus(aside, -1), b.plus(aside), None
    b_right = b.plus(aside, -1)
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
        _finite(point, i)
    if len(points) > 1 and points[0].distance(points[-1]) <= CLOSED:
        points = points[:-1]
    if len(points) < 3:
        raise GeometryError(
            "E301", "a polygon needs three different points", help="add the missing points"
        )
    base: list[Segment] = []
    for i, point in enumerate(points):
        after = points[(i + 1) % len(points)]
        if point.distance(after) <= CLOSED:
            raise GeometryError(
                "E301",
                "two points in a row are the same, {at}",
                help="leave one of them out",
                index=(i + 1) % len(points),
                place=point,
                at=point,
            )
        base.append(Line(point, after))
    corners = [_Corner(round=corner_radius)] * len(base) if corner_radius else None
    if corners:
        # a point on a straight side has no corner to round
        straight = [is_smooth(base[i], base[(i + 1) % len(base)]) for i in range(len(base))]
        corners = [
            _Corner() if flat else corner for flat, corner in zip(straight, corners, strict=True)
        ]
    # the corner after side i is point i + 1
    index = [(i + 1) % len(base) for i in range(len(base))]
    return _checked(_cornered(base, corners or [_Corner()] * len(base), index, closed=True), index)


def outline(start: Point, steps: Sequence[Step]) -> Outline:
    """A closed outline walked from `start` in steps; the last must come back to it.

    Keeps the sense in which it is walked. `round` or `chamfer` on the last step is the corner at
    the start.
    """
    base = _walked(Point(*start), steps)
    gap = base[-1].end.distance(base[0].start)
    if gap > CLOSED:
        raise GeometryError(
            "E305",
            "the outline ends at {end}, {gap} from its start {start}",
            help="end the last step at the start, or add a line to {start}",
            index=len(steps) - 1,
            place=base[-1].end,
            start=base[0].start,
            end=base[-1].end,
            gap=gap,
        )
    if gap > 0.0:
        base[-1] = _ending_at(base[-1], base[0].start)
    if len(base) == 1 and isinstance(base[0], Line):
        raise GeometryError(
            "E301", "an outline of one line has no area", help="add its other sides"
        )
    index = list(range(len(base)))
    return _checked(_cornered(base, list(steps), index, closed=True), index)


def chain(start: Point, steps: Sequence[Step]) -> Chain:
    """An open chain walked from `start` in steps."""
    base = _walked(Point(*start), steps)
    last = steps[-1]
    if last.round or last.chamfer:
        raise GeometryError(
            "E303",
            "the last step of an open path ends in no corner",
            help="leave out its `round` or `chamfer`",
            index=len(steps) - 1,
            place=base[-1].end,
        )
    segments = [s for s, _ in _cornered(base, list(steps), list(range(len(base))), closed=False)]
    return Chain(tuple(all_halved(segments)))


def _walked(start: Point, steps: Sequence[Step]) -> list[Segment]:
    _finite(start)
    if not steps:
        raise GeometryError("E301", "a path without steps has no length", help="add a step")
    base: list[Segment] = []
    here = start
    for i, step in enumerate(steps):
        _finite(step.to, i)
        to = Point(*step.to)
        try:
            base.append(_arc(here, to, step) if isinstance(step, ArcTo) else _line(here, to))
        except GeometryError as error:
            raise error.at_index(i) from None
        here = to
    return base


def _line(here: Point, to: Point) -> Line:
    if here.distance(to) <= CLOSED:
        raise GeometryError(
            "E301", "this step goes nowhere: it starts and ends at {at}", help="leave it out", at=to
        )
    return Line(here, to)


def _arc(here: Point, to: Point, step: ArcTo) -> Arc:
    if step.centre is not None:
        _finite(step.centre)
        return _arc_round(here, to, Point(*step.centre), step.ccw)
    radius = step.radius or 0.0
    _size("radius", radius)
    chord = to.minus(here)
    half = chord.norm() / 2
    if half * 2 <= CLOSED:
        raise GeometryError(
            "E301",
            "an arc by radius from {at} to itself could be any circle through it",
            help="give its `centre` for a full turn",
            at=here,
        )
    if radius < half - ON_ARC:
        raise GeometryError(
            "E302",
            "a radius of {radius} can't span the {chord} from {start} to {end}",
            help="use a radius of {least:up} or more",
            place=here,
            radius=radius,
            chord=2 * half,
            least=half,
            start=here,
            end=to,
        )
    off = math.sqrt(max(0.0, radius * radius - half * half))
    left = step.ccw != step.long  # the shorter arc turns about a centre on its inner side
    centre = here.plus(chord, 0.5).plus(chord.unit().left(), off if left else -off)
    return settled(Arc(here, to, centre, step.ccw))


def _arc_round(here: Point, to: Point, centre: Point, ccw: bool) -> Arc:
    first, second = here.distance(centre), to.distance(centre)
    _size("radius", first)
    if abs(first - second) > ON_ARC:
        raise GeometryError(
            "E304",
            "the centre {at} is {first} from the arc's start and {second} from its end: "
            "{apart} apart, more than {allowed}",
            help="move the centre to {better}, or give a radius instead of it",
            place=centre,
            at=centre,
            first=first,
            second=second,
            apart=abs(first - second),
            allowed=ON_ARC,
            better=settled(Arc(here, to, centre, ccw)).centre,
        )
    if here.distance(to) <= CLOSED:
        return Arc(here, here, centre, ccw)
    return settled(Arc(here, to, centre, ccw))


def _ending_at(segment: Segment, end: Point) -> Segment:
    if isinstance(segment, Line):
        return Line(segment.start, end)
    return settled(Arc(segment.start, end, segment.centre, segment.ccw))


Numbered = list[tuple[Segment, int]]
"""Segments, each with the number of the step or point that made it."""


def _cornered(
    base: Sequence[Segment],
    corners: Sequence[_Corner | LineTo | ArcTo],
    index: Sequence[int],
    *,
    closed: bool,
) -> Numbered:
    """The segments with the corner after each rounded or chamfered as asked."""
    count = len(base)
    cuts: list[Cut | None] = [
        _corner_cut(base, i, corners[i], index[i]) if closed or i + 1 < count else None
        for i in range(count)
    ]
    made: Numbered = []
    for i, segment in enumerate(base):
        into, out = cuts[i - 1], cuts[i]
        t0 = into.from_t if into else 0.0
        t1 = out.until_t if out else 1.0
        room = (t1 - t0) * segment.length
        if room < -CLOSED:
            at = i if out else i - 1
            raise _crowded(base, corners, at, index[at])
        if room > CLOSED:
            made.append((segment.part(t0, t1), index[i]))
        if out:
            made.append((out.piece, index[i]))
    return _end_to_end(made, closed)


def _end_to_end(made: Numbered, closed: bool) -> Numbered:
    """The segments with each start made the very end of the one before."""
    result: Numbered = []
    for i, (segment, index) in enumerate(made):
        if i == 0 and not closed:
            result.append((segment, index))
            continue
        start = made[i - 1][0].end
        if isinstance(segment, Line):
            segment = Line(start, segment.end)
        elif segment.start != segment.end:
            segment = settled(Arc(start, segment.end, segment.centre, segment.ccw))
        result.append((segment, index))
    return result


def _corner_cut(
    base: Sequence[Segment], i: int, corner: _Corner | LineTo | ArcTo, index: int
) -> Cut | None:
    size = corner.round or corner.chamfer
    if not size:
        return None
    what = "round" if corner.round else "chamfer"
    before, after = base[i], base[(i + 1) % len(base)]
    if corner.round and corner.chamfer:
        raise GeometryError(
            "E303",
            "a corner can't have a round and a chamfer",
            help="leave one of them out",
            index=index,
            place=before.end,
        )
    _size(what, size)
    if is_smooth(before, after):
        raise GeometryError(
            "E303",
            "there is no corner at {at}: the outline goes straight on",
            help="leave out `{what}`",
            index=index,
            place=before.end,
            at=before.end,
            what=what,
        )

    def cut(size: float) -> Cut | None:
        return (rounded if corner.round else chamfered)(before, after, size)

    made = cut(size)
    if made is None:
        most = largest(lambda s: cut(s) is not None, size)
        raise fit_error(what, size, before.end, most, index)
    return made


def _crowded(
    base: Sequence[Segment], corners: Sequence[_Corner | LineTo | ArcTo], at: int, index: int
) -> GeometryError:
    """The finding for two corners that take more of a side than there is."""
    size = corners[at].round or corners[at].chamfer

    def fits(scale: float) -> bool:
        taken = [[0.0, 1.0] for _ in base]
        for i, corner in enumerate(corners):
            asked = corner.round or corner.chamfer
            if not asked or (i + 1 == len(base) and base[-1].end != base[0].start):
                continue
            before, after = base[i], base[(i + 1) % len(base)]
            make = rounded if corner.round else chamfered
            cut = make(before, after, asked * scale)
            if cut is None:
                return False
            taken[i][1], taken[(i + 1) % len(base)][0] = cut.until_t, cut.from_t
        return all(t0 <= t1 for t0, t1 in taken)

    what = "round" if corners[at].round else "chamfer"
    return fit_error(what, size, base[at].end, size * largest(fits, 1.0), index)


def _checked(made: Numbered, index: Sequence[int]) -> Outline:
    """The outline, refused where it crosses or touches itself."""
    segments = [half for segment, _ in made for half in all_halved([segment])]
    owners = [i for segment, i in made for _ in all_halved([segment])]
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


def _size(what: str, value: float) -> None:
    if not math.isfinite(value):
        raise GeometryError("E301", f"the {what} is not a finite number", help="give a number")
    if value <= CLOSED:
        raise GeometryError(
            "E301",
            "a {what} of {value} leaves nothing",
            help="give a {what} above 0",
            what=what,
            value=value,
        )


def _finite(point: Point, index: int | None = None) -> None:
    if not (math.isfinite(point[0]) and math.isfinite(point[1])):
        raise GeometryError(
            "E301", "a coordinate is not a finite number", help="give a number", index=index
        )


def without_corner(step: Step) -> Step:
    """The same step with its corner left sharp."""
    return replace(step, round=0.0, chamfer=0.0)
