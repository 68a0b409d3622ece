"""How far apart things are, and where: exact for lines and arcs."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import NamedTuple

from compiler.geometry.arcs import faces
from compiler.geometry.inside import InsideTest
from compiler.geometry.intersect import meetings
from compiler.geometry.outline import Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment


class Nearest(NamedTuple):
    """A least distance, mm, and the two places that have it: on the first thing, on the second."""

    distance: float
    on_first: Point
    on_second: Point

    def swapped(self) -> Nearest:
        """Seen from the second thing."""
        return Nearest(self.distance, self.on_second, self.on_first)


def point_distance(point: Point, segment: Segment) -> float:
    """Least distance from a point to a segment, mm; the quick form of `point_to_segment`."""
    px, py = point
    (sx, sy), (ex, ey) = segment.start, segment.end
    if isinstance(segment, Line):
        dx, dy = ex - sx, ey - sy
        t = ((px - sx) * dx + (py - sy) * dy) / (dx * dx + dy * dy)
        if t <= 0.0:
            return math.hypot(px - sx, py - sy)
        if t >= 1.0:
            return math.hypot(px - ex, py - ey)
        return math.hypot(px - sx - t * dx, py - sy - t * dy)
    if faces(segment, point):
        cx, cy = segment.centre
        return abs(math.hypot(px - cx, py - cy) - math.hypot(sx - cx, sy - cy))
    return min(math.hypot(px - sx, py - sy), math.hypot(px - ex, py - ey))


def point_to_segment(point: Point, segment: Segment) -> Nearest:
    """Least distance from a point to a segment, and the place on the segment that has it."""
    if isinstance(segment, Line):
        along = segment.end.minus(segment.start)
        t = point.minus(segment.start).dot(along) / along.dot(along)
        if t <= 0.0 or t >= 1.0:
            nearest = segment.start if t <= 0.0 else segment.end
        else:
            nearest = segment.at(t)
    elif faces(segment, point):
        outward = point.minus(segment.centre)
        away = outward.norm()
        if away == 0.0:
            nearest = segment.start
        else:
            nearest = segment.centre.plus(outward, segment.radius / away)
    elif point.distance(segment.start) <= point.distance(segment.end):
        nearest = segment.start
    else:
        nearest = segment.end
    return Nearest(point.distance(nearest), point, nearest)


def segment_to_segment(a: Segment, b: Segment) -> Nearest:
    """Least distance between two segments of any kind; 0 where they meet.

    The least distance of two curves that do not meet is at an end of one of them, or where one
    straight line stands square on both: for circles that line passes through the centres.
    """
    met = meetings(a, b)
    if met:
        return Nearest(0.0, met[0].at, met[0].at)
    found = [
        point_to_segment(a.start, b),
        point_to_segment(a.end, b),
        point_to_segment(b.start, a).swapped(),
        point_to_segment(b.end, a).swapped(),
    ]
    if isinstance(a, Arc) and isinstance(b, Arc):
        between = b.centre.minus(a.centre)
        if between.norm() > 0.0:
            along = between.unit()
            for sign in (1, -1):
                on_a = a.centre.plus(along, sign * a.radius)
                if faces(a, on_a):
                    found.append(point_to_segment(on_a, b))
    elif isinstance(a, Arc) and isinstance(b, Line):
        found += _square_on(b, a)
    elif isinstance(a, Line) and isinstance(b, Arc):
        found += [nearest.swapped() for nearest in _square_on(a, b)]
    return min(found, key=lambda nearest: nearest.distance)


def _square_on(line: Line, arc: Arc) -> list[Nearest]:
    """From the arc, along the two directions that stand square on the line, to the line."""
    normal = line.tangent().left()
    places = (arc.centre.plus(normal, arc.radius), arc.centre.plus(normal, -arc.radius))
    return [point_to_segment(place, line) for place in places if faces(arc, place)]


def point_to_region(point: Point, region: Region) -> Nearest:
    """Least distance from a point to a region, 0 inside. Raises ValueError for an empty region."""
    if InsideTest(region.segments()).contains(point):
        return Nearest(0.0, point, point)
    return point_to_boundary(point, region)


def point_to_boundary(point: Point, region: Region) -> Nearest:
    """Least distance from a point to the region's outlines, from within as from without."""
    segment = min(region.segments(), key=lambda s: point_distance(point, s))
    return point_to_segment(point, segment)


def segment_to_region(segment: Segment, region: Region) -> Nearest:
    """Least distance from a segment to a region; 0 where it enters the area.

    Raises ValueError for an empty region. For many segments against one region see `Clearance`.
    """
    return Clearance(region).of(segment)


class Clearance:
    """A region made ready for the question how near a segment comes to it."""

    def __init__(self, region: Region) -> None:
        """Raises ValueError for an empty region."""
        import numpy as np

        self._segments = tuple(region.segments())
        if not self._segments:
            raise ValueError("an empty region is at no distance from anything")
        self._inside = InsideTest(self._segments)
        self._boxes = np.array([s.bounds for s in self._segments]).T

    def of(self, segment: Segment) -> Nearest:
        """Least distance from the segment to the region; 0 where it enters the area."""
        import numpy as np

        if self._inside.contains(segment.start):
            return Nearest(0.0, segment.start, segment.start)
        low_x, low_y, high_x, high_y = segment.bounds
        dx = np.maximum(np.maximum(low_x - self._boxes[2], self._boxes[0] - high_x), 0.0)
        dy = np.maximum(np.maximum(low_y - self._boxes[3], self._boxes[1] - high_y), 0.0)
        at_least = np.hypot(dx, dy)
        best: Nearest | None = None
        for i in np.argsort(at_least, kind="stable"):
            if best is not None and at_least[i] >= best.distance:
                break
            found = segment_to_segment(segment, self._segments[i])
            if best is None or found.distance < best.distance:
                best = found
        assert best is not None
        return best

    def of_many(self, segments: Iterable[Segment]) -> tuple[Nearest, ...]:
        """The same for many segments."""
        return tuple(self.of(segment) for segment in segments)
