"""Growing and shrinking, against closed forms, a raster and the definition by distance."""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from geometry_shapes import (
    assert_grown,
    assert_sound,
    block,
    disc,
    joined_regions,
    plate,
)
from hypothesis import given
from hypothesis import strategies as st

from compiler.geometry import EMPTY, Arc, Point, Region
from compiler.geometry import region as regions
from compiler.geometry.build import circle, rectangle
from compiler.geometry.combine import difference, union
from compiler.geometry.distance import point_to_region
from compiler.geometry.inside import contains_many
from compiler.geometry.offset import grow
from compiler.geometry.transform import mirrored, turned


def opened(region: Region, radius: float) -> Region:
    """What a cutter of that radius can clear of a pocket."""
    return grow(grow(region, -radius), radius)


def test_a_rectangle_outwards() -> None:
    # w h + 2 (w + h) d + pi d^2, 2 (w + h) + 2 pi d: plane geometry, derived; the figures stand in
    # the published test data of a polyline-offset library, too
    made = grow(block(0, 0, 20, 10), 2)
    assert made.area == pytest.approx(332.566370614, abs=1e-6)
    assert sum(o.length for o in made.outlines) == pytest.approx(72.566370614, abs=1e-6)


def test_a_rectangle_inwards() -> None:
    # plane geometry, derived; same published test data
    made = grow(block(0, 0, 20, 10), -2)
    assert made == block(2, 2, 18, 8)
    assert made.area == 96 and made.outlines[0].length == 44


def test_a_diamond_inwards() -> None:
    # half diagonal 10 - 5 sqrt(2), area twice its square: plane geometry, derived; same test data
    made = grow(plate((10, 0), (0, 10), (-10, 0), (0, -10)), -5)
    assert made.area == pytest.approx(17.157287525, abs=1e-6)
    assert made.outlines[0].length == pytest.approx(16.568542495, abs=1e-6)


def test_what_is_too_narrow_vanishes() -> None:
    # same published test data
    assert grow(block(0, 0, 120, 40), -30) == EMPTY
    assert grow(block(0, 0, 2, 2), -1) == EMPTY
    assert grow(disc(0, 0, 5), -5) == EMPTY
    assert grow(EMPTY, 3) == EMPTY


def test_circles_and_arcs_stay_true() -> None:
    assert grow(disc(1, 2, 5), 3) == disc(1, 2, 8)
    assert grow(disc(1, 2, 5), -3) == disc(1, 2, 2)
    made = grow(block(0, 0, 20, 10, 2), 1.5)
    arcs = [s for s in made.segments() if isinstance(s, Arc)]
    assert len(arcs) == 4
    assert all(a.radius == pytest.approx(3.5, abs=1e-12) for a in arcs)
    assert {tuple(map(round, a.centre)) for a in arcs} == {(2, 2), (18, 2), (18, 8), (2, 8)}


def test_a_fillet_of_the_cutters_own_radius_becomes_a_corner() -> None:
    pocket = block(0, 0, 20, 10, 3)
    centres = grow(pocket, -3)
    assert centres == block(3, 3, 17, 7)
    assert grow(centres, 3).area == pytest.approx(pocket.area, abs=1e-9)


def test_the_rectangular_pocket_a_cutter_clears() -> None:
    # w h - (4 - pi) r^2: plane geometry, derived
    assert opened(block(0, 0, 60, 40), 5).area == pytest.approx(2378.539816, abs=1e-6)


def test_the_pocket_round_a_boss() -> None:
    # w h - (4 - pi) r^2 - pi Rb^2: plane geometry, derived
    pocket = difference(block(0, 0, 100, 60), disc(50, 30, 10))
    assert opened(pocket, 5).area == pytest.approx(5664.380551, abs=1e-6)


@pytest.mark.parametrize(
    ("corners", "angle", "radius", "area", "gap"),
    [
        # area left r^2 (cot(theta/2) - (pi - theta)/2), gap r (1/sin(theta/2) - 1):
        # plane geometry, derived
        (4, 90, 5.0, 5.365046, 2.071068),
        (3, 60, 5.0, 17.121331, 5.000000),
        (6, 120, 3.0, 0.483763, 0.464102),
        (4, 90, 0.25 * 25.4, 0.013413 * 25.4**2, 0.103553 * 25.4),
    ],
)
def test_what_stays_in_sharp_corners(
    corners: int, angle: int, radius: float, area: float, gap: float
) -> None:
    around = [math.tau * i / corners for i in range(corners)]
    points = [(60 * math.cos(a), 60 * math.sin(a)) for a in around]
    pocket = plate(*points)
    cleared = opened(pocket, radius)
    assert (pocket.area - cleared.area) / corners == pytest.approx(area, rel=1e-4)
    assert point_to_region(Point(*points[0]), cleared).distance == pytest.approx(gap, rel=1e-4)


def test_what_stays_beside_a_drawn_fillet() -> None:
    # (r^2 - Rc^2)(cot(theta/2) - (pi - theta)/2), gap (r - Rc)(1/sin(theta/2) - 1):
    # plane geometry, derived
    pocket = block(0, 0, 60, 40, 3)
    cleared = opened(pocket, 5)
    assert (pocket.area - cleared.area) / 4 == pytest.approx(3.433629, abs=1e-6)
    middle = Point(3 - 3 / math.sqrt(2), 3 - 3 / math.sqrt(2))
    assert point_to_region(middle, cleared).distance == pytest.approx(0.828427, abs=1e-6)
    assert opened(block(0, 0, 60, 40, 5), 5).area == pytest.approx(60 * 40 - (4 - math.pi) * 25)


def test_islands_whose_gap_is_twice_the_distance() -> None:
    pair = union(disc(0, 0, 5), disc(14, 0, 5))
    assert len(grow(pair, 1.999).outlines) == 2
    assert len(grow(pair, 2.001).outlines) == 1
    just = grow(pair, 2)  # they touch
    assert_sound(just)
    assert just.area == pytest.approx(2 * 49 * math.pi)


def test_growing_closes_a_slot_and_shrinking_parts_a_web() -> None:
    comb = plate((0, 0), (10, 0), (10, 8), (6, 8), (6, 2), (4, 2), (4, 8), (0, 8))
    assert_grown(comb, grow(comb, 1.0), 1.0)  # the slot is just twice as wide
    assert_grown(comb, grow(comb, 0.999), 0.999)
    bell = union(block(0, 0, 4, 4), block(4, 1.5, 8, 2.5), block(8, 0, 12, 4))
    assert len(grow(bell, -0.5).outlines) == 2
    assert len(grow(bell, -0.499).outlines) == 1


def test_touching_islands_do_not_fill_one_another() -> None:
    # the block's parallel runs through the disc at its own distance from the disc's edge
    touching = union(disc(12, 3, 1), block(13, 0, 15, 7))
    for distance in (0.25, 0.5, 0.75, 1.0):
        assert_grown(touching, grow(touching, distance), distance)


def test_cusps_are_filled_on_the_right_side() -> None:
    bite = difference(block(2, 8, 9, 17), disc(5, 16, 1), disc(7, 16, 1))
    for distance in (0.3, 0.5, 1.0, -0.3, -0.5):
        made = grow(bite, distance)
        assert_sound(made)
        assert_grown(bite, made, distance)


@given(joined_regions(), st.sampled_from([0.25, 0.5, 1.0, 1.5, 2.0, 3.0, 0.37, 1.234]))
def test_every_place_is_at_the_distance(region: Region, distance: float) -> None:
    for signed in (distance, -distance):
        made = grow(region, signed)
        assert_sound(made)
        assert_grown(region, made, signed)


@given(joined_regions(), st.floats(0.1, 2.0))
def test_quarter_turns_and_mirrors_commute_with_growing(region: Region, distance: float) -> None:
    plain = grow(region, distance)
    turned_first = grow(turned(region, math.pi / 2), distance)
    flipped_first = grow(mirrored(region, "y"), distance)
    assert turned_first.area == pytest.approx(plain.area, abs=1e-5)
    assert flipped_first.area == pytest.approx(plain.area, abs=1e-5)


def test_the_reachable_area_agrees_with_a_raster_opening() -> None:
    # reference library: scipy's exact distance transform; opening as "all within r of what is at
    # least r from the walls", on pixels of 0.05 mm
    from scipy import ndimage

    pocket = difference(
        plate((0, 0), (30, 0), (30, 12), (18, 12), (18, 20), (0, 20)),
        disc(8, 9, 3),
        block(14, 3, 16, 9, 0.5),
        plate((22, 2), (27, 5), (23, 8)),
    )
    radius, pixel = 1.5, 0.05
    xs, ys = np.arange(-1, 31, pixel), np.arange(-1, 21, pixel)
    xy = np.column_stack([g.ravel() for g in np.meshgrid(xs, ys)])
    inside = contains_many(pocket, xy).reshape(len(ys), len(xs))
    # the edge runs half a pixel before the first pixel of the other kind
    centres = (ndimage.distance_transform_edt(inside) - 0.5) * pixel >= radius
    reached = (ndimage.distance_transform_edt(~centres) - 0.5) * pixel <= radius
    exact = contains_many(opened(pocket, radius), xy).reshape(len(ys), len(xs))
    wrong = reached != exact
    # pixels may differ within two of the edge, nowhere deeper
    edge = ndimage.distance_transform_edt(exact) + ndimage.distance_transform_edt(~exact)
    assert not (wrong & (edge > 3)).any()
    assert reached.sum() * pixel**2 == pytest.approx(opened(pocket, radius).area, rel=0.003)


def test_many_islands_are_quick() -> None:
    def grid(count: int) -> Region:
        return regions.make(
            [circle(Point(20 * (i % 16), 20 * (i // 16)), 8 + 0.3 * (i % 5)) for i in range(count)]
        )

    bosses = grid(240)
    before = time.process_time()
    made = grow(bosses, 1.5)
    spent = time.process_time() - before
    assert_sound(made)
    # aim 0.2 s on the machine this was written on; the bound leaves room for slow ones
    assert spent < 1.0


def test_the_same_input_gives_the_same_bytes() -> None:
    shape = regions.make([rectangle(Point(0, 0), Point(30, 20)), circle(Point(9, 9), 4)])
    again = regions.make([circle(Point(9, 9), 4).reversed(), rectangle(Point(0, 0), Point(30, 20))])
    assert repr(grow(shape, 2)) == repr(grow(shape, 2))
    assert grow(shape, 2).area == pytest.approx(grow(again, 2).area, rel=1e-14)
