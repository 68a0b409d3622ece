"""Hatching: parallel lines cut to a region, exactly, arcs included."""

import itertools
import math
from collections.abc import Iterator

from compiler.geometry import Line, Point, Region, Segment


def hatch(region: Region, spacing: float, angle: float) -> tuple[Line, ...]:
    """Lines inside the region.

    Args:
        region: What to hatch, in any unit.
        spacing: Between lines, same unit.
        angle: Of the lines, rad.

    Returns:
        The pieces inside, row by row. They lie half a spacing off the origin, so that a drawing's
        round numbers do not fall on them.
    """
    if region.is_empty:
        return ()
    along = Point(math.cos(angle), math.sin(angle))
    across = along.left()
    pieces = [piece for segment in region.segments() for piece in _monotone(segment, across)]
    heights = [h for piece in pieces for h in (piece.start.dot(across), piece.end.dot(across))]
    rows: list[Line] = []
    for number in range(math.floor(min(heights) / spacing), math.ceil(max(heights) / spacing) + 1):
        height = (number + 0.5) * spacing
        hits = sorted(t for piece in pieces for t in _crossing(piece, along, across, height))
        base = across.times(height)
        rows += [
            Line(base.plus(along, a), base.plus(along, b))
            for a, b in zip(hits[::2], hits[1::2], strict=False)
        ]
    return tuple(rows)


def _monotone(segment: Segment, across: Point) -> Iterator[Segment]:
    """The segment cut where it turns back across the rows, so that each piece meets a row once."""
    if isinstance(segment, Line):
        yield segment
        return
    sweep, start = segment.sweep, segment.start_angle
    turns = sorted(
        t
        for half in range(-4, 5)
        if 1e-9 < (t := (across.angle() + half * math.pi - start) / sweep) < 1 - 1e-9
    )
    bounds = [0.0, *turns, 1.0]
    for t0, t1 in itertools.pairwise(bounds):
        yield segment.part(t0, t1)


def _crossing(piece: Segment, along: Point, across: Point, height: float) -> Iterator[float]:
    """Where a row meets a piece. Half-open, so that a corner on the row counts once."""
    low, high = piece.start.dot(across), piece.end.dot(across)
    if (low <= height) == (high <= height):
        return
    if isinstance(piece, Line):
        yield piece.at((height - low) / (high - low)).dot(along)
        return
    off = height - piece.centre.dot(across)
    reach = math.sqrt(max(piece.radius**2 - off**2, 0.0))
    middle = piece.at(0.5).dot(along) - piece.centre.dot(along)
    yield piece.centre.dot(along) + math.copysign(reach, middle)
