"""Arcs as the report works them out. Source: NISTIR 6556 sec. 3.5.3 and table 10."""

from __future__ import annotations

import math

import pytest
from reading import moves, take


def test_centre_format_helix() -> None:
    # sec. 3.5.3.2: from (7,7), the example block
    (arc,) = moves("G17 G2 X10 Y16 I3 J4 Z9", at=(7, 7, 5))
    assert arc.centre == pytest.approx((10, 11))
    assert arc.radius == pytest.approx(5)
    assert math.degrees(arc.sweep) == pytest.approx(-143.130102, abs=1e-6)
    assert arc.plan_length == pytest.approx(12.490458, abs=1e-6)
    assert arc.length == pytest.approx(13.115317, abs=1e-6)  # plane geometry, computed


def test_radius_format_of_table_10() -> None:
    (arc,) = moves("G2 X0 R7.01 Z0.5", at=(3, 1, 0))
    assert arc.centre == pytest.approx((1.5, 7.8476), abs=5e-5)
    assert arc.end.z == 0.5


def test_semicircle_by_radius() -> None:
    (arc,) = moves("G2 X10 R5")
    assert arc.plan_length == pytest.approx(15.707963, abs=1e-6)


@pytest.mark.parametrize(
    ("radius", "sweep", "length"), [(8, 77.364375, 10.802105), (-8, 282.635625, 39.463378)]
)
def test_minor_and_major_arc_by_radius(radius: float, sweep: float, length: float) -> None:
    # chord 10; plane geometry, computed from the rule of sec. 3.5.3.1
    (arc,) = moves(f"G2 X10 R{radius}")
    assert math.degrees(-arc.sweep) == pytest.approx(sweep, abs=1e-6)
    assert arc.plan_length == pytest.approx(length, abs=1e-6)
    assert arc.centre is not None
    assert abs(arc.centre.y) == pytest.approx(6.244998, abs=1e-6)


@pytest.mark.parametrize(("code", "side"), [("G2", -1), ("G3", 1)])
def test_shorter_arc_by_radius_bulges_to_the_right_side(code: str, side: int) -> None:
    (arc,) = moves(f"{code} X10 R8")
    assert arc.centre is not None
    assert math.copysign(1, arc.centre.y) == side  # ccw: centre to the left of travel


def test_full_circle_needs_its_end_written() -> None:
    (arc,) = moves("G2 X32.5 J2.5", at=(32.5, 10, 0))
    assert arc.sweep == pytest.approx(-math.tau)
    assert arc.plan_length == pytest.approx(5 * math.pi)


def test_centre_offsets_stay_incremental_under_g90() -> None:
    (arc,) = moves("G90 G3 X20 Y10 I5", at=(10, 10, 0))
    assert arc.centre == pytest.approx((15, 10))


@pytest.mark.parametrize(("off", "taken"), [(0.0019, True), (0.0021, False)])
def test_radius_rule_in_millimetres(off: float, taken: bool) -> None:
    # 0.002 mm: end's radius is off by exactly so much
    assert (take(f"G2 X{10 + off:.4f} Y0 I5 J0").value is not None) == taken


@pytest.mark.parametrize(("off", "taken"), [(0.00019, True), (0.00021, False)])
def test_radius_rule_in_inches(off: float, taken: bool) -> None:
    assert (take(f"G20 G2 X{1 + off:.5f} Y0 I0.5 J0 F10").value is not None) == taken
