"""The area on one side of an open chain that runs across the stock."""

from __future__ import annotations

import itertools
from typing import Literal

from compiler.geometry import region as regions
from compiler.geometry.clip import clip
from compiler.geometry.distance import point_to_boundary
from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import contains
from compiler.geometry.near import Box
from compiler.geometry.outline import Chain, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Line

AT_EDGE = 0.0025
"""An end this near to the stock's edge is at the edge, mm (0.0001 inch)."""


def side_of_chain(
    chain: Chain, side: Literal["left", "right"], stock: Region, margin: float
) -> Region:
    """The area on one side of an open chain, seen walking along it, closed in the air.

    Both ends are prolonged straight along their tangents to a rectangle `margin` mm wider than
    stock and chain; the area ends there. Raises GeometryError where an end lies within the stock
    (E314, index 0 for the start and -1 for the end), where the chain passes the stock by (E314), or
    where it or its prolongations cross themselves (E306).
    """
    for index, end in ((0, chain.start), (-1, chain.end)):
        if contains(stock, end):
            depth = point_to_boundary(end, stock)
            if depth.distance > AT_EDGE:
                raise GeometryError(
                    "E314",
                    "the open path {does} inside the stock, at {at}, {depth} from its edge",
                    help="take it on to the edge, as to {edge}, or beyond",
                    index=index,
                    place=end,
                    does="starts" if index == 0 else "ends",
                    at=end,
                    depth=depth.distance,
                    edge=depth.on_second,
                )
    if not any(_enters(part, stock) for part in clip(chain, stock, "inside")):
        raise GeometryError(
            "E314",
            "the open path does not cross the stock",
            help="let it run from one edge of the stock to another",
            place=chain.start,
        )
    box = _box(chain, stock, margin)
    first = _to_box(chain.start, chain.segments[0].tangent(0.0).times(-1), box)
    last = _to_box(chain.end, chain.segments[-1].tangent(1.0), box)
    for index, tail in ((0, Line(chain.start, first)), (-1, Line(chain.end, last))):
        if any(_enters(part, stock) for part in clip(Chain((tail,)), stock, "inside")):
            raise GeometryError(
                "E314",
                "the open path, taken straight on from its {end} {at}, enters the stock again",
                help="let it leave the stock square to its edge, and end outside",
                index=index,
                place=tail.start,
                end="start" if index == 0 else "end",
                at=tail.start,
            )
    run = Chain((Line(first, chain.start), *chain.segments, Line(chain.end, last)))
    if side == "right":
        run = run.reversed()
    back = _round_the_box(run.end, run.start, box)
    outline = Outline((*run.segments, *back))
    contact = regions.self_contact(outline)
    if contact is not None:
        raise GeometryError(
            "E306",
            "the open path, with its ends taken straight on, crosses itself at {at}",
            help="let it cross the stock once, without meeting itself",
            place=contact[0],
            at=contact[0],
        )
    return regions.of(outline)


def _enters(part: Chain | Outline, stock: Region) -> bool:
    """Whether a stretch clipped to the stock is more than a touch or a run along its edge."""
    if part.length <= AT_EDGE:
        return False
    for segment in part.segments:
        middle = segment.at(0.5)
        if contains(stock, middle) and point_to_boundary(middle, stock).distance > AT_EDGE:
            return True
    return False


def _box(chain: Chain, stock: Region, margin: float) -> Box:
    boxes = [stock.bounds, *(s.bounds for s in chain.segments)]
    return (
        min(b[0] for b in boxes) - margin,
        min(b[1] for b in boxes) - margin,
        max(b[2] for b in boxes) + margin,
        max(b[3] for b in boxes) + margin,
    )


def _to_box(start: Point, along: Point, box: Box) -> Point:
    """Where a ray from within the box leaves it, on its border to the last bit."""
    x0, y0, x1, y1 = box
    ways = []
    if along.x:
        edge = x1 if along.x > 0 else x0
        t = (edge - start.x) / along.x
        ways.append((t, Point(edge, min(max(start.y + t * along.y, y0), y1))))
    if along.y:
        edge = y1 if along.y > 0 else y0
        t = (edge - start.y) / along.y
        ways.append((t, Point(min(max(start.x + t * along.x, x0), x1), edge)))
    return min(ways)[1]


def _round_the_box(start: Point, end: Point, box: Box) -> list[Line]:
    """Counter-clockwise along the box's border from one point on it to another."""
    x0, y0, x1, y1 = box
    corners = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    whole = 2 * (x1 - x0 + y1 - y0)

    def along(p: Point) -> float:
        if p.y == y0 and p.x < x1:
            return p.x - x0
        if p.x == x1 and p.y < y1:
            return x1 - x0 + p.y - y0
        if p.y == y1 and p.x > x0:
            return x1 - x0 + y1 - y0 + x1 - p.x
        return whole - (p.y - y0)

    from_start = along(start)
    way = (along(end) - from_start) % whole
    passed = sorted(
        (ahead, corner)
        for corner in corners
        if 0 < (ahead := (along(corner) - from_start) % whole) < way
    )
    stops = [start, *(corner for _, corner in passed), end]
    return [Line(a, b) for a, b in itertools.pairwise(stops)]
