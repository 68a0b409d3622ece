"""A short way at depth round what stands in the straight one: corners of the free area."""

from __future__ import annotations

import heapq
import itertools

import numpy as np
import shapely
from shapely import LineString, Polygon

from compiler.geometry import Point
from compiler.paths.progress import SLACK, Progress
from compiler.paths.sets import SLIVER, area_of, swell
from compiler.paths.task import Area

REACH = 4.0  # times the radius: how far round both places the way is looked for
LONGEST = 25.0  # times the radius between them: farther apart a lift is taken
ROOM = 0.5  # mm that the bends keep from the room's edge, to be few and quick
CORNERS = 60  # the way bends at no more places than these


def detour(start: Point, end: Point, progress: Progress, allowed: Area) -> list[Point] | None:
    """Places to pass between start and end, the centre touching no material; None for no way."""
    radius = progress.radius
    if start.distance(end) > LONGEST * radius:
        return None
    frame = shapely.box(*LineString([start, end]).bounds).buffer(REACH * radius)
    material = progress.left_in(frame.buffer(radius))
    free = area_of(allowed.intersection(frame).difference(swell(material, radius - SLACK)))
    room = _room(free, start, end)
    if room is None:
        return None
    corners = _corners(room)
    if corners is None:
        return None
    return _shortest([start, *corners, end], room)


def _room(free: Area, start: Point, end: Point) -> Polygon | None:
    """The connected piece of the free area that holds both places."""
    a, b = shapely.Point(start), shapely.Point(end)
    for part in shapely.get_parts(free):
        if part.distance(a) < SLIVER and part.distance(b) < SLIVER:
            whole = shapely.union_all([part, a.buffer(2 * SLIVER), b.buffer(2 * SLIVER)])
            return whole if isinstance(whole, Polygon) else None
    return None


def _corners(room: Polygon) -> list[Point] | None:
    """Where a shortest way may bend: vertices of a coarser outline kept within the room."""
    coarse = area_of(room.buffer(-ROOM).simplify(0.8 * ROOM))
    found: list[Point] = []
    for part in shapely.get_parts(coarse):
        for ring in (part.exterior, *part.interiors):
            found += [Point(x, y) for x, y in ring.coords[:-1]]
    return found if len(found) <= CORNERS else None


def _shortest(places: list[Point], room: Polygon) -> list[Point] | None:
    """Dijkstra over the places that see each other within the room."""
    shapely.prepare(room)
    pairs = list(itertools.combinations(range(len(places)), 2))
    lines = shapely.linestrings(np.array([[places[a], places[b]] for a, b in pairs]))
    seen = np.atleast_1d(shapely.covers(room, lines))
    ways: dict[int, list[int]] = {i: [] for i in range(len(places))}
    for (a, b), free in zip(pairs, seen, strict=True):
        if free:
            ways[a].append(b)
            ways[b].append(a)
    goal = len(places) - 1
    queue: list[tuple[float, int, tuple[int, ...]]] = [(0.0, 0, ())]
    done: set[int] = set()
    while queue:
        length, at, path = heapq.heappop(queue)
        if at == goal:
            return [places[i] for i in path if i not in (0, goal)]
        if at in done:
            continue
        done.add(at)
        for to in ways[at]:
            if to not in done:
                farther = length + places[at].distance(places[to])
                heapq.heappush(queue, (farther, to, (*path, at)))
    return None
