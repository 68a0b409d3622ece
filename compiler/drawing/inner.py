"""A point well inside an outline: to name a loop by, in a job or a message."""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.geometry import Point
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.geometry.segment import Segment

GRIDS = (12, 48)  # places tried along each side, the finer only where the coarser finds none


def inner_point(segments: Sequence[Segment]) -> Point:
    """A point inside the closed outlines, holes left out, with room round it where there is some.

    Round figures come first: of the middle and the grid's points the one with most room.
    """
    boxes = [s.bounds for s in segments]
    low_x, low_y = min(b[0] for b in boxes), min(b[1] for b in boxes)
    wide, high = max(b[2] for b in boxes) - low_x, max(b[3] for b in boxes) - low_y
    test = InsideTest(segments)
    for count in GRIDS:
        steps = [i / count for i in range(1, count)]
        grid = (Point(low_x + wide * s, low_y + high * t) for s in steps for t in steps)
        inside = [p for p in grid if test.contains(p)]
        if inside:
            return _roomiest(inside, segments)
    longest = max(segments, key=lambda s: s.length)
    middle, aside = longest.at(0.5), longest.tangent(0.5).left()
    beside = (middle.plus(aside, side * reach) for reach in (0.1, 0.01, 0.001) for side in (1, -1))
    return next((p for p in beside if test.contains(p)), middle)


def _roomiest(points: Sequence[Point], segments: Sequence[Segment]) -> Point:
    """The point farthest from all segments; the first of several.

    A point is given up at the first segment that is no farther than the best so far; the segment
    that ruled the last one out is asked first, since it is likely near the next.
    """
    order = list(segments)
    best, room = points[0], 0.0
    for point in points:
        least = math.inf
        for i, segment in enumerate(order):
            least = min(least, point_distance(point, segment))
            if least <= room:
                order[0], order[i] = order[i], order[0]
                break
        else:
            best, room = point, least
    return best
