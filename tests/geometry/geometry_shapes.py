"""Shapes and questions that the geometry's tests share."""

from __future__ import annotations

import math
import random

from hypothesis import strategies as st

from compiler.geometry import Arc, Outline, Point, Region
from compiler.geometry import region as regions
from compiler.geometry.build import circle, polygon, rectangle, slot
from compiler.geometry.combine import union
from compiler.geometry.distance import point_distance
from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import InsideTest
from compiler.geometry.transform import turned


def disc(x: float, y: float, radius: float) -> Region:
    return regions.of(circle(Point(x, y), radius))


def block(x0: float, y0: float, x1: float, y1: float, corner: float = 0.0) -> Region:
    return regions.of(rectangle(Point(x0, y0), Point(x1, y1), corner))


def plate(*points: tuple[float, float], corner: float = 0.0) -> Region:
    return regions.of(polygon([Point(*p) for p in points], corner))


def boundary_distance(point: Point, region: Region) -> float:
    """To the outlines: negative inside. Brute force over the segments."""
    segments = list(region.segments())
    away = min(point_distance(point, segment) for segment in segments)
    return -away if InsideTest(segments).contains(point) else away


def assert_sound(region: Region) -> None:
    """Every outline closes exactly, its arcs are true arcs of at most half a turn."""
    for outline in region.outlines:
        segments = outline.segments
        for segment, after in zip(segments, segments[1:] + segments[:1], strict=True):
            assert segment.end == after.start
            assert segment.length > 1e-9
            if isinstance(segment, Arc):
                assert abs(segment.radius - segment.end.distance(segment.centre)) < 1e-9
                assert abs(segment.sweep) <= math.pi + 1e-6


def assert_grown(source: Region, grown: Region, distance: float, seed: int = 0) -> None:
    """Every place of the new outlines is at the distance; samples agree with a brute-force test."""
    if source.is_empty:
        assert grown.is_empty
        return
    for segment in grown.segments():
        for t in (0.0, 0.3, 0.5, 0.9):
            assert abs(boundary_distance(segment.at(t), source) - distance) < 1e-6
    low_x, low_y, high_x, high_y = source.bounds
    margin = max(distance, 0.0) + 1
    test = InsideTest(grown.segments())
    dice = random.Random(seed)
    for _ in range(60):
        point = Point(
            dice.uniform(low_x - margin, high_x + margin),
            dice.uniform(low_y - margin, high_y + margin),
        )
        away = boundary_distance(point, source)
        if abs(away - distance) > 1e-4:
            assert test.contains(point) == (away < distance)


@st.composite
def simple_regions(draw: st.DrawFn) -> Region:
    """A disc, block, slot or triangle on a half-millimetre grid, so that edges often coincide."""
    grid = st.integers(0, 24).map(lambda n: n / 2)
    size = st.integers(2, 14).map(lambda n: n / 2)
    x, y = draw(grid), draw(grid)
    kind = draw(st.sampled_from(["disc", "block", "rounded", "slot", "triangle"]))
    made: Outline
    if kind == "disc":
        made = circle(Point(x, y), draw(size))
    elif kind in ("block", "rounded"):
        width, height = draw(size), draw(size)
        corner = 0.5 if kind == "rounded" else 0.0
        made = rectangle(Point(x, y), Point(x + width, y + height), corner)
    elif kind == "slot":
        made = slot(Point(x, y), Point(x + draw(size), y + draw(grid) / 4), draw(size))
    else:
        try:
            made = polygon(
                [Point(x, y), Point(x + draw(size), y), Point(x + draw(grid) / 2, y + draw(size))]
            )
        except GeometryError:
            made = circle(Point(x, y), 1)
    region = regions.of(made)
    return turned(region, draw(st.floats(0, 3))) if draw(st.booleans()) else region


@st.composite
def joined_regions(draw: st.DrawFn) -> Region:
    """The union of a few simple regions: islands, slots, touching corners, perhaps holes."""
    return union(*draw(st.lists(simple_regions(), min_size=1, max_size=5)))
