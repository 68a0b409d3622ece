"""Round holes that no end mill gets into: left for a drill, and closed in a first job."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from compiler.drawing.model import Loop
from compiler.drawing.pick import circle_of
from compiler.geometry import Outline, Point, Region
from compiler.survey.model import CutterRow, ShapeRow, Survey, standing_shapes
from compiler.survey.proposal import WALL
from compiler.survey.tight import tight_places
from compiler.units.number import Units

HELIX = 0.75
"""A cutter of more than this share of a hole's diameter has no room to go down in a helix (common
practice, no source)."""


def small_holes_closed(
    survey: Survey, cutters: Sequence[CutterRow], depth: float, units: Units
) -> Survey:
    """The survey with those round holes closed that none of the cutters can go down in.

    Each is kept in its shape's `closed`, as centre and diameter; what is tight is measured anew.
    """
    reaching = [c.diameter for c in cutters if c.reach >= depth]
    smallest = min(reaching, default=0.0)
    standing = {id(row) for row in standing_shapes(survey)}
    shapes = tuple(
        _closed(row, smallest, WALL[units]) if id(row) in standing else row for row in survey.shapes
    )
    if all(not row.closed for row in shapes):
        return survey
    again = replace(survey, shapes=shapes)
    tight = tight_places([(r.region, r.top) for r in standing_shapes(again)])
    return replace(again, tight=tight)


def _closed(row: ShapeRow, smallest: float, wall: float) -> ShapeRow:
    kept: list[Outline] = []
    closed: list[tuple[Point, float]] = []
    for outline in row.region.outlines:
        circle = circle_of(Loop(outline, (), 1)) if outline.area < 0 else None
        if circle is not None and smallest > HELIX * (2 * circle[1] - 2 * wall):
            closed.append((circle[0], 2 * circle[1]))
        else:
            kept.append(outline)
    return replace(row, region=Region(tuple(kept)), closed=tuple(closed))
