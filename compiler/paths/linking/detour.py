"""A short way at depth round what stands in the straight one, through air all the way."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from compiler.compiled import compiled
from compiler.geometry import Point
from compiler.paths.progress import Progress
from compiler.paths.sets import area_of
from compiler.paths.task import Area
from compiler.paths.tiles import Box

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
CLEAR = 0.1  # mm of air that the way keeps all round
ROOM = 0.4  # mm that bends keep beyond that, to be few and quick
ASIDE = 0.5  # mm off the ends where these touch what stands beside them
FARTHEST = 8.0  # times the radius: how far round both places the way is looked for
CORNERS = 200  # the way bends at no more places than these
QUADS = 12  # chords to a quarter circle: 0.2 % of the radius inside the true circle, within CLEAR
COARSE = 0.02  # mm: outlines of material are taken no finer

_ROUND = np.array([(math.cos(k * math.pi / 8), math.sin(k * math.pi / 8)) for k in range(16)])


def detour(
    start: Point, end: Point, progress: Progress, allowed: Area, longest: float
) -> tuple[list[Point], Area] | None:
    """Places to pass between start and end, the cutter in air from the first to the last of them;
    and where it is in air thereabouts.

    About the shortest way; None where there is none of `longest` mm.
    """
    if longest <= start.distance(end):
        return None
    box = _within(start, end, longest, FARTHEST * progress.radius)
    clear = _clear(box, progress, allowed)
    corners = _corners(clear)
    if corners is None:
        return None
    shapely.prepare(clear)
    first = _off(start, clear, progress, allowed)
    last = _off(end, clear, progress, allowed)
    if not first or not last:
        return None
    places = np.array([*first, *last, *corners])
    way = _shortest(places, len(first), len(last), edges_of(clear), longest)
    found = [Point(x, y) for x, y in places[way].tolist()]
    return (found, clear) if found else None


def shortest(places: Floats, edges: Floats) -> Ints:
    """The numbers of the places (n x 2) on the shortest way from the first to the second, past no
    edge (n x 4); none where there is no way.
    """
    return _shortest(places, 1, 1, edges, math.inf)


def _within(start: Point, end: Point, longest: float, margin: float) -> Box:
    """The box about all ways between the places no longer than that, no wider than the margin.

    They lie in an ellipse with the places as its foci (plane geometry).
    """
    across = end.minus(start)
    half, heading = longest / 2, across.angle()
    least = math.sqrt(longest**2 - across.norm() ** 2) / 2
    wide = math.hypot(half * math.cos(heading), least * math.sin(heading))
    high = math.hypot(half * math.sin(heading), least * math.cos(heading))
    middle = start.plus(across, 0.5)
    low_x, low_y, high_x, high_y = LineString([start, end]).bounds
    return (
        max(middle.x - wide, low_x - margin),
        max(middle.y - high, low_y - margin),
        min(middle.x + wide, high_x + margin),
        min(middle.y + high, high_y + margin),
    )


def _clear(box: Box, progress: Progress, allowed: Area) -> Area:
    """Centres in the box where the cutter has air all round."""
    reach = progress.radius + CLEAR
    material = progress.left_in(shapely.box(*box).buffer(reach, join_style="mitre"))
    free = area_of(shapely.clip_by_rect(allowed, *box))
    if material.is_empty:
        return free
    kept = material.simplify(COARSE).buffer(reach + COARSE, quad_segs=QUADS)
    return area_of(free.difference(kept))


def _corners(clear: Area) -> list[Point] | None:
    """Where a quickest way may bend: vertices of a coarser outline kept within the clear."""
    coarse = area_of(clear.buffer(-ROOM, quad_segs=2).simplify(0.8 * ROOM))
    found: list[Point] = []
    for part in shapely.get_parts(coarse):
        for ring in (part.exterior, *part.interiors):
            found += [Point(x, y) for x, y in ring.coords[:-1]]
    return found if len(found) <= CORNERS else None


def _off(place: Point, clear: Area, progress: Progress, allowed: Area) -> list[Point]:
    """The place itself where it has air all round, else places a little off it that have."""
    if shapely.contains_xy(clear, place.x, place.y):
        return [place]
    around = np.array(place) + ASIDE * _ROUND
    around = around[shapely.contains_xy(clear, around)]
    lines = shapely.linestrings([[place, at] for at in around.tolist()]) if len(around) else []
    ways = zip(around.tolist(), lines, strict=True)
    return [Point(*at) for at, line in ways if allowed.covers(line) and progress.is_free(line)]


def edges_of(area: Area) -> Floats:
    """The edges of an area, n x 4."""
    rings = shapely.get_rings(shapely.get_parts(area))
    xy, part = shapely.get_coordinates(rings, return_index=True)
    follows = part[:-1] == part[1:]
    return np.hstack([xy[:-1][follows], xy[1:][follows]])


@compiled
def _shortest(places: Floats, firsts: int, lasts: int, edges: Floats, longest: float) -> Ints:
    """A* over places (n x 2) that see each other: the first ones begin, the next ones end.

    No edge lies between places that see each other. Which do is asked only of those that the
    search comes to. Nothing where there is no way of `longest` mm.
    """
    count = len(places)
    hope = np.empty(count)  # mm, at the least, from there to an end
    for n in range(count):
        ahead = math.inf
        for goal in range(firsts, firsts + lasts):
            ahead = min(ahead, _apart(places, n, goal))
        hope[n] = ahead
    best = np.empty(count)
    best[:] = np.inf
    before = np.empty(count, np.int64)
    before[:] = -1
    done = np.empty(count, np.bool_)
    done[:] = False
    for n in range(firsts):
        best[n] = 0.0
    while True:
        at, guess = -1, math.inf
        for n in range(count):
            if not done[n] and best[n] + hope[n] < guess:
                at, guess = n, best[n] + hope[n]
        if at < 0 or guess > longest:
            return before[:0]
        done[at] = True
        if firsts <= at < firsts + lasts:
            return _way_to(at, before)
        for to in range(count):
            if done[to]:
                continue
            gone = best[at] + _apart(places, at, to)
            better = gone < best[to] - 1e-9 and gone + hope[to] <= longest
            if better and _sees(places, at, to, edges):
                best[to], before[to] = gone, at


@compiled
def _apart(places: Floats, a: int, b: int) -> float:
    return math.hypot(places[a, 0] - places[b, 0], places[a, 1] - places[b, 1])


@compiled
def _sees(places: Floats, a: int, b: int, edges: Floats) -> bool:
    """Whether no edge crosses the straight way between two of the places."""
    x0, y0, x1, y1 = places[a, 0], places[a, 1], places[b, 0], places[b, 1]
    low_x, high_x, low_y, high_y = min(x0, x1), max(x0, x1), min(y0, y1), max(y0, y1)
    for n in range(len(edges)):
        ax, ay, bx, by = edges[n, 0], edges[n, 1], edges[n, 2], edges[n, 3]
        if (ax < low_x and bx < low_x) or (ax > high_x and bx > high_x):
            continue
        if (ay < low_y and by < low_y) or (ay > high_y and by > high_y):
            continue
        from_a = (x1 - x0) * (ay - y0) - (y1 - y0) * (ax - x0)
        from_b = (x1 - x0) * (by - y0) - (y1 - y0) * (bx - x0)
        if from_a * from_b >= 0:
            continue
        start = (bx - ax) * (y0 - ay) - (by - ay) * (x0 - ax)
        end = (bx - ax) * (y1 - ay) - (by - ay) * (x1 - ax)
        if start * end < 0:
            return False
    return True


@compiled
def _way_to(at: int, before: Ints) -> Ints:
    """The places from the first to this one."""
    found = np.empty(len(before), np.int64)
    many = 0
    while at >= 0:
        found[many] = at
        many += 1
        at = before[at]
    return found[:many][::-1].copy()
