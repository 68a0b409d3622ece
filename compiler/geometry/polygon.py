"""Between exact regions and shapely polygons, with a stated chord tolerance. For deciding only."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from typing import Literal

import shapely
from shapely.geometry import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from compiler.geometry.arcs import all_halved
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import overlap
from compiler.geometry.outline import EMPTY, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.trace import in_order

Side = Literal["inside", "outside", "nearest"]


def flatten(segment: Segment, tolerance: float) -> list[Point]:
    """Points along a segment, both ends included, whose chords stay within `tolerance` mm of it."""
    if isinstance(segment, Line):
        return [segment.start, segment.end]
    count = _chords(segment, tolerance)
    start, step, radius = segment.start_angle, segment.sweep / count, segment.radius
    cx, cy = segment.centre
    between = [start + i * step for i in range(1, count)]
    inner = [Point(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in between]
    return [segment.start, *inner, segment.end]


def _chords(arc: Arc, tolerance: float) -> int:
    """How many chords, by their sagitta: r(1 - cos(step/2)), outside the arc r(1/cos - 1)."""
    ratio = tolerance / arc.radius
    half = math.acos(1 / (1 + ratio)) if ratio < 1 else math.pi / 4
    return max(1, math.ceil(abs(arc.sweep) / (2 * half) - 1e-9))


def _around(arc: Arc, tolerance: float) -> list[Point]:
    """Points of the tangents' polygon round an arc: it runs outside, within `tolerance`."""
    count = _chords(arc, tolerance)
    step = arc.sweep / count
    radius = arc.radius / math.cos(step / 2)
    start, (cx, cy) = arc.start_angle, arc.centre
    between = [start + (i + 0.5) * step for i in range(count)]
    tops = [Point(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in between]
    return [arc.start, *tops, arc.end]


def ring(outline: Outline, tolerance: float, side: Side = "nearest") -> list[Point]:
    """The outline as points, the first not repeated.

    "outside" runs nowhere to the left of the outline (so encloses what is on its left), "inside"
    nowhere to its right, "nearest" has its points on the outline. All within `tolerance` mm.
    """
    points: list[Point] = []
    for segment in all_halved(outline.segments):
        wide = isinstance(segment, Arc) and side != "nearest" and segment.ccw == (side == "outside")
        if wide and isinstance(segment, Arc):
            points += _around(segment, tolerance)[:-1]
        else:
            points += flatten(segment, tolerance)[:-1]
    return points


def to_polygon(region: Region, tolerance: float, side: Side = "nearest") -> Polygon | MultiPolygon:
    """The region as a valid shapely polygon, within `tolerance` mm of it.

    "outside" encloses the exact region: chords run outside bosses and inside holes. "inside" is
    enclosed by it. An empty region gives an empty polygon.
    """
    levels: list[list[BaseGeometry]] = []
    for outline, depth in zip(region.outlines, _depths(region.outlines), strict=True):
        points = ring(outline, tolerance, side)
        if len(points) < 3:
            continue
        while len(levels) <= depth:
            levels.append([])
        polygon: BaseGeometry = Polygon(points)
        levels[depth].append(polygon if polygon.is_valid else shapely.make_valid(polygon))
    result: BaseGeometry = Polygon()
    for depth, polygons in enumerate(levels):
        level = shapely.union_all(polygons)
        result = result.difference(level) if depth % 2 else result.union(level)
    return _areas(result)


def _depths(outlines: Sequence[Outline]) -> list[int]:
    """How many of the other outlines each lies in."""
    boxes = [o.bounds for o in outlines]
    tests = [InsideTest(o.segments) for o in outlines]
    depths = []
    for i, outline in enumerate(outlines):
        # the middle of a segment: ends may touch another outline
        middle = outline.segments[0].at(0.5)
        depths.append(
            sum(
                overlap(boxes[i], boxes[j]) and tests[j].contains(middle)
                for j in range(len(outlines))
                if j != i
            )
        )
    return depths


def _areas(shape: BaseGeometry) -> Polygon | MultiPolygon:
    if isinstance(shape, (Polygon, MultiPolygon)):
        return shape
    parts = [part for part in shapely.get_parts(shape) if isinstance(part, Polygon)]
    return MultiPolygon(parts) if len(parts) != 1 else parts[0]


def from_polygon(shape: BaseGeometry) -> Region:
    """A region of straight lines from a valid shapely polygon, or several; other parts are left."""
    outlines = []
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        sound = shapely.geometry.polygon.orient(part)
        for edge in (sound.exterior, *sound.interiors):
            points = [Point(x, y) for x, y in edge.coords]
            lines = [Line(a, b) for a, b in itertools.pairwise(points) if a != b]
            outlines.append(Outline(tuple(lines)))
    return in_order(outlines) if outlines else EMPTY
