"""From a pose on to a way: a turn, a straight line, the first arc of the way where that touches."""

from __future__ import annotations

import math
from collections.abc import Iterator

from compiler.geometry import Arc, Line, Point, Segment
from compiler.paths.linking.joins import Ways
from compiler.paths.linking.pose import Pose

Way = tuple[Segment, ...]
SHORT = 1e-4  # mm: shorter pieces are left out
FIRST = 6  # pieces of a way that may be gone on to
TURNS = 4.0  # radii of turns that a line is gone on to from its start
BACK = 0.5  # mm that an arc may be begun before its start


def onto(pose: Pose, way: Way, radius: float) -> Iterator[Way]:
    """The ways on from a pose with turns of a radius, mm: the straight line after the first turn
    touches one of the way's first arcs, or another turn leads on to one of its first lines.

    With no radius there are corners in place of turns, and the last is straight to the way's start.
    """
    for k, segment in enumerate(way[:FIRST]):
        rest = way[k + 1 :]
        if isinstance(segment, Arc):
            both = [_tangent(pose, radius, hand, segment) for hand in (1, -1)]
            yield from ((*found, *rest) for found in both if found is not None)
        elif radius > 0 and segment.length > TURNS * radius:
            t = TURNS * radius / segment.length
            on, ahead = segment.at(t), segment.tangent()
            ways = Ways([pose], [(on.x, on.y, ahead.x, ahead.y)], [radius])
            for number, _ in ways.shortest(2):
                yield (*ways.way(number), segment.part(t, 1.0), *rest)
    place = Point(pose[0], pose[1])
    if radius == 0 and place.distance(way[0].start) > SHORT:
        yield (Line(place, way[0].start), *way)


def _tangent(pose: Pose, radius: float, hand: int, arc: Arc) -> list[Segment] | None:
    """A turn, the line that touches both circles, and what is left of the arc; hand 1 is left.

    With centres of turns to the left at positive radii s: the line's direction is that of the way
    between the centres, turned by the angle whose sine is (s2 - s1) over their distance (plane
    geometry).
    """
    place, ahead = Point(pose[0], pose[1]), Point(pose[2], pose[3])
    one, other = hand * radius, arc.radius if arc.ccw else -arc.radius
    centre = place.plus(ahead.left(), one)
    between = arc.centre.minus(centre)
    apart, aside = between.norm(), other - one
    if apart <= abs(aside):
        return None
    angle = between.angle() - math.asin(aside / apart)
    way = Point(math.cos(angle), math.sin(angle))
    leaves, meets = centre.plus(way.left(), -one), arc.centre.plus(way.left(), -other)
    rest = _rest(arc, meets)
    if rest is None:
        return None
    found: list[Segment] = []
    turn = (hand * math.atan2(ahead.cross(way), ahead.dot(way))) % math.tau
    if turn * radius > SHORT and turn < math.tau - SHORT:
        found.append(Arc(place, leaves, centre, hand > 0))
    else:
        leaves = place
    if leaves.distance(meets) > SHORT:
        found.append(Line(leaves, meets))
    else:
        rest = Arc(leaves, rest.end, rest.centre, rest.ccw)
    return [*found, rest]


def _rest(arc: Arc, start: Point) -> Arc | None:
    """The arc from another place on its circle on: further along, or a little before its start."""
    rest = Arc(start, arc.end, arc.centre, arc.ccw)
    more = (abs(rest.sweep) - abs(arc.sweep)) * arc.radius
    return rest if more < BACK and abs(rest.sweep) * arc.radius > SHORT else None
