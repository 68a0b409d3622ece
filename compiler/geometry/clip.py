"""The parts of a path that lie inside or outside a region."""

from __future__ import annotations

import itertools
from typing import Literal

from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.geometry.intersect import meetings
from compiler.geometry.near import SegmentGrid, overlap
from compiler.geometry.outline import Chain, Outline, Region
from compiler.geometry.segment import Segment
from compiler.geometry.trace import joined

ALONG = 1e-6
"""A path this near to the boundary runs along it, mm."""


def clip(
    path: Chain | Outline,
    region: Region,
    keep: Literal["inside", "outside"],
    along: float = ALONG,
) -> tuple[Chain | Outline, ...]:
    """The stretches of a path inside (or outside) a region, in the order and sense of the path.

    What runs along the boundary, within `along` mm, is kept either way. An outline that is kept
    whole comes back whole as an Outline; otherwise everything is a Chain. A stretch of an outline
    that passes over its first point comes as one.
    """
    boundary = list(region.segments())
    test = InsideTest(boundary)
    grid = SegmentGrid(boundary, along)
    kept: list[list[Segment]] = []
    cut_before = True
    lost = False
    for segment in path.segments:
        for part in _parts(segment, grid):
            middle = part.at(0.5)
            inside = test.contains(middle)
            if inside != (keep == "inside") and not (
                any(point_distance(middle, s) <= along for s in grid.around(middle))
            ):
                cut_before = lost = True
                continue
            if cut_before:
                kept.append([])
            kept[-1].append(part)
            cut_before = False
    if isinstance(path, Outline):
        if not lost:
            return (path,)
        if not cut_before and kept and kept[0][0].start == path.segments[0].start:
            # runs on over the first point
            kept[0] = kept.pop() + kept[0] if len(kept) > 1 else kept[0]
    return tuple(Chain(tuple(joined(run, closed=False))) for run in kept)


def _parts(segment: Segment, boundary: SegmentGrid) -> list[Segment]:
    """The segment, cut where it meets the boundary."""
    box = segment.bounds
    cuts = {0.0, 1.0}
    for other in boundary.touching(box):
        if overlap(box, other.bounds, 1e-6):
            cuts.update(met.t for met in meetings(segment, other))
    length = segment.length
    stops = [0.0]
    for t in sorted(cuts):
        if (t - stops[-1]) * length > 1e-6 and (1.0 - t) * length > 1e-6:
            stops.append(t)
    stops.append(1.0)
    if len(stops) == 2:
        return [segment]
    return [segment.part(t0, t1) for t0, t1 in itertools.pairwise(stops)]
