"""Copies of a shape, and the union of many: bounded, so that a short spec can't ask for hours."""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.geometry import Point, Region
from compiler.geometry.errors import GeometryError
from compiler.spec.models.shapes import Repeat

MAX_COPIES = 1000
MAX_SEGMENTS = 10_000
GROUP = 16  # regions united at a time; what overlaps is gone before the next round


def repeated(region: Region, repeat: Repeat) -> Region:
    """The union of all copies. Raises GeometryError, as E216 where there are too many."""
    from compiler.geometry import transform

    copies: list[Region] = []
    if repeat.grid is not None:
        columns, rows = repeat.grid.count
        _bound(columns * rows, region)
        dx, dy = (float(value) for value in repeat.grid.pitch)
        for row in range(rows):
            for column in range(columns):
                copies.append(transform.moved(region, Point(column * dx, row * dy)))
    elif repeat.ring is not None:
        ring = repeat.ring
        _bound(ring.count, region)
        centre = Point(float(ring.centre[0]), float(ring.centre[1]))
        if ring.radius is not None:
            seat = centre.plus(Point(float(ring.radius), 0.0))
            region = transform.moved(region, seat.minus(centre_of(region)))
        for i in range(ring.count):
            angle = float(ring.start_angle) + i * 2 * math.pi / ring.count
            copies.append(transform.turned(region, angle, centre))
    return united(copies)


def united(regions: Sequence[Region]) -> Region:
    """The union of many regions, a few neighbours at a time.

    All at once would cross every outline with every other: for many that overlap, minutes.
    """
    from compiler.geometry import combine

    _bound(1, *regions)
    parts = list(regions)
    while len(parts) > GROUP:
        groups = [parts[i : i + GROUP] for i in range(0, len(parts), GROUP)]
        parts = [combine.union(*group) for group in groups]
    return combine.union(*parts)


def centre_of(region: Region) -> Point:
    """The middle of a region's bounding box: what a shape's own centre means."""
    x0, y0, x1, y1 = region.bounds
    return Point((x0 + x1) / 2, (y0 + y1) / 2)


def _bound(copies: int, *regions: Region) -> None:
    if copies > MAX_COPIES:
        raise GeometryError(
            "E216",
            f"{copies} copies of a shape",
            help=f"at most {MAX_COPIES} copies; split the grid",
        )
    segments = copies * sum(len(outline.segments) for r in regions for outline in r.outlines)
    if segments > MAX_SEGMENTS:
        raise GeometryError(
            "E216",
            f"an outline of {segments} lines and arcs",
            help=f"at most {MAX_SEGMENTS}; repeat less, or split the shape into several regions",
        )
