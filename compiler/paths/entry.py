"""Where a cutter goes down where there is neither air nor cleared area: a helix, else a ramp."""

from __future__ import annotations

from collections.abc import Iterator

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from compiler.geometry import Arc, Line, Point
from compiler.motion import Role
from compiler.paths.sets import CHORD, SLIVER, area_of
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.task import Area, Task

WIDEST = 0.9  # of the cutter's radius: a wider helix would leave a post
STEPS = (1.0, 0.8, 0.6, 0.45, 0.3, 0.2, 0.1)
LEAST_RAMP = 0.2  # of the radius: a shorter ramp to and fro is no more than a plunge
LONGEST_RAMP = 4.0  # times the radius


def seeds(task: Task, near: Point) -> Iterator[Stroke]:
    """Ways down near a place, the best first: the level last turn of a helix, else a ramp's line.

    A turn's radius is the author's, else the widest that fits, up to 0.9 of the cutter's and
    down to what the cutter's end bears (`least_helix`). Where none fits, a ramp to and fro by a
    cutter that cuts to its centre.
    """
    widest = WIDEST * task.radius
    if task.helix_radius is not None:
        candidates = [min(task.helix_radius, task.radius)]
    else:
        candidates = [widest * part for part in STEPS if widest * part >= task.least_helix]
    room = _piece_at(task.centres, near)
    place = shapely.Point(near)
    for radius in candidates:
        inner = room.buffer(-(radius + SLIVER))
        if inner.is_empty:
            continue
        at = place if inner.covers(place) else nearest_points(inner, place)[0]
        yield turn_round(Point(at.x, at.y), radius, climb=task.direction != "conventional")
    if not task.centre_cutting:  # at both ends of a ramp its dead centre would stand still
        return
    line = _longest_line(room)
    # a shorter line than the helix is wide would leave a post
    if line is not None and line.length >= max(LEAST_RAMP * task.radius, 2 * task.least_helix):
        yield Stroke((Piece(_no_longer(line, LONGEST_RAMP * task.radius)),), Way.BORE)


def turn_round(centre: Point, radius: float, climb: bool) -> Stroke:
    """A full turn as two half arcs: counter-clockwise to climb, the material being outside."""
    east, west = Point(centre.x + radius, centre.y), Point(centre.x - radius, centre.y)
    halves = (Arc(east, west, centre, climb), Arc(west, east, centre, climb))
    return Stroke(tuple(Piece(half, Role.CUT) for half in halves), Way.BORE, closed=True)


def _longest_line(room: BaseGeometry) -> Line | None:
    """A long straight line within the room, along its greatest extent."""
    inner = area_of(room.buffer(-SLIVER / 2))
    if inner.is_empty:
        return None
    box = inner.minimum_rotated_rectangle
    if not isinstance(box, Polygon):
        return None
    a, b, c, _ = (Point(*corner) for corner in box.exterior.coords[:4])
    along = b.minus(a) if a.distance(b) >= b.distance(c) else c.minus(b)
    circle = shapely.maximum_inscribed_circle(inner, tolerance=CHORD)
    middle = Point(*circle.coords[0])
    across = LineString([middle.plus(along, -1.0), middle.plus(along, 1.0)]).intersection(inner)
    parts = [p for p in shapely.get_parts(across) if isinstance(p, LineString)]
    best = max(parts, key=lambda part: round(part.length, 6), default=None)
    return None if best is None else Line(Point(*best.coords[0]), Point(*best.coords[-1]))


def _no_longer(line: Line, length: float) -> Line:
    """The line's middle part of at most that length."""
    if line.length <= length:
        return line
    half = length / line.length / 2
    return Line(line.at(0.5 - half), line.at(0.5 + half))


def _piece_at(area: Area, near: Point) -> BaseGeometry:
    """The connected piece of the area that the place lies in or is nearest to."""
    place = shapely.Point(near)
    parts = shapely.get_parts(area)
    best = min(parts, key=lambda part: (round(part.distance(place), 9), part.bounds))
    grown: BaseGeometry = best.buffer(CHORD)
    return grown
