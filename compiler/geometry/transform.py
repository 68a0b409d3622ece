"""Move, turn, mirror and scale geometry. Turns by whole quarters are exact."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Literal, TypeVar

from compiler.geometry.outline import Chain, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.trace import in_order

G = TypeVar("G", Point, Line, Arc, Chain, Outline, Region)

ORIGIN = Point(0.0, 0.0)


def moved(thing: G, by: Point) -> G:
    """The thing, moved by a vector."""
    return _mapped(thing, lambda p: Point(p.x + by[0], p.y + by[1]), False)


def turned(thing: G, angle: float, about: Point = ORIGIN) -> G:
    """The thing, turned counter-clockwise by an angle in radians about a point."""
    cos, sin = math.cos(angle), math.sin(angle)
    quarters = angle / (math.pi / 2)
    if abs(quarters - round(quarters)) < 1e-12:
        cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[round(quarters) % 4]

    def turn(p: Point) -> Point:
        x, y = p.x - about[0], p.y - about[1]
        return Point(about[0] + cos * x - sin * y, about[1] + sin * x + cos * y)

    return _mapped(thing, turn, False)


def mirrored(thing: G, across: Literal["x", "y"], at: float = 0.0) -> G:
    """The thing, mirrored: across "x" flips Y about the line Y = at, across "y" flips X.

    A segment or chain keeps its start and end, so an arc changes its sense, and what stood on a
    chain's left stands on its right. Outlines and regions are turned round again, so that they keep
    their sense: the inside stays on the left.
    """
    if across == "x":
        return _mapped(thing, lambda p: Point(p.x, 2 * at - p.y), True)
    return _mapped(thing, lambda p: Point(2 * at - p.x, p.y), True)


def scaled(thing: G, factor: float, about: Point = ORIGIN) -> G:
    """The thing, made `factor` times as large about a point. Raises ValueError unless above 0."""
    if not factor > 0:
        raise ValueError("a scale is above 0")
    return _mapped(
        thing,
        lambda p: Point(about[0] + (p.x - about[0]) * factor, about[1] + (p.y - about[1]) * factor),
        False,
    )


def _mapped(thing: G, place: Callable[[Point], Point], flips: bool) -> G:
    match thing:
        case Point():
            return place(thing)
        case Line() | Arc():
            return _segment(thing, place, flips)  # type: ignore[return-value]
        case Chain():
            return Chain(tuple(_segment(s, place, flips) for s in thing.segments))
        case Outline():
            return _outline(thing, place, flips)
        case Region():
            return in_order([_outline(o, place, flips) for o in thing.outlines])
    raise TypeError(f"can't move a {type(thing).__name__}")


def _segment(segment: Segment, place: Callable[[Point], Point], flips: bool) -> Segment:
    start, end = place(segment.start), place(segment.end)
    if isinstance(segment, Line):
        return Line(start, end)
    return Arc(start, end, place(segment.centre), segment.ccw != flips)


def _outline(outline: Outline, place: Callable[[Point], Point], flips: bool) -> Outline:
    result = Outline(tuple(_segment(s, place, flips) for s in outline.segments))
    return result.reversed() if flips else result
