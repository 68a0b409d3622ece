"""One step of a front: how far it may move into the material, and the path that takes it there."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import box
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.cutter import Cutter
from compiler.paths.constant_engagement.ground import (
    areas,
    clipped,
    common,
    grown,
    joined,
    overlap,
    without,
)
from compiler.paths.constant_engagement.laws import curved_step, ladder, quarter_chords
from compiler.paths.constant_engagement.loops import spiralled
from compiler.paths.constant_engagement.view import Front, View, on, runs
from compiler.paths.task import Area

Points = NDArray[np.float64]
EASE = 5  # stretches between full and slow step
FLOOR = 4  # once a radius has opened most of a front, only those down to a quarter of it follow


@dataclass(frozen=True, slots=True)
class Pace:
    """How boldly a front steps: a factor on the law's step, and stretches where it is smaller."""

    factor: float = 1.0
    widest: float = math.inf  # path radius to begin with
    slow: BaseGeometry | None = None
    slow_factor: float = 1.0


def advance(view: View, front: Front, pace: Pace, cutter: Cutter) -> tuple[Area, float]:
    """What the ladder opens from a front: `open` and the bites, smoothed, inside the centres.

    Also the largest radius that fitted, which the next front may begin with.
    """
    opened: Area = view.open
    r = cutter.radius
    length = front.line.length
    widest = min(cutter.widest, max(min(length / 2, 2 * pace.widest), 2 * cutter.narrowest))
    furthest, first, floor = 0.0, math.inf, cutter.narrowest
    ground = view.todo
    levels = _levels(front, pace, cutter)
    for rho in ladder(widest, floor):
        if rho < floor:
            break
        step = curved_step(r, cutter.limit, rho)
        fresh = common(ground, _swell(levels, step, cutter))
        gains = []
        for part in shapely.get_parts(fresh):
            if part.area < 0.02 * r * min(r, rho):
                continue
            gain = _rolled(view, opened, part, rho, cutter)
            if gain.area > 1e-3 * r * r:
                gains.append(gain)
        if not gains:
            continue
        gained = areas(shapely.union_all(gains))
        first = rho if furthest == 0.0 else first
        if furthest == 0.0 and gained.area > 0.5 * fresh.area:
            floor = max(floor, rho / FLOOR)
        opened = joined(opened, gained)
        furthest = max(furthest, step * max(f for f, _ in levels))
        if gained.area > 0.85 * fresh.area:
            break
        ground = without(ground, gained)
    if furthest == 0.0:
        return view.open, math.inf
    return _rounded(view, front, opened, furthest, cutter), first


def _levels(front: Front, pace: Pace, cutter: Cutter) -> list[tuple[float, BaseGeometry]]:
    """The front in stretches, each with the factor on its step: slower towards the slow places."""
    rest: BaseGeometry = front.line
    if pace.slow is None:
        return [(pace.factor, rest)]
    found = []
    for k in range(EASE):
        share = pace.slow_factor + (1 - pace.slow_factor) * k / EASE
        zone = pace.slow.buffer(cutter.radius * (0.5 + 0.5 * k), quad_segs=3)
        found.append((pace.factor * share, rest.intersection(zone)))
        rest = rest.difference(zone)
    found.append((pace.factor, rest))
    return [(factor, part) for factor, part in found if not part.is_empty]


def _swell(levels: list[tuple[float, BaseGeometry]], step: float, cutter: Cutter) -> BaseGeometry:
    """All within a step of the front, the step differing along it."""
    parts = []
    for factor, stretch in levels:
        far = min(step * factor, cutter.step * 1.03) - cutter.film
        if far > cutter.film:
            parts.append(stretch.buffer(far, quad_segs=quarter_chords(far, cutter.chord)))
    return parts[0] if len(parts) == 1 else shapely.union_all(parts)


def _rolled(view: View, opened: Area, fresh: Area, rho: float, cutter: Cutter) -> Area:
    """The part of `fresh` that a disc of radius rho covers, rolling in it and what is open.

    The disc rolls on what is not open near by; behind the front there is room for it.
    """
    near = overlap(grown(fresh.bounds, min(2.05 * rho, 4 * cutter.radius)), view.box)
    blocked = without(without(box(*near), clipped(opened, near)), fresh)
    chords = quarter_chords(rho, cutter.chord)
    closed = blocked.buffer(rho, quad_segs=chords).buffer(-rho, quad_segs=chords)
    return without(fresh, closed)


def _rounded(view: View, front: Front, opened: Area, step: float, cutter: Cutter) -> Area:
    """Round what turns sharply to the right; keep what lies away from the front as it was."""
    q = 0.5 * cutter.radius
    chords = quarter_chords(q, cutter.chord)
    around = clipped(opened, grown(front.line.bounds, step + 2 * q))
    smooth = around.buffer(q, quad_segs=chords).buffer(-q, quad_segs=chords)
    near = front.line.buffer(step + q / 2, quad_segs=4)
    bites = common(common(view.todo, smooth), near)
    kept = [
        part
        for part in shapely.get_parts(bites)
        if part.area > cutter.film * part.length and part.area > 1e-4 * cutter.radius**2
    ]
    if not kept:
        return view.open
    return joined(view.open, areas(shapely.union_all(kept)))


def paths(view: View, opened: Area, cutter: Cutter, last: Points | None = None) -> list[Points]:
    """The runs of the new edge that the old one did not have, led on and off along the edge.

    `last` is where the cutter stands, given where both directions are allowed: an open run then
    begins at its nearer end.
    """
    old = view.open.boundary
    if view.open.is_empty:
        return []
    shapely.prepare(old)
    found: list[Points] = []
    for polygon in shapely.get_parts(shapely.orient_polygons(opened)):
        for ring in (polygon.exterior, *polygon.interiors):
            xy = shapely.get_coordinates(ring)
            fresh = ~on(old, xy)
            for run, closed in runs(xy, fresh):
                if closed:
                    way = run[::-1] if cutter.backwards else run
                    found.append(spiralled(way, view.open, cutter.radius / 9))
                elif float(np.hypot(*np.diff(run, axis=0).T).sum()) > 4 * cutter.tolerance:
                    led = _led(xy[:-1], run, cutter.lead)
                    found.append(led[::-1] if _turns(led, cutter.backwards, last) else led)
    return found


def _turns(run: Points, backwards: bool, last: Points | None) -> bool:
    """Whether to walk a run from its end: as told, or where that is nearer to `last`."""
    if last is None:
        return backwards
    return float(np.hypot(*(run[-1] - last))) < float(np.hypot(*(run[0] - last)))


def _led(ring: Points, run: Points, lead: float) -> Points:
    """Prolong a run along its ring at both ends, at most so far that the leads don't meet."""
    start = int(np.argmin(np.hypot(*(ring - run[0]).T)))
    stop = int(np.argmin(np.hypot(*(ring - run[-1]).T)))
    count = len(ring)
    spare = (start - stop) % count  # edges that are no part of the run
    before = _walk(ring, start, -1, lead, spare // 2)
    after = _walk(ring, stop, 1, lead, spare // 2)
    return np.vstack([before[::-1], run, after])


def _walk(ring: Points, at: int, way: int, far: float, most: int) -> Points:
    """Points of the ring beyond `at`, as far as `far` along it."""
    taken = []
    here, left = ring[at], far
    for k in range(1, most + 1):
        there = ring[(at + way * k) % len(ring)]
        gap = float(np.hypot(*(there - here)))
        if gap >= left:
            taken.append(here + (there - here) * (left / gap))
            break
        taken.append(there)
        here, left = there, left - gap
    return np.array(taken).reshape(-1, 2)


def remnant(view: View, front: Front, cutter: Cutter) -> Area:
    """`open` with what lies beyond a front where not even the narrowest loop fits.

    That is a corner, or a channel hardly wider than the cutter: it can only be cut full.
    """
    wide = 1.2 * cutter.narrowest
    chords = quarter_chords(wide, cutter.tolerance)
    room = view.todo.buffer(-wide, quad_segs=chords).buffer(1.01 * wide, quad_segs=chords)
    narrow = [
        part
        for part in shapely.get_parts(without(view.todo, room))
        if part.distance(front.line) < cutter.film
    ]
    if not narrow:
        small = (2 * wide) ** 2
        narrow = [
            part
            for part in shapely.get_parts(view.todo)
            if part.area < small and part.distance(front.line) < cutter.film
        ]
    return joined(view.open, areas(shapely.union_all(narrow))) if narrow else view.open
