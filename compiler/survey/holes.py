"""Openings that no end mill gets into: closed in a first job, round ones for a drill to make."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from compiler.drawing.inner import inner_point
from compiler.drawing.model import Loop
from compiler.drawing.pick import circle_of
from compiler.geometry import Outline, Point, Region
from compiler.geometry.inside import InsideTest
from compiler.survey.model import Closed, CutterRow, ShapeRow, Survey, standing_shapes
from compiler.survey.proposal import WALL
from compiler.survey.tight import tight_places
from compiler.units.number import Units

HELIX = 0.75
"""A cutter of more than this share of a hole's diameter has no room to go down in a helix (common
practice, no source)."""

CHORD = 0.01  # mm: how far the straight sides of a closed opening may lie off its outline
BEYOND = 0.03  # mm that they take it beyond, so that it overlaps what is round it


def closed_for_mills(
    survey: Survey, cutters: Sequence[CutterRow], depth: float, units: Units
) -> Survey:
    """The survey with those openings closed that none of the cutters can go down in.

    Each is kept in its shape's `closed`; what is tight is measured anew.
    """
    reaching = [c.diameter for c in cutters if c.reach >= depth]
    smallest = min(reaching, default=0.0)
    standing = standing_shapes(survey)
    closed = {
        id(row): _closed(row, [s for s in standing if s is not row], smallest, WALL[units])
        for row in standing
    }
    if all(not row.closed for row in closed.values()):
        return survey
    shapes = [closed.get(id(row), row) for row in survey.shapes]
    if survey.kind == "model":  # of a drawing the islands are picked out of what closes round them
        shapes = [row for row in shapes if not _is_swallowed(row, shapes)]
    again = replace(survey, shapes=tuple(shapes))
    tight = tight_places([(r.region, r.top) for r in standing_shapes(again)])
    return replace(again, tight=tight)


def _closed(row: ShapeRow, others: Sequence[ShapeRow], smallest: float, wall: float) -> ShapeRow:
    kept: list[Outline] = []
    closed: list[Closed] = []
    for outline in row.region.outlines:
        if outline.area > 0:
            kept.append(outline)
            continue
        hole = outline.reversed()
        circle = circle_of(Loop(hole, (), 1))
        islands = [o for o in others if InsideTest(hole.segments).contains(o.inside)]
        level = [o for o in islands if o.top is None or row.top is None or o.top >= row.top - 1e-3]
        if circle is not None and not level:
            if smallest > HELIX * (2 * circle[1] - 2 * wall):
                closed.append(Closed(circle[0], diameter=2 * circle[1]))
                continue
        elif not _lets_in(hole, level, smallest / 2 + wall):
            closed.append(_sides(hole, islands))
            continue
        kept.append(outline)
    return replace(row, region=Region(tuple(kept)), closed=tuple(closed))


def _lets_in(hole: Outline, islands: Sequence[ShapeRow], radius: float) -> bool:
    """Whether a disc fits in a hole beside its islands."""
    import shapely

    from compiler.geometry.polygon import to_polygon

    stands = shapely.union_all([to_polygon(island.region, CHORD) for island in islands])
    room = to_polygon(Region((hole,)), CHORD).difference(stands)
    return not room.buffer(-radius).is_empty


def _sides(hole: Outline, islands: Sequence[ShapeRow]) -> Closed:
    """A hole that is no circle, as a polygon a little wider."""
    import shapely

    from compiler.geometry.polygon import to_polygon

    wide = to_polygon(Region((hole,)), CHORD, "outside").buffer(BEYOND, join_style="mitre")
    corners = shapely.get_coordinates(wide.simplify(CHORD))[:-1].tolist()
    around = [s for island in islands for o in island.region.outlines for s in o.segments]
    inside = inner_point((*hole.segments, *around))
    return Closed(inside, corners=tuple(Point(x, y) for x, y in corners))


def _is_swallowed(row: ShapeRow, shapes: Sequence[ShapeRow]) -> bool:
    """Whether a feature stands in an opening that was closed as high."""
    return any(
        (other.top or 0.0) >= (row.top or 0.0)
        and any(c.corners and _has(c.corners, row.inside) for c in other.closed)
        for other in shapes
        if other is not row
    )


def _has(corners: Sequence[Point], place: Point) -> bool:
    from compiler.geometry.segment import Line

    sides = zip(corners, (*corners[1:], corners[0]), strict=True)
    return InsideTest([Line(a, b) for a, b in sides]).contains(place)
