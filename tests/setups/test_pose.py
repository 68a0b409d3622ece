"""Turning a part: against the plain rotation matrices of a solid body (ISO 841 axes)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.geometry import Point
from compiler.geometry.build import circle, polygon
from compiler.geometry.pose import Pose
from compiler.geometry.region import make

OVERS = ("none", "x", "y")
number = st.floats(-500, 500).map(lambda value: round(value, 3))


def body(over: str, quarters: int) -> np.ndarray:
    """Half a turn about X or Y, then quarters about Z: as a rigid body turns in the hand."""
    half = {"none": (1, 1, 1), "x": (1, -1, -1), "y": (-1, 1, -1)}[over]
    angle = quarters * math.pi / 2
    c, s = round(math.cos(angle)), round(math.sin(angle))
    return np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]]) @ np.diag(half)


@given(st.sampled_from(OVERS), st.integers(0, 3), number, number, number)
def test_it_is_a_rotation_of_the_body(over, quarters, x, y, z) -> None:
    pose = Pose(over=over, quarters=quarters)
    turned = body(over, quarters) @ np.array([x, y, z])
    assert np.linalg.det(body(over, quarters)) == pytest.approx(1)  # no mirror image
    at = pose.of(Point(x, y))
    assert (at.x, at.y, pose.height(z)) == pytest.approx(tuple(turned), abs=1e-9)


@given(st.sampled_from(OVERS), st.integers(0, 3), number, number)
def test_the_box_keeps_its_lower_left_corner(over, quarters, x, y) -> None:
    box = (x, y, x + 70.0, y + 40.0)
    pose = Pose.of_box(box, over, quarters, 0.0)
    size = (40.0, 70.0) if quarters % 2 else (70.0, 40.0)
    assert pose.box(box) == pytest.approx((x, y, x + size[0], y + size[1]))


@pytest.mark.parametrize("over", OVERS)
@pytest.mark.parametrize("quarters", range(4))
def test_the_matrix_says_the_same_and_regions_keep_their_sense(over, quarters) -> None:
    pose = Pose.of_box((0.0, 0.0, 60.0, 40.0), over, quarters, 3.0)
    a, b, d, e, dx, dy = pose.matrix()
    at = pose.of(Point(11.0, 7.0))
    assert (a * 11 + b * 7 + dx, d * 11 + e * 7 + dy) == pytest.approx((at.x, at.y))
    shape = polygon([Point(1, 1), Point(20, 3), Point(9, 12)])
    region = make([shape, circle(Point(9, 4), 2.0)])
    turned = pose.of(region)
    assert turned.area == pytest.approx(region.area)
    assert [o.area > 0 for o in turned.outlines].count(True) == 1
    # from one datum to another
    between = pose.between(Point(2.0, 3.0), Point(5.0, 1.0))
    there = between.of(Point(11.0 - 2.0, 7.0 - 3.0))
    assert (there.x, there.y) == pytest.approx((at.x - 5.0, at.y - 1.0))
