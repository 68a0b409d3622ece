"""A quick way at depth round what stands in the straight one, through air all the way."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from compiler.geometry import Point
from compiler.paths.progress import Progress
from compiler.paths.sets import area_of
from compiler.paths.task import Area
from compiler.paths.tiles import Box

CLEAR = 0.1  # mm of air that the way keeps all round
ROOM = 0.4  # mm that bends keep beyond that, to be few and quick
ASIDE = 0.5  # mm off the ends where these touch what stands beside them
FARTHEST = 8.0  # times the radius: how far round both places the way is looked for
CORNERS = 200  # the way bends at no more places than these
QUADS = 12  # chords to a quarter circle: 0.2 % of the radius inside the true circle, within CLEAR
COARSE = 0.02  # mm: outlines of material are taken no finer

_ROUND = tuple((math.cos(k * math.pi / 8), math.sin(k * math.pi / 8)) for k in range(16))


def detour(
    start: Point,
    end: Point,
    progress: Progress,
    allowed: Area,
    *,
    rate: float,
    acceleration: float,
    within: float,
) -> list[Point] | None:
    """Places to pass between start and end, the cutter in air from the first to the last of them.

    The way of least time at `rate` mm/min with a halt at each bend; None where there is none in
    `within` seconds.
    """
    halt = rate / 60 / acceleration  # s, at one bend at the least
    reach = (within - halt) * rate / 60  # mm at most
    if reach <= start.distance(end):
        return None
    box = _within(start, end, reach, FARTHEST * progress.radius)
    clear = _clear(box, progress, allowed)
    corners = _corners(clear)
    if corners is None:
        return None
    shapely.prepare(clear)
    first = list(_off(start, clear, progress, allowed))
    last = list(_off(end, clear, progress, allowed))
    if not first or not last:
        return None
    places = np.array([*first, *last, *corners])
    return _quickest(places, len(first), len(last), clear, rate, acceleration, within)


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


def _off(place: Point, clear: Area, progress: Progress, allowed: Area) -> Iterator[Point]:
    """The place itself where it has air all round, else places a little off it that have."""
    if shapely.contains_xy(clear, place.x, place.y):
        yield place
        return
    around = [Point(place.x + ASIDE * c, place.y + ASIDE * s) for c, s in _ROUND]
    for at in around:
        if shapely.contains_xy(clear, at.x, at.y):
            line = LineString([place, at])
            if allowed.covers(line) and progress.is_free(line):
                yield at


def _quickest(
    places: NDArray[np.float64],
    firsts: int,
    lasts: int,
    clear: Area | Polygon,
    rate: float,
    acceleration: float,
    within: float,
) -> list[Point] | None:
    """A* over places that see each other in the clear: the first ones begin, the next ones end.

    Which of them see each other is asked only of those that the search comes to.
    """
    goals = places[firsts : firsts + lasts]
    ahead = np.hypot(*(places[:, None, :] - goals[None, :, :]).transpose(2, 0, 1)).min(axis=1)
    hope = ahead / (rate / 60)
    best = np.full(len(places), np.inf)
    best[:firsts] = 0.0
    before = np.full(len(places), -1)
    done = np.zeros(len(places), dtype=bool)
    queue = [(float(hope[i]), i) for i in range(firsts)]
    heapq.heapify(queue)
    while queue:
        guess, at = heapq.heappop(queue)
        if guess > within:
            return None
        if done[at]:
            continue
        done[at] = True
        if firsts <= at < firsts + lasts:
            return _way_to(at, before, places)
        lengths = np.hypot(*(places - places[at]).T)
        times = best[at] + _seconds(lengths, rate, acceleration)
        better = np.flatnonzero(~done & (times < best - 1e-9) & (times + hope <= within))
        lines = shapely.linestrings(
            np.stack([np.repeat(places[at][None], len(better), axis=0), places[better]], axis=1)
        )
        for to in better[np.atleast_1d(shapely.covers(clear, lines))]:
            best[to], before[to] = times[to], at
            heapq.heappush(queue, (float(times[to] + hope[to]), int(to)))
    return None


def _seconds(lengths: NDArray[np.float64], rate: float, acceleration: float) -> NDArray[np.float64]:
    """`timing.seconds` of many lengths."""
    speed = rate / 60
    long = lengths / speed + speed / acceleration
    return np.where(lengths < speed**2 / acceleration, 2 * np.sqrt(lengths / acceleration), long)


def _way_to(at: int, before: NDArray[np.int64], places: NDArray[np.float64]) -> list[Point]:
    found: list[Point] = []
    while at >= 0:
        found.append(Point(float(places[at, 0]), float(places[at, 1])))
        at = int(before[at])
    return found[::-1]
