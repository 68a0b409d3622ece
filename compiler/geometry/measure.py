"""What limits the cutter: the smallest inside corner and the narrowest gap, with their places."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from compiler.geometry.distance import Nearest, point_distance, segment_to_segment
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import Box, SegmentGrid
from compiler.geometry.outline import Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Segment


class InsideCorner(NamedTuple):
    """The tightest place in the walls of what stands: its radius (0: sharp) and where it is."""

    radius: float
    at: Point


class Gap(NamedTuple):
    """A narrow place between walls: its width and the two points that face each other."""

    width: float
    first: Point
    second: Point

    @property
    def at(self) -> Point:
        """Its middle."""
        return self.first.plus(self.second.minus(self.first), 0.5)


def smallest_inside_corner(region: Region) -> InsideCorner | None:
    """The smallest concave radius of the region's outlines, 0 for a sharp one; None where convex.

    A cutter of a larger radius leaves material there.
    """
    found: list[InsideCorner] = []
    for outline in region.outlines:
        for i, segment in enumerate(outline.segments):
            before = outline.segments[i - 1]
            if before.tangent(1.0).cross(segment.tangent(0.0)) < -1e-3:
                found.append(InsideCorner(0.0, segment.start))
            if isinstance(segment, Arc) and not segment.ccw:
                found.append(InsideCorner(segment.radius, segment.at(0.5)))
    return min(found, default=None)


def narrowest_gap(region: Region, below: float = math.inf) -> Gap | None:
    """The narrowest place outside the region between two of its walls, if narrower than `below` mm.

    Walls of one outline that face each other over a slot count as well. A gap is where a disc just
    fits: no other wall comes into the circle whose diameter joins its two points. Only the smallest
    disc of each throat counts, so inside corners are no gaps.
    """
    segments = list(region.segments())
    if len(segments) < 2:
        return None
    test = InsideTest(segments)
    boxes = [s.bounds for s in segments]
    pairs = _by_box_distance(boxes, below)
    best: Gap | None = None
    for at_least, i, j in pairs:
        if best is not None and at_least >= best.width:
            break
        near = segment_to_segment(segments[i], segments[j])
        if near.distance <= 1e-9 or near.distance >= (best.width if best else below):
            continue
        if _is_gap(near, segments, test):
            best = Gap(near.distance, near.on_first, near.on_second)
    return best


def narrowest_gap_between(first: Region, second: Region) -> Gap | None:
    """Least distance between two regions that do not overlap, and where; None if one is empty."""
    ones, others = list(first.segments()), list(second.segments())
    best: Gap | None = None
    other_boxes = [s.bounds for s in others]
    for one in ones:
        box = one.bounds
        for other, other_box in zip(others, other_boxes, strict=True):
            if best is not None and _apart(box, other_box) >= best.width:
                continue
            near = segment_to_segment(one, other)
            if best is None or near.distance < best.width:
                best = Gap(near.distance, near.on_first, near.on_second)
    return best


def _by_box_distance(boxes: Sequence[Box], below: float) -> list[tuple[float, int, int]]:
    pairs = [
        (apart, i, j)
        for i in range(len(boxes))
        for j in range(i + 1, len(boxes))
        if (apart := _apart(boxes[i], boxes[j])) < below
    ]
    pairs.sort()
    return pairs


def _apart(a: Box, b: Box) -> float:
    dx = max(a[0] - b[2], b[0] - a[2], 0.0)
    dy = max(a[1] - b[3], b[1] - a[3], 0.0)
    return math.hypot(dx, dy)


def _is_gap(near: Nearest, segments: Sequence[Segment], test: InsideTest) -> bool:
    """Whether the disc on the line between the two points lies in the open, but for those two."""
    first, second = near.on_first, near.on_second
    middle = first.plus(second.minus(first), 0.5)
    if test.contains(middle):
        return False
    least = near.distance / 2 - max(1e-6, 1e-6 * near.distance)
    grid = SegmentGrid(segments, near.distance) if len(segments) > 400 else None
    for segment in grid.around(middle) if grid else segments:
        if point_distance(middle, segment) < least:
            return False
    return True
