"""Inside or outside, for single points and for arrays of them."""

from __future__ import annotations

import math

import numpy as np
import shapely
from geometry_shapes import block, boundary_distance, disc, joined_regions, plate
from hypothesis import given

from compiler.geometry import EMPTY, Point, Region
from compiler.geometry.combine import difference
from compiler.geometry.inside import InsideTest, contains, contains_many
from compiler.geometry.polygon import to_polygon

P = Point


def test_a_disc_to_its_very_edge() -> None:
    region = disc(1, 2, 5)
    for degrees in range(0, 360, 7):
        a = math.radians(degrees)
        assert contains(region, P(1 + 4.9999999 * math.cos(a), 2 + 4.9999999 * math.sin(a)))
        assert not contains(region, P(1 + 5.0000001 * math.cos(a), 2 + 5.0000001 * math.sin(a)))


def test_rays_through_corners_and_level_edges_count_right() -> None:
    step = plate((0, 0), (6, 0), (6, 4), (4, 4), (4, 2), (2, 2), (2, 4), (0, 4))
    assert contains(step, P(1, 2)) and contains(step, P(5, 2))
    assert not contains(step, P(3, 3)) and not contains(step, P(-1, 2))
    assert not contains(step, P(7, 2)) and not contains(step, P(-1, 4))
    star = plate((0, 0), (2, -2), (4, 0), (2, 2))
    assert contains(star, P(2, 0)) and not contains(star, P(-1, 0))


def test_a_hole_is_outside_and_an_empty_region_holds_nothing() -> None:
    ring = difference(disc(0, 0, 5), disc(0, 0, 2))
    assert contains(ring, P(3, 0)) and not contains(ring, P(0, 0))
    assert not contains(EMPTY, P(0, 0))
    assert not contains_many(EMPTY, np.zeros((3, 2))).any()


@given(joined_regions())
def test_arrays_agree_with_single_points_and_with_shapely(region: Region) -> None:
    # reference library: shapely (GEOS), on chords within 1e-5 mm
    low_x, low_y, high_x, high_y = region.bounds
    xs, ys = np.meshgrid(
        np.linspace(low_x - 1, high_x + 1, 23), np.linspace(low_y - 1, high_y + 1, 19)
    )
    xy = np.column_stack([xs.ravel(), ys.ravel()])
    many = contains_many(region, xy)
    test = InsideTest(region.segments())
    assert [test.contains(P(x, y)) for x, y in xy.tolist()] == many.tolist()
    reference = shapely.contains_xy(to_polygon(region, 1e-5), xy)
    for (x, y), ours, theirs in zip(xy.tolist(), many, reference, strict=True):
        assert ours == theirs or abs(boundary_distance(P(x, y), region)) < 1e-4


def test_level_block() -> None:
    region = block(0, 0, 2, 1)
    xy = np.array([[1.0, 0.5], [3.0, 0.5], [1.0, 1.5], [-1.0, 0.5]])
    assert contains_many(region, xy).tolist() == [True, False, False, False]
