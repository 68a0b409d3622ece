"""What limits the cutter: the smallest inside corner and the narrowest gap, with their places."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from compiler.geometry.distance import Nearest, point_distance, point_to_segment, segment_to_segment
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import apart, near_pairs
from compiler.geometry.outline import Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment


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


FAR_SHARE = 0.15  # of a region's size: within so much of each other lie too many walls to sort out


class TooManyWallsError(Exception):
    """So many walls lie near one another that looking across between them all takes too long."""


def narrowest_gap(
    region: Region, below: float = math.inf, most_pairs: float = math.inf
) -> Gap | None:
    """The narrowest place outside the region between two of its walls, if narrower than `below` mm.

    Raises TooManyWallsError where more than `most_pairs` pairs of walls would have to be looked at.

    Walls of one outline that face each other over a slot count as well. A gap is where a disc just
    fits: no other wall comes into the circle whose diameter joins its two points. Only the smallest
    disc of each throat counts, so inside corners are no gaps.
    """
    walls = _Walls(region, most_pairs)
    if not walls.segments:
        return None
    low_x, low_y, high_x, high_y = region.bounds
    size = math.hypot(high_x - low_x, high_y - low_y)
    # look near at hand first: most pairs need never be measured
    margin = min(below, size / 100)
    while True:
        found = walls.narrowest(margin)
        if found is not None or margin >= min(below, size):
            return found
        margin = min(4 * margin if 4 * margin < walls.far else size, below)


def thinnest_web(
    region: Region, below: float = math.inf, most_pairs: float = math.inf
) -> Gap | None:
    """The thinnest place of the region between two of its walls, if thinner than `below` mm.

    The narrowest gap of all that is not the region. None for a disc, whose wall faces itself.
    Raises TooManyWallsError as `narrowest_gap` does.
    """
    if region.is_empty:
        return None
    low_x, low_y, high_x, high_y = region.bounds
    far = 2 * math.hypot(high_x - low_x, high_y - low_y) + 1.0
    corners = [
        Point(low_x - far, low_y - far),
        Point(high_x + far, low_y - far),
        Point(high_x + far, high_y + far),
        Point(low_x - far, high_y + far),
    ]
    around = Outline(tuple(Line(a, b) for a, b in pairwise([*corners, corners[0]])))
    return narrowest_gap(
        Region((around, *(each.reversed() for each in region.outlines))), below, most_pairs
    )


class _Walls:
    """A region's segments, ready for looking across from one to another."""

    def __init__(self, region: Region, most_pairs: float) -> None:
        self._left = most_pairs
        self.segments = list(region.segments())
        low_x, low_y, high_x, high_y = region.bounds if self.segments else (0.0,) * 4
        self.far = FAR_SHARE * math.hypot(high_x - low_x, high_y - low_y)
        self._boxes = [s.bounds for s in self.segments]
        self._test = InsideTest(self.segments)
        self._before: list[Segment] = []
        self._after: list[Segment] = []
        for outline in region.outlines:
            segments = outline.segments
            self._before += [segments[i - 1] for i in range(len(segments))]
            self._after += [*segments[1:], segments[0]]
        self._looks = [
            _looks_to(*walls)
            for walls in zip(self._before, self.segments, self._after, strict=True)
        ]

    def narrowest(self, below: float) -> Gap | None:
        """The narrowest gap of less than `below` mm."""
        best: Gap | None = None
        pairs = sorted(self._pairs(below))
        for at_least, i, j in pairs:
            most = best.width if best is not None else below
            if at_least >= most:
                break
            for near in _facing(self.segments[i], self.segments[j]):
                if 1e-9 < near.distance < most and self._is_gap(near, i, j):
                    best = Gap(near.distance, near.on_first, near.on_second)
                    break
        return best

    def _pairs(self, below: float) -> Iterator[tuple[float, int, int]]:
        """Pairs that may face each other, with the least distance that they may have."""
        for i, j in self._all_pairs() if below >= self.far else self._near_pairs(below):
            if self._opposed(i, j) and self._ahead(i, j) and self._ahead(j, i):
                yield apart(self._boxes[i], self._boxes[j]), i, j

    def _near_pairs(self, below: float) -> Iterator[tuple[int, int]]:
        """Pairs that come within `below` of each other, the work counted."""
        for pair in near_pairs(self._boxes, below):
            self._spend(1)
            yield pair

    def _all_pairs(self) -> Iterator[tuple[int, int]]:
        """Every pair that may look at each other, by rows: where most are near, telling near ones
        apart costs more than asking all."""
        import numpy as np

        looks, spreads = np.array(self._looks).T
        for i in range(len(looks) - 1):
            self._spend(len(looks) - 1 - i)
            off = looks[i + 1 :] - looks[i] - math.pi
            off -= math.tau * np.round(off / math.tau)
            # a hair more than `_opposed` asks, which has the last word
            maybe = np.abs(off) <= spreads[i + 1 :] + spreads[i] + 1e-9
            yield from ((i, i + 1 + j) for j in np.flatnonzero(maybe).tolist())

    def _spend(self, pairs: int) -> None:
        self._left -= pairs
        if self._left < 0:
            raise TooManyWallsError

    def _opposed(self, i: int, j: int) -> bool:
        """Whether some direction square off segment i is the reverse of one off segment j."""
        (one, spread), (other, more) = self._looks[i], self._looks[j]
        return abs(math.remainder(one + math.pi - other, math.tau)) <= spread + more

    def _ahead(self, i: int, j: int) -> bool:
        """Whether something of segment j lies on the outer side of segment i; true if unsure."""
        one, other = self.segments[i], self.segments[j]
        if isinstance(one, Arc) or isinstance(other, Arc):
            return True
        (sx, sy), (ex, ey) = one.start, one.end
        dx, dy = ex - sx, ey - sy
        return any(dx * (y - sy) - dy * (x - sx) < 0.0 for x, y in (other.start, other.end))

    def _is_gap(self, near: Nearest, i: int, j: int) -> bool:
        """Whether the disc on the line between the two points lies in the open, but for those."""
        first, second = near.on_first, near.on_second
        if not (self._is_least(i, first, second) and self._is_least(j, second, first)):
            return False
        middle = first.plus(second.minus(first), 0.5)
        if self._test.contains(middle):
            return False
        least = near.distance / 2 - max(1e-6, 1e-6 * near.distance)
        around = (*middle, *middle)
        return not any(
            apart(around, box) < least and point_distance(middle, segment) < least
            for segment, box in zip(self.segments, self._boxes, strict=True)
        )

    def _is_least(self, i: int, here: Point, there: Point) -> bool:
        """Whether the wall leads away from `there` on both sides of `here`, on segment i."""
        across = there.minus(here)
        limit = 1e-6 * across.norm()
        segment = self.segments[i]
        if here.distance(segment.start) <= 1e-9:
            back = self._before[i].tangent(1.0).times(-1)
            return back.dot(across) <= limit and segment.tangent(0.0).dot(across) <= limit
        if here.distance(segment.end) <= 1e-9:
            onward = self._after[i].tangent(0.0)
            return onward.dot(across) <= limit and -segment.tangent(1.0).dot(across) <= limit
        return True


def _looks_to(before: Segment, segment: Segment, after: Segment) -> tuple[float, float]:
    """The directions in which a wall looks out, its ends' corners with it: the middle one, and how
    far to either side. Of walls round a hole of many chords few look at each other."""
    start, end = segment.tangent(0.0), segment.tangent(1.0)
    into, on = before.tangent(1.0), after.tangent(0.0)
    turned = segment.sweep if isinstance(segment, Arc) else 0.0
    # angles from the wall's own first direction; outwards is a quarter turn to the right
    angles = (
        0.0,
        -math.atan2(into.cross(start), into.dot(start)),
        turned,
        turned + math.atan2(end.cross(on), end.dot(on)),
    )
    low, high = min(angles), max(angles)
    spread = (high - low) / 2
    # a corner that folds back on itself may turn either way
    folds = min(into.dot(start), end.dot(on)) < -0.999999
    middle = start.angle() - math.pi / 2 + (low + high) / 2
    return middle, math.pi if folds else spread + 1e-4


def _facing(a: Segment, b: Segment) -> list[Nearest]:
    """Where two segments are nearest; for parallel lines also the middle of where they face."""
    near = segment_to_segment(a, b)
    if isinstance(a, Arc) or isinstance(b, Arc):
        return [near]
    along = a.tangent()
    if abs(along.cross(b.tangent())) > 1e-9:
        return [near]
    stops = sorted(point.minus(a.start).dot(along) for point in (b.start, b.end))
    low, high = max(0.0, stops[0]), min(a.length, stops[1])
    if high <= low:
        return [near]
    middle = a.start.plus(along, (low + high) / 2)
    return [near, point_to_segment(middle, b)]


def narrowest_gap_between(first: Region, second: Region) -> Gap | None:
    """Least distance between two regions that do not overlap, and where; None if one is empty."""
    ones, others = list(first.segments()), list(second.segments())
    best: Gap | None = None
    other_boxes = [s.bounds for s in others]
    for one in ones:
        box = one.bounds
        for other, other_box in zip(others, other_boxes, strict=True):
            if best is not None and apart(box, other_box) >= best.width:
                continue
            near = segment_to_segment(one, other)
            if best is None or near.distance < best.width:
                best = Gap(near.distance, near.on_first, near.on_second)
    return best
