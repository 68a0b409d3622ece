"""Grow and shrink regions exactly: a circle to a circle, an arc to an arc, a corner to an arc."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from compiler.geometry.combine import arranged
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import SegmentGrid
from compiler.geometry.outline import Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.split import Piece
from compiler.geometry.trace import heading, in_order

ROUNDING = 1e-8
"""How much nearer than the distance a point may be by rounding alone, mm."""


def grow(region: Region, distance: float) -> Region:
    """All points within `distance` mm of the region; negative: those farther than it from outside.

    Convex corners become arcs round the corner. Exact to rounding for lines and arcs, any number of
    outlines. A gap of exactly twice the distance closes, a web of exactly twice it vanishes.
    """
    if distance == 0.0 or region.is_empty:
        return region
    if distance > 0.0:
        return _grown(region.outlines, distance, filled=True)
    # what surrounds the region grows into it
    around = [outline.reversed() for outline in region.outlines]
    grown = _grown(around, -distance, filled=False)
    return in_order([outline.reversed() for outline in grown.outlines])


def _grown(outlines: Sequence[Outline], distance: float, *, filled: bool) -> Region:
    """The outlines at `distance` to the right of these, which bound one area, on their left.

    Every segment is moved to the right, corners that open are filled with arcs, everything is cut
    where it meets, and what is in the area or nearer to it than the distance is left out. `filled`
    tells an area within the outlines from one around them.
    """
    source = [segment for outline in outlines for segment in outline.segments]
    raw = [piece for outline in outlines for piece in _moved(outline, distance)]
    grid = SegmentGrid(source, distance)
    within = InsideTest(source)
    least = distance - ROUNDING

    def is_near(point: Point) -> bool:
        if any(point_distance(point, s) < least for s in grid.around(point)):
            return True
        # deep inside; only where the area touches itself does a parallel get there
        return within.contains(point) == filled

    def sides(pieces: Sequence[Piece], bundle: Sequence[int]) -> tuple[bool, bool]:
        first = pieces[bundle[0]]
        ways = {pieces[i].start == first.start for i in bundle}
        if len(ways) == 2:
            return (True, True)  # two sides meet here: no room between them
        # pieces of one bundle may differ by a rounding that decides: one that is far enough will do
        return (True, all(is_near(pieces[i].middle) for i in bundle))

    return arranged(raw, sides)


def _moved(outline: Outline, distance: float) -> Iterator[Segment]:
    """Each segment of the outline moved to the right, and the arcs round its open corners."""
    segments = outline.segments
    for i, segment in enumerate(segments):
        if _opens(segments[i - 1], segment):
            before, here = segments[i - 1].tangent(1.0), segment.tangent(0.0)
            corner = segment.start
            start = corner.plus(before.left(), -distance)
            end = corner.plus(here.left(), -distance)
            if start != end:
                yield Arc(start, end, corner, True)
        moved = moved_right(segment, distance)
        if moved is not None:
            yield moved


def _opens(before: Segment, after: Segment) -> bool:
    """Whether the corner between two segments is convex, so that their parallels part there."""
    out, into = before.tangent(1.0), after.tangent(0.0)
    turn = out.cross(into)
    if out.dot(into) > 0.0 or abs(turn) > 1e-3:
        return turn > 1e-12
    # a cusp: tangents say nothing, so look a little way along both sides
    reach = min(s.start.distance(s.end) for s in (before, after)) / 4
    within = heading(before.reversed(), reach) - heading(after, reach)
    return within % math.tau < math.pi


def moved_right(segment: Segment, distance: float) -> Segment | None:
    """The parallel of a segment at `distance` mm to its right (negative: left).

    None where an arc shrinks to its centre or beyond: nothing lies at that distance then.
    """
    if isinstance(segment, Line):
        aside = segment.tangent().left().times(-distance)
        return Line(segment.start.plus(aside), segment.end.plus(aside))
    radius = segment.radius
    scale = (radius + (distance if segment.ccw else -distance)) / radius
    if scale <= 1e-12:
        return None
    centre = segment.centre
    return Arc(
        centre.plus(segment.start.minus(centre), scale),
        centre.plus(segment.end.minus(centre), scale),
        centre,
        segment.ccw,
    )
