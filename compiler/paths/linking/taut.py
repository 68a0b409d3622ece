"""A way round what stands as a string lies: straight lines, and arcs round what it bends at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.polygon import orient

from compiler.geometry import Arc, Line, Point, Segment
from compiler.paths.linking.detour import edges_of, shortest
from compiler.paths.run import polyline
from compiler.paths.sets import area_of, polygons
from compiler.paths.task import Area

Floats = NDArray[np.float64]
OFF = 0.2  # mm that the string keeps within what is clear
HAIR = 0.01  # mm by which a string may see past the corners that it lies at
FINE = 0.02  # mm that outlines are simplified by
ABOUT = 1.5  # mm beside the way that was found: there the string lies
BEND = 1e-3  # rad: a lesser turn is none
LEG = 12.0  # mm: a longer straight piece is one of the way, a shorter one may be a chord of an arc
OUTSTANDS = 2.0  # times the others: so does one that is longer than they are
WIDEST = math.radians(150)  # that an arc turns through
SHARES = (1.0, 0.7, 0.4, 0.2)  # of the longest tangents of an arc, tried in turn
SHORT = 1e-6  # mm


def taut(corners: Sequence[Point], clear: Area) -> tuple[Segment, ...] | None:
    """Lines and arcs near a way through places (ends included) in an area, as short as may be.

    None where it can't be kept `OFF` the area's edges, or has no length there.
    """
    way = LineString(corners)
    around = area_of(clear.intersection(way.buffer(4 * ABOUT, quad_segs=2)).simplify(FINE))
    inner = area_of(around.buffer(-OFF, join_style="mitre"))
    if inner.is_empty:
        return None
    ends = [_inside(inner, corners[0]), _inside(inner, corners[-1])]
    places = np.vstack([ends, _bends(inner, way)])
    found = shortest(places, edges_of(area_of(around.buffer(HAIR - OFF, join_style="mitre"))))
    if len(found) < 2:
        return None
    shapely.prepare(around)
    return tuple(_rounded([Point(x, y) for x, y in places[found].tolist()], around)) or None


def _inside(area: Area, place: Point) -> Floats:
    """The place of an area that is nearest to one."""
    line = shapely.shortest_line(area, shapely.Point(place))
    found: Floats = shapely.get_coordinates(line)[0]
    return found


def _bends(area: Area, way: LineString) -> Floats:
    """Where a string in the area may bend, near a way: corners of what stands, n x 2."""
    found = [np.empty((0, 2))]
    for polygon in polygons(area):
        whole = orient(polygon)
        for ring in (whole.exterior, *whole.interiors):
            xy = shapely.get_coordinates(ring)[:-1]
            into, out = xy - np.roll(xy, 1, axis=0), np.roll(xy, -1, axis=0) - xy
            turn = into[:, 0] * out[:, 1] - into[:, 1] * out[:, 0]
            length = np.hypot(*into.T) * np.hypot(*out.T)
            found.append(xy[turn < -math.sin(BEND) * length])
    xy = np.vstack(found)
    near: Floats = xy[shapely.dwithin(way, shapely.points(xy), ABOUT)]
    return near


def _rounded(string: Sequence[Point], clear: Area) -> list[Segment]:
    """A string through places as lines with arcs tangent to them, as few as there is room for."""
    edges = [Line(a, b) for a, b in pairwise(string)]
    last = len(edges) - 1
    turns = [_turn(a, b) for a, b in pairwise(edges)]
    legs = [
        k
        for k, edge in enumerate(edges)
        if k in (0, last) or edge.length > LEG or turns[k - 1] * turns[k] < 0
    ]
    arcs = [arc for a, b in pairwise(legs) for arc in _arcs(edges, a, b, clear)]
    found: list[Segment] = []
    at = string[0]
    for piece in (*arcs, None):
        to = string[-1] if piece is None else piece.start
        if at.distance(to) > SHORT:
            found.append(Line(at, to))
        if piece is not None:
            found.append(piece)
            at = piece.end
    return found


def _arcs(edges: Sequence[Line], a: int, b: int, clear: Area) -> list[Segment]:
    """Arcs from one edge of a string to another: one if there is room, else by an edge between.

    Where there is room for none, as at a corner in a narrow place, the edges between.
    """
    arc = _arc(edges, a, b, clear)
    if arc is not None:
        return [arc]
    if b - a == 1:
        return []
    inner = range(a + 1, b)
    middle = max(inner, key=lambda k: edges[k].length)
    others = [edges[k].length for k in inner if k != middle]
    if others and edges[middle].length < OUTSTANDS * sum(others) / len(others):
        # all are chords: by the one at which half the turn is done
        half = _turn(edges[a], edges[b]) / 2
        middle = min(inner, key=lambda k: abs(_turn(edges[a], edges[k]) - half))
    return _arcs(edges, a, middle, clear) + _arcs(edges, middle, b, clear)


def _arc(edges: Sequence[Line], a: int, b: int, clear: Area) -> Arc | None:
    """The widest arc tangent to two edges of a string that has room."""
    into, out = edges[a], edges[b]
    angle = _turn(into, out)
    if not BEND < abs(angle) < WIDEST:
        return None
    one, other = into.tangent(), out.tangent()
    # where the two would meet: so far beyond the end of the one and before the start of the other
    gap = out.start.minus(into.end)
    beyond = gap.cross(other) / one.cross(other)
    before = gap.cross(one) / other.cross(one)
    if beyond < -SHORT or before < -SHORT:
        return None
    corner = into.end.plus(one, beyond)
    most = min(beyond, before) if b - a > 1 else min(into.length, out.length) / 2
    if most < SHORT:
        return None
    left = angle > 0
    for share in SHARES:
        long = share * most
        start, end = corner.plus(one, -long), corner.plus(other, long)
        radius = long / math.tan(abs(angle) / 2)
        centre = start.plus(one.left(), radius if left else -radius)
        arc = Arc(start, end, centre, left)
        if clear.covers(LineString(polyline([arc]))):
            return arc
    return None


def _turn(a: Line, b: Line) -> float:
    """From the direction of one line to that of another, rad, to the left."""
    one, other = a.tangent(), b.tangent()
    return math.atan2(one.cross(other), one.dot(other))
