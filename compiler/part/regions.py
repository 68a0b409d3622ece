"""Keep regions against the stock: a region must be stock to begin with."""

from __future__ import annotations

from typing import Literal

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.geometry import Point, Region
from compiler.geometry.across import AT_EDGE, side_of_chain
from compiler.geometry.combine import difference, intersection
from compiler.geometry.distance import point_to_region
from compiler.geometry.errors import GeometryError
from compiler.geometry.near import near_pairs
from compiler.geometry.offset import grow
from compiler.job import KeepRegion, OpenChain
from compiler.job.model import Units
from compiler.part.model import Part, Standing
from compiler.units.number import length


def room_in(stock: Region) -> Region:
    """The stock, and the little that a region's edge may lie beyond it."""
    return grow(stock, AT_EDGE)


def closed_area(
    keep: KeepRegion, region: Region, stock: Region, room: Region, units: Units
) -> list[Diagnostic]:
    """What is wrong with a closed keep region; nothing where it lies in the stock.

    Its edge may lie on the stock's, or beyond it by 0.0025 mm: `room` is the stock grown by that.
    """
    path = f"keep_regions.{keep.name}"
    if region.is_empty:
        return [
            Diagnostic(
                code="E308",
                message=f"nothing is left of region `{keep.name}`",
                primary=Label(keep.origin, "empty"),
                path=path,
                help="take less off it by `minus` or `grow`, or leave the region out",
            )
        ]
    if _is_box(stock) and _in_box(region.bounds, stock.bounds):
        return []  # the usual case, told at a glance
    try:
        beyond = difference(region, room)
        outside = not beyond.is_empty and intersection(region, stock).is_empty
    except GeometryError as error:
        return [refused(f"region `{keep.name}`", keep.origin, path, error, units)]
    if beyond.is_empty:
        return []
    if outside:
        return [
            Diagnostic(
                code="E310",
                message=f"region `{keep.name}` lies outside the stock",
                primary=Label(
                    keep.origin,
                    f"X {_extent(region, 0, units)}, Y {_extent(region, 1, units)}",
                ),
                path=path,
                help=f"move it into the stock, which is at X {_extent(stock, 0, units)}, "
                f"Y {_extent(stock, 1, units)}; check units and origin",
            )
        ]
    excess, place = _farthest(beyond, stock)
    at = f"({length(place.x, units)}, {length(place.y, units)})"
    return [
        Diagnostic(
            code="E311",
            message=f"region `{keep.name}` sticks out of the stock "
            f"by {length(excess, units)} at {at}",
            primary=Label(keep.origin, "no material stands there"),
            path=path,
            help="make the stock that much larger there, or take the region back; for a wall right "
            "across the stock give an `open` path",
            data=(("area_beyond_mm2", beyond.area), ("excess_mm", excess)),
        )
    ]


def open_area(
    keep: KeepRegion, open_chain: OpenChain, stock: Region, air: float, units: Units
) -> tuple[Region | None, list[Diagnostic]]:
    """The area on the standing side of an open chain, closed `air` mm beyond the stock."""
    try:
        return side_of_chain(open_chain.chain, open_chain.stands, stock, air), []
    except GeometryError as error:
        path = f"keep_regions.{keep.name}.open"
        return None, [refused(f"region `{keep.name}`", keep.origin, path, error, units)]


def refused(who: str, origin: Span, path: str, error: GeometryError, units: Units) -> Diagnostic:
    """What the geometry says against a shape, as a finding."""
    message, help = error.worded(units)
    return Diagnostic(
        code=error.code,
        message=f"{who}: {message}",
        primary=Label(origin),
        path=path,
        help=help,
    )


def _extent(region: Region, axis: Literal[0, 1], units: Units) -> str:
    low, high = region.bounds[axis], region.bounds[axis + 2]
    return f"{length(low, units)} to {length(high, units)}"


def _farthest(beyond: Region, stock: Region) -> tuple[float, Point]:
    """Of what lies beyond the stock the farthest corner or middle of a side, and how far, mm."""
    places = [place for s in beyond.segments() for place in (s.start, s.at(0.5))]
    return max((point_to_region(place, stock).distance, place) for place in places)


def swallowed(part: Part) -> list[Diagnostic]:
    """Regions of which nothing shows, since another covers them whole and stands as high."""
    there = [each for each in part.own if not each.region.is_empty]
    boxes = [each.region.bounds for each in there]
    around: dict[int, list[int]] = {}  # for each region those whose box holds its own
    for pair in near_pairs(boxes, AT_EDGE):
        for inner, outer in (pair, pair[::-1]):
            if there[inner].top <= there[outer].top and _in_box(boxes[inner], boxes[outer]):
                around.setdefault(inner, []).append(outer)
    found: list[Diagnostic] = []
    hidden: set[int] = set()
    for inner, outers in sorted(around.items(), reverse=True):
        for outer in sorted(set(outers) - hidden):  # of two that are the same the first is kept
            if _covers(there[outer], there[inner], part.stock):
                found.append(_swallowed(there[inner], there[outer]))
                hidden.add(inner)
                break
    return found[::-1]


def _swallowed(inner: Standing, outer: Standing) -> Diagnostic:
    return Diagnostic(
        code="W317",
        message=f"region `{inner.name}` lies wholly inside `{outer.name}`, which stands as high",
        primary=Label(inner.origin),
        severity=Severity.WARNING,
        path=f"keep_regions.{inner.name}",
        secondary=(Label(outer.origin, "all of this stands"),),
        help="for an open region see that `stands` names the right side, walked from its start; "
        "else leave one of the two out",
    )


def _covers(outer: Standing, inner: Standing, stock: Region) -> bool:
    try:
        within = intersection(inner.region, stock) if inner.is_open else inner.region
        return difference(within, outer.region).is_empty
    except GeometryError:
        return False


def _is_box(region: Region) -> bool:
    low_x, low_y, high_x, high_y = region.bounds
    return abs((high_x - low_x) * (high_y - low_y) - region.area) < 1e-6  # mm2


def _in_box(
    inner: tuple[float, float, float, float], outer: tuple[float, float, float, float]
) -> bool:
    low = inner[0] >= outer[0] - AT_EDGE and inner[1] >= outer[1] - AT_EDGE
    return low and inner[2] <= outer[2] + AT_EDGE and inner[3] <= outer[3] + AT_EDGE
