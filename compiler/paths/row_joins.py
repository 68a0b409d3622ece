"""The way from the end of one row to the beginning of the next, along what both end at."""

from __future__ import annotations

from itertools import pairwise

import shapely
from shapely import LineString
from shapely.ops import substring

from compiler.geometry import Line, Point
from compiler.geometry.segment import Segment
from compiler.paths.approach import Scene
from compiler.paths.run import course, polyline
from compiler.paths.sets import CHORD
from compiler.paths.task import Area

JOIN = 3.0  # times the step: a longer way along the edge to the next row is not cut but linked


def along_edge(scene: Scene, start: Point, end: Point) -> list[Segment] | None:
    """From one row's end to the next row's start: straight, else along the edge of the centres."""
    if start.distance(end) < 1e-9:
        return []
    if scene.covers(start, end):
        return [Line(start, end)]
    limit = JOIN * scene.task.step
    wall = wall_between(scene, start, end, limit)
    if wall is not None:
        return wall
    edge = _edge_between(scene.task.centres, start, end)
    if edge is None or LineString(edge).length > limit:
        return None
    points = [start, *(Point(x, y) for x, y in edge), end]
    return [Line(a, b) for a, b in pairwise(points) if a.distance(b) > 1e-6]


def wall_between(scene: Scene, start: Point, end: Point, limit: float) -> list[Segment] | None:
    """The shorter way along an outline of what is forbidden, by its own lines and arcs.

    None where no outline passes both places within the chord error, or the way is longer than the
    limit.
    """
    a, b = shapely.Point(start), shapely.Point(end)
    for outline in scene.task.forbidden.outlines:
        line = LineString(polyline(outline.segments))
        if line.distance(a) > 4 * CHORD or line.distance(b) > 4 * CHORD:
            continue
        way = course(outline, backwards=False)
        scale = way.length / line.length
        low, high = line.project(a) * scale, line.project(b) * scale
        ahead = (high - low) % way.length
        back = way.length - ahead
        if min(ahead, back) > limit:
            return None
        if ahead <= back:
            return list(way.stretch(low, low + ahead))
        return [segment.reversed() for segment in reversed(way.stretch(high, high + back))]
    return None


def _edge_between(area: Area, start: Point, end: Point) -> list[tuple[float, float]] | None:
    """The shorter way along the area's edge between two places on it."""
    a, b = shapely.Point(start), shapely.Point(end)
    for part in shapely.get_parts(area):
        for ring in (part.exterior, *part.interiors):
            if ring.distance(a) > 4 * CHORD or ring.distance(b) > 4 * CHORD:
                continue
            total, low, high = ring.length, ring.project(a), ring.project(b)
            forward = (high - low) % total
            way = _ring_part(LineString(ring.coords), low, forward, total)
            if forward > total / 2:
                way = _ring_part(LineString(ring.coords), high, total - forward, total)[::-1]
            return way if len(way) > 1 else None
    return None


def _ring_part(
    ring: LineString, start: float, length: float, total: float
) -> list[tuple[float, float]]:
    end = start + length
    if end <= total:
        found = list(substring(ring, start, end).coords)
    else:
        found = [
            *substring(ring, start, total).coords,
            *list(substring(ring, 0, end - total).coords)[1:],
        ]
    return [(float(x), float(y)) for x, y in found]
