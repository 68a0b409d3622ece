"""Where a cutter goes down where there is neither air nor cleared area: a place for a helix."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from compiler.geometry import Arc, Point
from compiler.motion import Role
from compiler.paths.sets import CHORD, SLIVER
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.task import Area, Task

WIDEST = 0.9  # of the cutter's radius: a wider helix would leave a post
STEPS = (1.0, 0.8, 0.6, 0.45, 0.3, 0.2, 0.1)


def seed(task: Task, near: Point) -> Stroke | None:
    """The level last turn of a helix as near to a place as one fits; None where none does.

    The turn's radius is the author's, else the widest that fits, up to 0.9 of the cutter's and
    down to what the cutter's end bears (`least_helix`).
    """
    widest = WIDEST * task.radius
    if task.helix_radius is not None:
        candidates = [min(task.helix_radius, task.radius)]
    else:
        candidates = [widest * part for part in STEPS if widest * part >= task.least_helix]
    room = _piece_at(task.centres, near)
    for radius in candidates:
        inner = room.buffer(-(radius + SLIVER))
        if inner.is_empty:
            continue
        place = shapely.Point(near)
        at = place if inner.covers(place) else nearest_points(inner, place)[0]
        return turn_round(Point(at.x, at.y), radius, climb=task.direction != "conventional")
    return None


def turn_round(centre: Point, radius: float, climb: bool) -> Stroke:
    """A full turn as two half arcs: counter-clockwise to climb, the material being outside."""
    east, west = Point(centre.x + radius, centre.y), Point(centre.x - radius, centre.y)
    halves = (Arc(east, west, centre, climb), Arc(west, east, centre, climb))
    return Stroke(tuple(Piece(half, Role.CUT) for half in halves), Way.BORE, closed=True)


def _piece_at(area: Area, near: Point) -> BaseGeometry:
    """The connected piece of the area that the place lies in or is nearest to."""
    place = shapely.Point(near)
    parts = shapely.get_parts(area)
    best = min(parts, key=lambda part: (round(part.distance(place), 9), part.bounds))
    grown: BaseGeometry = best.buffer(CHORD)
    return grown
