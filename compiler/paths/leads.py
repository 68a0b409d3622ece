"""Tangent ways on to a wall and off it again."""

from __future__ import annotations

from compiler.geometry import Arc
from compiler.paths.run import Course


def quarter(
    way: Course, at: float, radius: float, climbing: bool, *, coming: bool
) -> tuple[Arc, ...]:
    """A quarter circle on to (or off) the course at a length along it, from the side of the air.

    Climbing the wall lies on the right of travel, so the air is on the left.
    """
    touch, along = way.point(at), way.tangent(at)
    away = along.left() if climbing else along.left().times(-1)
    centre = touch.plus(away, radius)
    if coming:
        return (Arc(centre.plus(along, -radius), touch, centre, climbing),)
    return (Arc(touch, centre.plus(along, radius), centre, climbing),)
