"""The same shape to the last digit, whichever way it was made.

A corner from a drawing, a model or a typed number differs by rounding in the fourteenth digit.
Decisions downstream compare lengths, and must not turn on that: so points are put on a grid of
1e-9 mm, far below anything that cuts.
"""

from __future__ import annotations

from compiler.geometry.arcs import centred
from compiler.geometry.outline import Chain, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.trace import in_order

DECIMALS = 9  # of a millimetre


def snapped(region: Region) -> Region:
    """The region with its points on the grid, its outlines begun and ordered as ever."""
    return in_order([Outline(_all(outline.segments)) for outline in region.outlines])


def snapped_chain(chain: Chain) -> Chain:
    """The chain with its points on the grid."""
    return Chain(_all(chain.segments))


def _all(segments: tuple[Segment, ...]) -> tuple[Segment, ...]:
    return tuple(_segment(s) for s in segments if _point(s.start) != _point(s.end))


def _segment(segment: Segment) -> Segment:
    start, end = _point(segment.start), _point(segment.end)
    if isinstance(segment, Line):
        return Line(start, end)
    return centred(Arc(start, end, _point(segment.centre), segment.ccw))


def _point(point: Point) -> Point:
    # adding nothing turns -0.0 into 0.0
    return Point(round(point.x, DECIMALS) + 0.0, round(point.y, DECIMALS) + 0.0)
