"""Where two segments meet: crossings, tangencies, ends on the other, and the ends of overlaps."""

from __future__ import annotations

import math
from typing import NamedTuple

from compiler.geometry.arcs import faces, fraction
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.tolerance import TOUCH


class Meeting(NamedTuple):
    """A place that lies on both segments: the fraction along the first, and along the second."""

    at: Point
    t: float
    u: float


def meetings(a: Segment, b: Segment, tolerance: float = TOUCH) -> tuple[Meeting, ...]:
    """All places where `a` and `b` come within `tolerance` mm, in order along `a`.

    A crossing or a tangency is one meeting. An overlap is given by its two ends. An end of one that
    lies on the other is a meeting at exactly that end.
    """
    found: list[Meeting] = []
    ends = (
        (b.start, None, 0.0),
        (b.end, None, 1.0),
        (a.start, 0.0, None),
        (a.end, 1.0, None),
    )
    for point, t, u in ends:
        t = _on(a, point, tolerance) if t is None else t
        u = _on(b, point, tolerance) if u is None and t is not None else u
        if t is not None and u is not None:
            _add(found, Meeting(point, t, u), tolerance)
    for point in _of_whole_curves(a, b, tolerance):
        if any(m.at.distance(point) <= 2 * tolerance for m in found):
            continue
        t, u = _on(a, point, 2 * tolerance), _on(b, point, 2 * tolerance)
        if t is not None and u is not None:
            found.append(Meeting(point, t, u))
    return tuple(sorted(found, key=lambda m: (m.t, m.u)))


def _add(found: list[Meeting], meeting: Meeting, tolerance: float) -> None:
    if all(m.at.distance(meeting.at) > tolerance for m in found):
        found.append(meeting)


def _on(segment: Segment, point: Point, tolerance: float) -> float | None:
    """The fraction along the segment at which the point lies, or None if it lies off it."""
    px, py = point
    (sx, sy), (ex, ey) = segment.start, segment.end
    if abs(px - sx) <= tolerance and abs(py - sy) <= tolerance:
        return 0.0
    if abs(px - ex) <= tolerance and abs(py - ey) <= tolerance:
        return 1.0
    if isinstance(segment, Line):
        dx, dy = ex - sx, ey - sy
        square = dx * dx + dy * dy
        if square == 0.0:
            return None
        if abs(dx * (py - sy) - dy * (px - sx)) > tolerance * math.sqrt(square):
            return None
        t = ((px - sx) * dx + (py - sy) * dy) / square
        return t if 0.0 <= t <= 1.0 else None
    cx, cy = segment.centre
    off = math.hypot(px - cx, py - cy) - math.hypot(sx - cx, sy - cy)
    if abs(off) > tolerance or not faces(segment, point):
        return None
    return fraction(segment, point)


def _of_whole_curves(a: Segment, b: Segment, tolerance: float) -> tuple[Point, ...]:
    """Where the whole line or circle of one meets that of the other; () where they coincide."""
    if isinstance(a, Line):
        if isinstance(b, Line):
            return _line_line(a, b)
        return _line_circle(a, b, tolerance)
    if isinstance(b, Line):
        return _line_circle(b, a, tolerance)
    return _circle_circle(a, b, tolerance)


def _line_line(a: Line, b: Line) -> tuple[Point, ...]:
    along_a, along_b = a.end.minus(a.start), b.end.minus(b.start)
    cross = along_a.cross(along_b)
    if abs(cross) <= 1e-13 * along_a.norm() * along_b.norm():
        return ()
    t = b.start.minus(a.start).cross(along_b) / cross
    return (a.at(t),)


def _line_circle(line: Line, arc: Arc, tolerance: float) -> tuple[Point, ...]:
    along = line.end.minus(line.start)
    length = along.norm()
    if length == 0.0:
        return ()
    along = along.times(1 / length)
    foot = line.start.plus(along, arc.centre.minus(line.start).dot(along))
    height, radius = foot.distance(arc.centre), arc.radius
    if abs(height - radius) <= tolerance:
        return (foot,)
    if height > radius:
        return ()
    reach = math.sqrt((radius - height) * (radius + height))
    return (foot.plus(along, -reach), foot.plus(along, reach))


def _circle_circle(a: Arc, b: Arc, tolerance: float) -> tuple[Point, ...]:
    between = b.centre.minus(a.centre)
    apart, ra, rb = between.norm(), a.radius, b.radius
    if apart > ra + rb + tolerance or apart < abs(ra - rb) - tolerance or apart <= 1e-12:
        return ()
    along = between.times(1 / apart)
    if apart >= ra + rb - tolerance:
        return (a.centre.plus(along, ra),)
    if apart <= abs(ra - rb) + tolerance:
        if apart <= tolerance:
            return ()  # the same circle: only ends count
        return (a.centre.plus(along, ra if ra > rb else -ra),)
    off = (apart * apart + (ra - rb) * (ra + rb)) / (2 * apart)
    reach = math.sqrt(max(0.0, (ra - off) * (ra + off)))
    foot = a.centre.plus(along, off)
    return (foot.plus(along.left(), -reach), foot.plus(along.left(), reach))
