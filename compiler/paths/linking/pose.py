"""Where the cutter stands in the plane, and which way it is headed."""

from __future__ import annotations

from compiler.geometry import Point

Pose = tuple[float, float, float, float]  # place, mm, and unit heading


def pose_of(place: Point, tangent: Point) -> Pose:
    """A place and the direction there."""
    return (place.x, place.y, tangent.x, tangent.y)
