"""Clipping paths, closing chains across the stock, and moving things about."""

from __future__ import annotations

import math

import pytest
from geometry_shapes import assert_sound, block, boundary_distance, disc, joined_regions
from hypothesis import given
from hypothesis import strategies as st
from test_geometry_build import refusal

from compiler.geometry import EMPTY, Arc, Chain, Outline, Point, Region
from compiler.geometry.across import side_of_chain
from compiler.geometry.build import ArcTo, LineTo, chain, circle
from compiler.geometry.clip import clip
from compiler.geometry.combine import difference, intersection, union
from compiler.geometry.offset import grow
from compiler.geometry.transform import mirrored, moved, scaled, turned

P = Point


def test_a_line_through_a_ring() -> None:
    ring = difference(disc(0, 0, 5), disc(0, 0, 3))
    line = chain(P(-9, 0), [LineTo(P(9, 0))])
    inside = clip(line, ring, "inside")
    assert all(isinstance(c, Chain) for c in inside)
    ends = [x for c in inside for x in (c.segments[0].start.x, c.segments[-1].end.x)]
    assert ends == pytest.approx([-5, -3, 3, 5])
    outside = clip(line, ring, "outside")
    assert sum(c.length for c in (*inside, *outside)) == pytest.approx(18)
    assert len(outside) == 3


def test_an_outline_kept_whole_stays_an_outline() -> None:
    ring = circle(P(0, 0), 2)
    assert clip(ring, disc(0, 0, 5), "inside") == (ring,)
    assert clip(ring, disc(0, 0, 5), "outside") == ()
    assert clip(ring, EMPTY, "outside") == (ring,)


def test_an_outline_cut_open_is_one_chain_over_its_first_point() -> None:
    ring = circle(P(0, 0), 5)  # begins at its left
    (left,) = clip(ring, block(-9, -9, 0, 9), "inside")
    assert isinstance(left, Chain)
    assert left.start == pytest.approx((0, 5), abs=1e-9)
    assert left.end == pytest.approx((0, -5), abs=1e-9)
    assert left.length == pytest.approx(5 * math.pi)


def test_what_runs_along_the_boundary_is_kept_either_way() -> None:
    pocket = block(0, 0, 20, 10, 2)
    wall = grow(pocket, -1.5)
    (outline,) = wall.outlines
    assert clip(outline, wall, "inside") == (outline,)
    assert clip(outline, wall, "outside") == (outline,)
    half = intersection(wall, block(0, 0, 10, 10))
    (kept,) = clip(outline, half, "inside")
    # the wall's own half; the cut across is no part of the path
    assert kept.length == pytest.approx(outline.length / 2, abs=1e-6)


@given(joined_regions(), st.floats(0.2, 8), st.floats(0, 12), st.floats(0, 12))
def test_inside_and_outside_make_up_the_path(
    region: Region, radius: float, x: float, y: float
) -> None:
    path = circle(P(x, y), radius)
    inside, outside = clip(path, region, "inside"), clip(path, region, "outside")
    total = sum(part.length for part in (*inside, *outside))
    assert total == pytest.approx(path.length, abs=1e-4)
    for part in inside:
        for segment in part.segments:
            assert boundary_distance(segment.at(0.5), region) < 1e-5
    for part in outside:
        for segment in part.segments:
            assert boundary_distance(segment.at(0.5), region) > -1e-5


STOCK = block(0, 0, 70, 50)


def test_a_straight_rail() -> None:
    rail = chain(P(63, 0), [LineTo(P(63, 50))])
    right = side_of_chain(rail, "right", STOCK, 100)
    left = side_of_chain(rail, "left", STOCK, 100)
    assert right.bounds == (63, -100, 170, 150)
    assert left.bounds == (-100, -100, 63, 150)
    assert intersection(right, STOCK).area == pytest.approx(7 * 50)
    assert union(left, right) == block(-100, -100, 170, 150)
    assert side_of_chain(rail.reversed(), "left", STOCK, 100) == right


def test_a_curved_rail_from_front_to_left() -> None:
    # a quarter circle about the corner: both ends leave square to the edges
    rail = chain(P(20, 0), [ArcTo(P(0, 20), centre=P(0, 0))])
    corner = intersection(side_of_chain(rail, "left", STOCK, 30), STOCK)
    assert corner.area == pytest.approx(100 * math.pi)
    rest = intersection(side_of_chain(rail, "right", STOCK, 30), STOCK)
    assert rest.area == pytest.approx(3500 - 100 * math.pi)


def test_a_rail_that_begins_in_the_air_and_one_on_round_stock() -> None:
    rail = chain(P(-5, 10), [LineTo(P(90, 10))])
    assert intersection(side_of_chain(rail, "right", STOCK, 30), STOCK).area == pytest.approx(700)
    across = chain(P(-3, -4), [LineTo(P(-3, 4))])
    half = side_of_chain(across, "left", disc(0, 0, 5), 30)
    assert intersection(half, disc(0, 0, 5)).area == pytest.approx(
        25 * math.acos(3 / 5) - 12  # circle segment beyond a chord at 3: plane geometry, derived
    )


def test_chains_that_do_not_part_the_stock_are_refused() -> None:
    def side(start: Point, *to: Point):
        return lambda: side_of_chain(chain(start, [LineTo(p) for p in to]), "left", STOCK, 30)

    error = refusal(side(P(63, 0), P(63, 40)), "E314", -1)
    assert "7 mm from its edge" in error.message
    refusal(side(P(63, 10), P(63, 50)), "E314", 0)
    refusal(side(P(-5, -5), P(90, -5)), "E314")
    refusal(side(P(0, 0), P(70, 0)), "E314")  # along the edge
    # leaves and, taken straight on, comes back in
    refusal(side(P(20, 0), P(20, 60), P(80, 60), P(80, 20), P(75, 20)), "E314", -1)
    # comes out where it went in and crosses itself outside
    refusal(side(P(30, 0), P(30, 25), P(50, 25), P(20, -5)), "E306")


def test_moving_turning_scaling() -> None:
    region = block(0, 0, 4, 2, 0.5)
    assert moved(region, P(1, 2)).bounds == (1, 2, 5, 4)
    assert turned(region, math.pi / 2).bounds == (-2, 0, 0, 4)  # whole quarters are exact
    assert turned(turned(region, math.pi / 2, P(1, 1)), -math.pi / 2, P(1, 1)) == region
    assert scaled(region, 3).area == pytest.approx(9 * region.area)
    assert turned(region, 1.0).area == pytest.approx(region.area, rel=1e-12)
    with pytest.raises(ValueError, match="above 0"):
        scaled(region, 0)


def test_mirroring_keeps_the_inside_on_the_left() -> None:
    ring = difference(disc(3, 1, 5), block(3, 1, 5, 2))
    for across in ("x", "y"):
        flipped = mirrored(ring, across, 2)  # type: ignore[arg-type]
        assert_sound(flipped)
        assert flipped.area == pytest.approx(ring.area)
        assert mirrored(flipped, across, 2).area == pytest.approx(ring.area)  # type: ignore[arg-type]
    line = chain(P(1, 0), [ArcTo(P(0, 1), centre=P(0, 0))])
    flipped_line = mirrored(line, "y")
    (arc,) = flipped_line.segments
    assert isinstance(arc, Arc) and not arc.ccw
    assert (flipped_line.start, flipped_line.end) == (P(-1, 0), P(0, 1))


def test_every_kind_can_be_moved() -> None:
    ring = circle(P(0, 0), 1)
    by = P(2, 0)
    assert moved(P(1, 1), by) == P(3, 1)
    assert isinstance(moved(ring, by), Outline)
    assert moved(ring.segments[0], by).start == P(1, 0)
    assert isinstance(moved(Chain(ring.segments[:1]), by), Chain)
    with pytest.raises(TypeError):
        moved("a word", by)  # type: ignore[type-var]
