"""Engaged angles and chips against closed forms, and against a rim sampled by brute force."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some

from compiler.knowledge import engagement as rim
from compiler.knowledge.residue import feed_mark, in_corner, largest_step

# Unless said otherwise the values follow from plane geometry and were worked by hand.


@pytest.mark.parametrize(
    ("radial_depth", "degrees"),
    [(1, 36.869898), (2.5, 60), (5, 90), (7.5, 120), (10, 180), (12, 180)],
)
def test_straight_wall(radial_depth: float, degrees: float) -> None:
    # cos(phi) = 1 - 2 ae/D: El-Hofy, Fundamentals of Machining Processes, sec. 6.3.1.4
    assert math.degrees(rim.straight_wall(5, radial_depth)) == pytest.approx(degrees, abs=1e-5)


@pytest.mark.parametrize(
    ("radius", "before", "after", "degrees"),
    [
        (5, 18, 20, 60.4401),
        (5, 10, 12.5, 75.5225),
        (6, 20, 26, 98.6269),
        (4, 8, 9, 54.9004),
    ],
)
def test_in_hole(radius: float, before: float, after: float, degrees: float) -> None:
    angle = rim.in_hole(radius, after - before, after)
    assert math.degrees(angle) == pytest.approx(degrees, abs=1e-3)


@pytest.mark.parametrize(
    ("radius", "before", "after", "degrees"),
    [
        (5, 22, 20, 48.3943),
        (5, 12.5, 10, 51.3178),
        (6, 26, 20, 83.3742),
        (4, 9, 8, 34.6222),
    ],
)
def test_round_boss(radius: float, before: float, after: float, degrees: float) -> None:
    angle = rim.round_boss(radius, before - after, after)
    assert math.degrees(angle) == pytest.approx(degrees, abs=1e-3)


@pytest.mark.parametrize(("before", "after"), [(18.0, 20.0), (10.0, 12.5)])
def test_in_hole_against_a_sampled_rim(before: float, after: float) -> None:
    radius, samples = 5.0, 100_000
    centre = after - radius
    # the leading half of the rim: from the wall's contact point, in the direction of travel
    angles = (math.pi * (step + 0.5) / samples for step in range(samples))
    engaged = sum(
        math.hypot(centre + radius * math.cos(a), radius * math.sin(a)) > before for a in angles
    )
    angle = math.pi * engaged / samples
    assert rim.in_hole(radius, after - before, after) == pytest.approx(angle, abs=1e-4)


@pytest.mark.parametrize(
    ("step", "corner", "degrees"),
    [(2, 90, 143.130), (5, 90, 180), (2, 60, 173.130), (2, 120, 113.130), (4, 60, 180)],
)
def test_at_corner(step: float, corner: float, degrees: float) -> None:
    angle = rim.at_corner(5, step, math.radians(corner))
    assert math.degrees(angle) == pytest.approx(degrees, abs=1e-3)


@given(
    some.floats(0.05, 3.0),
    some.floats(0.5, 20.0),
    some.floats(0.01, 500.0),
)
def test_step_is_the_inverse_of_engagement(limit: float, radius: float, path: float) -> None:
    step = rim.step_for(limit, radius, path)
    assert rim.in_hole(radius, step, path + radius) == pytest.approx(limit, abs=1e-5)
    straight = rim.step_for(limit, radius)
    assert rim.straight_wall(radius, straight) == pytest.approx(limit, abs=1e-6)
    assert step <= straight + 1e-9


def test_chips() -> None:
    # circular chip model (Martellotti 1941, from memory), D 10, ae 1, fz 0.1
    angle = rim.straight_wall(5, 1)
    assert rim.thickest_chip(0.1, angle) == pytest.approx(0.06, abs=1e-6)
    assert rim.mean_chip(0.1, angle) == pytest.approx(0.031080, abs=1e-6)
    assert rim.mean_chip(0.1, math.pi / 2) == pytest.approx(0.063662, abs=1e-6)
    assert rim.thinning_factor(rim.straight_wall(5, 0.5)) == pytest.approx(2.294157, abs=1e-6)
    assert rim.thinning_factor(math.pi) == 1
    assert rim.mean_chip(0.1, 0.0) == 0
    assert rim.thickest_chip(0.1, math.radians(120)) == pytest.approx(0.1)
    assert rim.thinning_factor(math.radians(120)) == 1


def test_a_cutter_that_does_not_fit_or_touch_is_refused() -> None:
    with pytest.raises(ValueError, match="fit"):
        rim.in_hole(5, 1, 5)
    with pytest.raises(ValueError, match="air"):
        rim.thinning_factor(0)


def test_residue_in_corners() -> None:
    sharp = in_corner(5, math.radians(90))
    assert (sharp.area, sharp.gap, sharp.wall) == pytest.approx((5.365046, 2.071068, 5), abs=1e-6)
    acute = in_corner(5, math.radians(60))
    assert (acute.area, acute.gap, acute.wall) == pytest.approx((17.121331, 5, 8.660254), abs=1e-6)
    filleted = in_corner(5, math.radians(90), fillet=3)
    assert (filleted.area, filleted.gap) == pytest.approx((3.433629, 0.828427), abs=1e-6)
    assert in_corner(5, math.radians(90), fillet=5).area == 0


@pytest.mark.parametrize(("corner", "step"), [(90, 8.535534), (60, 7.5), (30, 6.294095)])
def test_largest_step_without_a_ridge(corner: float, step: float) -> None:
    assert largest_step(5, math.radians(corner)) == pytest.approx(step, abs=1e-6)


def test_feed_mark() -> None:
    # against the exact circle: 5 - sqrt(25 - 0.05^2)
    assert feed_mark(0.1, 10) == pytest.approx(5 - math.sqrt(25 - 0.05**2), rel=1e-4)
