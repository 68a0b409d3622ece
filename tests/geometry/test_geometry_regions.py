"""Regions from loose outlines, polygons for deciding, and measures that advise the cutter."""

from __future__ import annotations

import itertools
import math

import pytest
import shapely
from geometry_shapes import block, disc, joined_regions, plate
from hypothesis import given
from hypothesis import strategies as st
from test_geometry_build import refusal

from compiler.geometry import EMPTY, Arc, Outline, Point, Region
from compiler.geometry.build import circle, polygon, rectangle
from compiler.geometry.combine import difference, union
from compiler.geometry.inside import contains
from compiler.geometry.measure import (
    narrowest_gap,
    narrowest_gap_between,
    smallest_inside_corner,
)
from compiler.geometry.near import near_pairs, overlap
from compiler.geometry.polygon import flatten, from_polygon, to_polygon
from compiler.geometry.region import make
from compiler.geometry.transform import turned

P = Point


def test_nesting_is_sorted_out_whatever_the_order_and_sense() -> None:
    loops = [circle(P(0, 0), r) for r in (10, 7, 4, 1)] + [rectangle(P(20, 0), P(30, 5))]
    loops[0], loops[2] = loops[0].reversed(), loops[2].reversed()
    expected = (100 - 49 + 16 - 1) * math.pi + 50
    results = {repr(make(order)) for order in itertools.permutations(loops)}
    assert len(results) == 1
    assert make(loops).area == pytest.approx(expected)
    assert contains(make(loops), P(8, 0)) and not contains(make(loops), P(5, 0))


def test_outlines_that_meet_are_refused_with_their_place() -> None:
    error = refusal(lambda: make([circle(P(0, 0), 5), circle(P(4, 0), 5)]), "E307", 1)
    assert error.place is not None and abs(error.place.y) == pytest.approx(math.sqrt(21))
    refusal(lambda: make([rectangle(P(0, 0), P(4, 4)), rectangle(P(4, 1), P(6, 2))]), "E307", 1)
    refusal(lambda: make([rectangle(P(0, 0), P(4, 4)), rectangle(P(0, 0), P(4, 2))]), "E307", 1)
    bow = polygon([P(0, 0), P(4, 0), P(4, 4), P(0, 4)])
    crossed = Outline(
        tuple(
            type(bow.segments[0])(a, b)
            for a, b in itertools.pairwise([P(0, 0), P(4, 4), P(4, 0), P(0, 4), P(0, 0)])
        )
    )
    refusal(lambda: make([crossed]), "E306", 0)
    # touching at a point is allowed
    assert make([circle(P(0, 0), 5), circle(P(10, 0), 5)]).area == pytest.approx(50 * math.pi)
    assert make([circle(P(0, 0), 5), circle(P(3, 0), 2)]).area == pytest.approx(21 * math.pi)
    assert make([]) == EMPTY


@given(joined_regions())
def test_what_comes_out_of_a_union_is_sound(region: Region) -> None:
    again = make(region.outlines)
    assert again.area == pytest.approx(region.area, rel=1e-12)
    assert len(again.outlines) == len(region.outlines)


def test_flattening_keeps_its_tolerance() -> None:
    # sagitta R(1 - cos(step/2)): R 20 at 0.01 allows steps of 3.62385 degrees; plane geometry
    arc = Arc(P(20, 0), P(-20, 0), P(0, 0), True)
    points = flatten(arc, 0.01)
    assert points[0] == arc.start and points[-1] == arc.end
    steps = len(points) - 1
    assert steps == math.ceil(180 / 3.62385)
    for a, b in itertools.pairwise(points):
        middle = P((a.x + b.x) / 2, (a.y + b.y) / 2)
        assert 20 - middle.norm() <= 0.01


@given(joined_regions(), st.sampled_from([0.5, 0.05, 0.002]))
def test_polygons_enclose_or_are_enclosed(region: Region, tolerance: float) -> None:
    outer = to_polygon(region, tolerance, "outside")
    inner = to_polygon(region, tolerance, "inside")
    middle = to_polygon(region, tolerance, "nearest")
    assert all(p.is_valid for p in (outer, inner, middle))
    slack = 1e-6
    assert outer.area >= region.area - slack and inner.area <= region.area + slack
    assert outer.difference(middle.buffer(2.5 * tolerance)).area <= slack
    length = sum(o.length for o in region.outlines)
    for made in (outer, inner, middle):
        assert abs(made.area - region.area) <= 1.2 * tolerance * length + slack
    for segment in region.segments():
        for t in (0.0, 0.31, 0.5, 0.77):
            place = shapely.Point(*segment.at(t))
            assert outer.buffer(1e-7).contains(place)
            assert inner.distance(place) <= tolerance * 1.01 + 1e-7
            assert not inner.buffer(-1e-7).contains(place)


def test_polygons_of_rings_and_nothing() -> None:
    ring = difference(disc(0, 0, 10), disc(0, 0, 4))
    flat = to_polygon(union(ring, disc(0, 0, 1)), 0.001)
    assert flat.geom_type == "MultiPolygon"
    assert flat.area == pytest.approx((100 - 16 + 1) * math.pi, rel=1e-3)
    assert to_polygon(EMPTY, 0.1).is_empty


def test_lines_come_back_from_polygons() -> None:
    shape = shapely.box(0, 0, 4, 3).difference(shapely.box(1, 1, 2, 2))
    region = from_polygon(shape)
    assert region.area == 11 and len(region.outlines) == 2
    assert from_polygon(to_polygon(region, 0.1)) == region
    assert from_polygon(shapely.Polygon()) == EMPTY
    parts = from_polygon(shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(3, 0, 4, 1)]))
    assert parts.area == 2


def test_the_smallest_inside_corner() -> None:
    assert smallest_inside_corner(disc(0, 0, 5)) is None
    assert smallest_inside_corner(block(0, 0, 5, 5)) is None
    heart = plate((0, 0), (10, 0), (10, 10), (5, 5), (0, 10))
    assert smallest_inside_corner(heart) == (0.0, P(5, 5))
    pocketed = difference(block(0, 0, 50, 50), block(10, 10, 40, 40, 3), disc(45, 45, 2))
    found = smallest_inside_corner(pocketed)
    assert found is not None and found.radius == pytest.approx(2)
    assert found.at.distance(P(45, 45)) == pytest.approx(2)


def test_the_narrowest_gap() -> None:
    pair = make([circle(P(0, 0), 5), circle(P(11, 0), 5)])
    gap = narrowest_gap(pair)
    assert gap is not None and gap.width == pytest.approx(1)
    assert gap.at == pytest.approx((5.5, 0))
    assert narrowest_gap(pair, below=0.9) is None
    comb = plate((0, 0), (10, 0), (10, 10), (6, 10), (6, 3), (4, 3), (4, 10), (0, 10))
    slot = narrowest_gap(turned(comb, 0.7))
    assert slot is not None and slot.width == pytest.approx(2)
    # a hole is as wide as it is across, and corners of it are no gaps
    hole = narrowest_gap(difference(block(0, 0, 30, 30), block(5, 5, 15, 12, 3)))
    assert hole is not None and hole.width == pytest.approx(7)
    assert narrowest_gap(disc(0, 0, 5)) is None
    assert narrowest_gap(block(0, 0, 5, 5)) is None
    assert narrowest_gap(plate((0, 0), (10, 0), (10, 10), (5, 5), (0, 10))) is None
    assert narrowest_gap(EMPTY) is None


def test_the_gap_between_two_regions() -> None:
    gap = narrowest_gap_between(disc(0, 0, 5), block(8, -1, 9, 1))
    assert gap is not None and gap.width == pytest.approx(3)
    assert gap.first == pytest.approx((5, 0)) and gap.second == pytest.approx((8, 0))
    assert narrowest_gap_between(disc(0, 0, 5), EMPTY) is None


boxes = st.lists(
    st.tuples(st.floats(0, 9), st.floats(0, 9), st.floats(0, 3), st.floats(0, 3)).map(
        lambda b: (b[0], b[1], b[0] + b[2], b[1] + b[3])
    ),
    max_size=12,
)


@given(boxes, st.sampled_from([0.0, 0.5]))
def test_near_pairs_are_all_pairs_that_come_near(found, margin: float) -> None:
    every = [
        (i, j)
        for i in range(len(found))
        for j in range(i + 1, len(found))
        if overlap(found[i], found[j], margin)
    ]
    assert sorted(near_pairs(found, margin)) == every
