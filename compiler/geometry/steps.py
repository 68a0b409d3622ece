"""Paths that an author walks in steps: straight on, or along an arc."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from compiler.geometry.arcs import centred, sound
from compiler.geometry.errors import GeometryError, too_far
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.tolerance import CLOSED, FAR, ON_ARC


@dataclass(frozen=True, slots=True, kw_only=True)
class Corner:
    """What becomes of the corner at a step's end. At most one of the two is more than 0, mm."""

    round: float = 0.0
    chamfer: float = 0.0


@dataclass(frozen=True, slots=True)
class LineTo(Corner):
    """A straight step. `round` or `chamfer` (mm) apply to the corner at its end."""

    to: Point


@dataclass(frozen=True, slots=True)
class ArcTo(Corner):
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


@dataclass(frozen=True, slots=True)
class Walked:
    """A segment of a path, what becomes of the corner at its end, and which step made it."""

    segment: Segment
    corner: Corner
    index: int


def walk(start: Point, steps: Sequence[Step]) -> list[Walked]:
    """The path of these steps, corners not yet made. An arc beyond half a turn is two segments.

    Raises GeometryError with the index of the step at fault.
    """
    finite(start)
    if not steps:
        raise GeometryError("E301", "a path without steps has no length", help="add a step")
    path: list[Walked] = []
    here = start
    for i, step in enumerate(steps):
        finite(step.to, i)
        to = Point(*step.to)
        try:
            made = _arc(here, to, step) if isinstance(step, ArcTo) else (_line(here, to),)
        except GeometryError as error:
            raise error.at_index(i) from None
        path += [Walked(segment, Corner(), i) for segment in made[:-1]]
        path.append(Walked(made[-1], step, i))
        here = path[-1].segment.end
    return path


def _line(here: Point, to: Point) -> Line:
    if here.distance(to) <= CLOSED:
        raise GeometryError(
            "E301", "this step goes nowhere: it starts and ends at {at}", help="leave it out", at=to
        )
    return Line(here, to)


def _arc(here: Point, to: Point, step: ArcTo) -> tuple[Arc, ...]:
    if step.centre is not None:
        finite(step.centre)
        return _arc_round(here, to, Point(*step.centre), step.ccw)
    radius = step.radius or 0.0
    size("radius", radius)
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
    return sound(Arc(here, to, centre, step.ccw))


def _arc_round(here: Point, to: Point, centre: Point, ccw: bool) -> tuple[Arc, ...]:
    first, second = here.distance(centre), to.distance(centre)
    size("radius", first)
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
            better=centred(Arc(here, to, centre, ccw)).centre,
        )
    if here.distance(to) <= CLOSED:
        return sound(Arc(here, here, centre, ccw))
    return sound(Arc(here, to, centre, ccw))


def size(what: str, value: float) -> None:
    """Refuse a size that is not above 0."""
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
    if value > FAR:
        raise GeometryError(
            "E301",
            "a {what} of {value} is more than a kilometre",
            help="check the units and the decimal point",
            what=what,
            value=value,
        )


def finite(point: Point, index: int | None = None) -> None:
    """Refuse a coordinate that is no number, infinite or beyond all workshops."""
    if not (math.isfinite(point[0]) and math.isfinite(point[1])):
        raise GeometryError(
            "E301", "a coordinate is not a finite number", help="give a number", index=index
        )
    if max(map(abs, point)) > FAR:
        raise too_far(Point(*point), index)
