"""Rows with their inner turns rounded, so that the cutter runs round them without a halt."""

from __future__ import annotations

import math
from itertools import pairwise

from compiler.geometry import Line, Outline, Segment
from compiler.geometry.corners import Cut, rounded

SHARP = math.radians(3)  # a lesser turn needs no rounding
PARTS = (1.0, 0.6, 0.35, 0.2)  # of the radius asked for, where the whole does not fit


def with_rounded_turns(outline: Outline, radius: float) -> Outline:
    """The outline with each sharp turn to the right replaced by an arc, where one fits.

    Round a forbidden set, which lies on the left, turns to the right are the row's inner turns.
    """
    segments = outline.segments
    cuts = [_cut(before, after, radius) for before, after in pairwise((*segments, segments[0]))]
    if not any(cuts):
        return outline
    made: list[Segment] = []
    for i, segment in enumerate(segments):
        into, out = cuts[i - 1], cuts[i]
        start = into.from_t if into else 0.0
        end = out.until_t if out else 1.0
        if end < start:  # two turns want the same stretch: that row stays as it is
            return outline
        if end - start > 1e-9:
            made.append(segment if into is None and out is None else segment.part(start, end))
        if out:
            made.append(out.piece)
    return Outline(tuple(made))


def _cut(before: Segment, after: Segment, radius: float) -> Cut | None:
    """The arc in one corner, as wide as fits; None where there is no corner or no room."""
    out, into = before.tangent(1.0), after.tangent(0.0)
    if math.atan2(out.cross(into), out.dot(into)) > -SHARP:
        return None
    for part in PARTS:
        cut = rounded(before, after, part * radius)
        # half of a side for each of its two corners
        if cut and _share(before, cut.until_t, 1.0) and _share(after, 0.0, cut.from_t):
            return cut
    return None


def _share(segment: Segment, start: float, end: float) -> bool:
    """Whether what is taken leaves the other corner of the side its half."""
    if isinstance(segment, Line) or abs(segment.sweep) < math.pi:
        return end - start <= 0.5
    return True
