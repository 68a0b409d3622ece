"""Booleans of regions against closed forms, shapely and the laws of sets."""

from __future__ import annotations

import math

import pytest
from geometry_shapes import assert_sound, block, disc, joined_regions, plate, simple_regions
from hypothesis import given
from hypothesis import strategies as st

from compiler.geometry import EMPTY, Arc, Line, Point, Region
from compiler.geometry.combine import difference, intersection, union
from compiler.geometry.errors import GeometryError
from compiler.geometry.polygon import to_polygon
from compiler.geometry.transform import mirrored, moved, turned


def test_a_circle_stays_a_circle() -> None:
    one = disc(3, 4, 5)
    assert union(one, one) == one
    assert union(one, disc(3, 4, 2)) == one
    assert intersection(one, block(-10, -10, 20, 20)) == one
    assert difference(one, disc(30, 4, 2)) == one
    assert difference(one, one) == EMPTY


def test_two_discs_by_the_lens_formula() -> None:
    # area of a lens of two equal circles, d apart: 2 r^2 acos(d/2r) - d/2 sqrt(4 r^2 - d^2);
    # plane geometry, derived
    r, d = 5.0, 6.0
    lens = 2 * r**2 * math.acos(d / (2 * r)) - d / 2 * math.sqrt(4 * r**2 - d**2)
    a, b = disc(0, 0, r), disc(d, 0, r)
    assert intersection(a, b).area == pytest.approx(lens, rel=1e-12)
    assert union(a, b).area == pytest.approx(2 * math.pi * r**2 - lens, rel=1e-12)
    assert difference(a, b).area == pytest.approx(math.pi * r**2 - lens, rel=1e-12)
    assert all(isinstance(s, Arc) for s in union(a, b).segments())


def test_shared_edges_vanish() -> None:
    joined = union(block(0, 0, 4, 3), block(4, 0, 9, 3))
    (outline,) = joined.outlines
    assert len(outline.segments) == 4 and joined.area == 27
    # part of an edge, from opposite corners
    stair = union(block(0, 0, 4, 3), block(4, 1, 9, 5))
    assert stair.area == 32 and len(stair.outlines) == 1 and len(stair.outlines[0].segments) == 8
    # halves of a disc give back the disc, arc and all
    left = intersection(disc(0, 0, 5), block(-9, -9, 0, 9))
    right = difference(disc(0, 0, 5), block(-9, -9, 0, 9))
    assert union(left, right) == disc(0, 0, 5)


def test_touching_stays_apart() -> None:
    assert len(union(disc(0, 0, 5), disc(10, 0, 5)).outlines) == 2
    assert intersection(disc(0, 0, 5), disc(10, 0, 5)) == EMPTY
    assert intersection(block(0, 0, 1, 1), block(1, 0, 2, 1)) == EMPTY
    corners = union(block(0, 0, 1, 1), block(1, 1, 2, 2))
    assert len(corners.outlines) == 2 and corners.area == 2


def test_a_hole_that_touches_the_edge_keeps_outlines_simple() -> None:
    made = difference(disc(0, 0, 5), disc(2, 0, 3))
    assert_sound(made)
    assert made.area == pytest.approx(16 * math.pi, rel=1e-12)
    for outline in made.outlines:
        starts = [s.start for s in outline.segments]
        assert len(set(starts)) == len(starts)


def test_holes_and_islands() -> None:
    ring = difference(disc(0, 0, 10), disc(0, 0, 6))
    target = union(ring, disc(0, 0, 2))
    assert sorted(o.area > 0 for o in target.outlines) == [False, True, True]
    assert target.area == pytest.approx((100 - 36 + 4) * math.pi, rel=1e-12)


def test_many_operands_at_once() -> None:
    row = [disc(8 * i, 0, 5) for i in range(10)]
    assert len(union(*row).outlines) == 1
    assert union() == EMPTY == union(EMPTY, EMPTY)
    assert intersection() == EMPTY == intersection(disc(0, 0, 1), EMPTY)
    assert intersection(block(0, 0, 9, 9), block(1, 1, 9, 9), block(0, 2, 5, 20)).area == 28


def test_the_order_of_operands_does_not_change_the_bytes() -> None:
    parts = [disc(0, 0, 5), block(2, 2, 9, 9, 1), plate((0, 0), (10, -3), (6, 4))]
    assert repr(union(*parts)) == repr(union(*parts))
    assert union(*parts).area == pytest.approx(union(*reversed(parts)).area, rel=1e-14)


def test_edges_that_almost_coincide() -> None:
    # within the tolerance: one edge; a little beyond it: a true slit or sliver, still sound
    for off in (1e-12, 1e-9, 5e-8, 2e-7, 1e-6, 1e-5):
        for sign in (1, -1):
            made = union(block(0, 0, 4, 3), block(4 + sign * off, 0, 9, 3))
            assert_sound(made)
            assert made.area == pytest.approx(27, abs=1e-4)
            turned_a_bit = union(block(0, 0, 4, 3), turned(block(4, 0, 9, 3), off, Point(4, 1)))
            assert_sound(turned_a_bit)
            assert turned_a_bit.area == pytest.approx(27, abs=1e-3)


def test_a_nearly_whole_circle_is_not_thrown_aside() -> None:
    # the disc only just breaks the edge: what is left of its circle ends where it began, almost
    made = union(block(0, 0, 10, 10), disc(11 - 7e-8, 5, 1))
    assert_sound(made)
    assert made.area == pytest.approx(100 + math.pi, abs=1e-5)


regions = st.lists(simple_regions(), min_size=2, max_size=5)


@given(regions)
def test_areas_agree_with_shapely(parts: list[Region]) -> None:
    # reference library: shapely (GEOS), on chords within 1e-5 mm of the arcs
    import shapely

    flat = [to_polygon(part, 1e-5) for part in parts]
    for ours, theirs in (
        (union(*parts), shapely.union_all(flat)),
        (intersection(*parts[:2]), flat[0].intersection(flat[1])),
        (difference(*parts), flat[0].difference(shapely.union_all(flat[1:]))),
    ):
        assert_sound(ours)
        assert ours.area == pytest.approx(theirs.area, abs=2e-3)


@given(joined_regions(), joined_regions())
def test_areas_obey_the_laws_of_sets(a: Region, b: Region) -> None:
    both, either = intersection(a, b), union(a, b)
    assert both.area + either.area == pytest.approx(a.area + b.area, abs=1e-5)
    assert difference(a, b).area + both.area == pytest.approx(a.area, abs=1e-5)


@given(simple_regions(), simple_regions())
def test_turning_and_mirroring_commute_with_union(a: Region, b: Region) -> None:
    plain = union(a, b)
    quarter = union(turned(a, math.pi / 2), turned(b, math.pi / 2))
    flipped = union(mirrored(a, "x", 3), mirrored(b, "x", 3))
    for other in (quarter, flipped):
        assert_sound(other)
        assert other.area == pytest.approx(plain.area, abs=1e-6)
        assert len(other.outlines) == len(plain.outlines)


def test_what_lies_too_far_out_to_be_exact_is_refused() -> None:
    # a kilometre out all is well; beyond it nothing is promised, so nothing is made
    far = moved(disc(0, 0, 5), Point(9.9e5, -9.9e5))
    assert union(far, moved(disc(6, 0, 5), Point(9.9e5, -9.9e5))).area == pytest.approx(
        union(disc(0, 0, 5), disc(6, 0, 5)).area, rel=1e-9
    )
    with pytest.raises(GeometryError) as caught:
        union(moved(disc(0, 0, 5), Point(1e9, 0)), disc(0, 0, 5))
    assert caught.value.code == "E301"


def test_lines_in_a_row_become_one() -> None:
    made = union(block(0, 0, 2, 1), block(2, 0, 3, 1), block(3, 0, 7, 1))
    assert len(made.outlines[0].segments) == 4
    assert all(isinstance(s, Line) for s in made.segments())
