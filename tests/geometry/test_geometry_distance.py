"""Least distances between lines, arcs and regions, with the places that have them."""

from __future__ import annotations

import math

import pytest
from geometry_shapes import block, disc, joined_regions
from hypothesis import given
from hypothesis import strategies as st
from test_geometry_intersect import arc, segments

from compiler.geometry import EMPTY, Line, Point, Region, Segment
from compiler.geometry.combine import difference
from compiler.geometry.distance import (
    Clearance,
    point_distance,
    point_to_boundary,
    point_to_region,
    point_to_segment,
    segment_to_region,
    segment_to_segment,
)

P = Point


# plane geometry, derived: every case can be read off a sketch
@pytest.mark.parametrize(
    ("a", "b", "distance"),
    [
        (Line(P(0, 0), P(4, 0)), Line(P(0, 3), P(4, 3)), 3),
        (Line(P(0, 0), P(4, 0)), Line(P(7, 4), P(9, 9)), 5),
        (Line(P(0, 0), P(4, 4)), Line(P(0, 4), P(4, 0)), 0),
        (Line(P(-9, 8), P(9, 8)), arc(0, 0, 5, 0, 180), 3),
        (Line(P(-9, 8), P(9, 8)), arc(0, 0, 5, 180, 0), 8),
        (Line(P(-2, 0), P(2, 0)), arc(0, 0, 5, 20, 10), 3),
        (Line(P(0, 0), P(1, 0)), arc(0, 0, 5, 90, 180), math.sqrt(26) - 1 + (6 - math.sqrt(26))),
        (arc(0, 0, 5, -90, 90), arc(12, 0, 4, 90, 270), 3),
        (arc(0, 0, 5, 90, 270), arc(12, 0, 4, -90, 90), math.hypot(12, 1)),
        (arc(0, 0, 5, 0, 359), arc(1, 0, 2, 0, 359), 2),
        (arc(0, 0, 5, 0, 90), arc(0, 0, 3, 45, 135), 2),
        (arc(0, 0, 5, 0, 90), arc(0, 0, 3, 180, 270), math.sqrt(34)),
    ],
)
def test_segments_by_plane_geometry(a: Segment, b: Segment, distance: float) -> None:
    if isinstance(a, Line) and a.length == 1:
        distance = 5.0  # from (0, 0) to the arc's end on +Y or -X
    for nearest in (segment_to_segment(a, b), segment_to_segment(b, a)):
        assert nearest.distance == pytest.approx(distance, abs=1e-9)
        assert nearest.on_first.distance(nearest.on_second) == pytest.approx(distance, abs=1e-9)


@given(segments(), segments())
def test_least_distance_against_dense_samples(a: Segment, b: Segment) -> None:
    nearest = segment_to_segment(a, b)
    sampled = min(point_distance(a.at(i / 200), b) for i in range(201))
    assert nearest.distance <= sampled + 1e-7
    assert sampled <= nearest.distance + a.length / 400 + 1e-7
    assert point_distance(nearest.on_first, a) < 1e-6
    assert point_distance(nearest.on_second, b) < 1e-6


@given(segments(), st.floats(-20, 20), st.floats(-20, 20))
def test_points_against_dense_samples(segment: Segment, x: float, y: float) -> None:
    nearest = point_to_segment(P(x, y), segment)
    sampled = min(P(x, y).distance(segment.at(i / 300)) for i in range(301))
    assert nearest.distance == pytest.approx(point_distance(P(x, y), segment), abs=1e-12)
    assert nearest.distance <= sampled + 1e-9
    assert sampled <= nearest.distance + segment.length / 600 + 1e-9


def test_regions() -> None:
    ring = difference(disc(0, 0, 10), disc(0, 0, 4))
    assert point_to_region(P(7, 0), ring).distance == 0
    assert point_to_boundary(P(7, 0), ring).distance == pytest.approx(3)
    assert point_to_region(P(1, 0), ring).distance == pytest.approx(3)
    assert point_to_region(P(0, 13), ring).on_second == pytest.approx((0, 10))
    assert segment_to_region(Line(P(-1, 0), P(1, 0)), ring).distance == pytest.approx(3)
    assert segment_to_region(Line(P(6, 0), P(8, 0)), ring).distance == 0  # wholly within
    assert segment_to_region(Line(P(-20, 0), P(20, 0)), ring).distance == 0  # right through
    with pytest.raises(ValueError, match="empty"):
        Clearance(EMPTY)


@given(joined_regions(), segments())
def test_clearance_against_dense_samples(region: Region, segment: Segment) -> None:
    nearest = Clearance(region).of(segment)
    sampled = min(point_to_region(segment.at(i / 60), region).distance for i in range(61))
    assert nearest.distance <= sampled + 1e-7
    assert sampled <= nearest.distance + segment.length / 120 + 1e-7


def test_many_at_once_are_the_same_as_one_by_one() -> None:
    region = block(0, 0, 4, 3)
    lines = tuple(Line(P(6 + i, -1), P(7 + i, 9)) for i in range(4))
    assert Clearance(region).of_many(lines) == tuple(segment_to_region(s, region) for s in lines)
