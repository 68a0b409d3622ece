"""Shapes from what an author writes, and what is said where one can't be made."""

from __future__ import annotations

import math

import pytest

from compiler.geometry import Arc, Line, Point
from compiler.geometry.build import (
    ArcTo,
    LineTo,
    chain,
    circle,
    outline,
    polygon,
    rectangle,
    slot,
)
from compiler.geometry.errors import GeometryError

P = Point


def refusal(make, code: str, index: int | None = None) -> GeometryError:
    with pytest.raises(GeometryError) as caught:
        make()
    assert caught.value.code == code
    assert caught.value.index == index
    assert caught.value.help
    return caught.value


def test_a_circle_is_two_half_arcs_of_its_own_radius() -> None:
    made = circle(P(3, -2), 4)
    assert [type(s) for s in made.segments] == [Arc, Arc]
    assert made.area == pytest.approx(16 * math.pi, rel=1e-15)
    assert made.length == pytest.approx(8 * math.pi, rel=1e-15)
    assert made.bounds == pytest.approx((-1, -6, 7, 2), abs=1e-12)


# plane geometry, derived: w h - (4 - pi) r^2 for rounded corners, L w + pi (w/2)^2 for a slot
@pytest.mark.parametrize(
    ("made", "area", "length"),
    [
        (rectangle(P(5, 3), P(0, 0)), 15, 16),
        (
            rectangle(P(0, 0), P(10, 6), 2),
            60 - (4 - math.pi) * 4,
            2 * (6 + 2) + 4 * math.pi,
        ),
        (rectangle(P(0, 0), P(10, 6), 3), 24 + 9 * math.pi, 8 + 6 * math.pi),
        (slot(P(1, 1), P(4, 5), 2), 10 + math.pi, 10 + 2 * math.pi),
        (polygon([P(0, 0), P(4, 0), P(0, 3)]), 6, 12),
    ],
)
def test_areas_and_lengths_by_closed_forms(made, area: float, length: float) -> None:
    assert made.area == pytest.approx(area, rel=1e-12)
    assert made.length == pytest.approx(length, rel=1e-12)


def test_a_rounded_triangle_loses_what_plane_geometry_says() -> None:
    # area left in a corner of angle theta by a radius r: r^2 (cot(theta/2) - (pi - theta)/2);
    # plane geometry, derived. Equilateral: three corners of 60 degrees
    side, r = 20.0, 2.0
    points = [P(0, 0), P(side, 0), P(side / 2, side * math.sqrt(3) / 2)]
    lost = 3 * r**2 * (math.sqrt(3) - math.pi / 3)
    made = polygon(points, r)
    assert made.area == pytest.approx(side**2 * math.sqrt(3) / 4 - lost, rel=1e-12)


def test_an_arc_by_radius_agrees_with_bulge_and_sagitta() -> None:
    # bulge 0.5 over a chord of 10: radius 6.25, sagitta 2.5 (bulge = tan(sweep/4), the definition
    # in the DXF reference, from memory; the numbers are plane geometry, derived)
    (arc,) = chain(P(0, 0), [ArcTo(P(10, 0), radius=6.25)]).segments
    assert isinstance(arc, Arc)
    assert math.tan(arc.sweep / 4) == pytest.approx(0.5, abs=1e-9)
    assert arc.at(0.5).y == pytest.approx(-2.5, abs=1e-9)
    assert arc.centre == pytest.approx((5, 3.75), abs=1e-9)


def test_a_quarter_by_centre_as_the_standard_works_it_out() -> None:
    # NISTIR 6556 sec. 3.5.3.2: G2 X10 Y16 I3 J4 from (7, 7): centre (10, 11), radius 5,
    # 143.130102 degrees clockwise
    (arc,) = chain(P(7, 7), [ArcTo(P(10, 16), centre=P(10, 11), ccw=False)]).segments
    assert isinstance(arc, Arc)
    assert math.degrees(arc.sweep) == pytest.approx(-143.130102, abs=1e-6)
    assert arc.radius == pytest.approx(5, abs=1e-12)


def test_an_arc_by_radius_as_the_standard_works_it_out() -> None:
    # NISTIR 6556 Table 10: G2 X0 R7.01 from (3, 1) has its centre at (1.5, 7.8476)
    (short,) = chain(P(3, 1), [ArcTo(P(0, 1), radius=7.01, ccw=False)]).segments
    assert isinstance(short, Arc)
    assert short.centre == pytest.approx((1.5, 7.8476), abs=5e-5)


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize("long", [True, False])
def test_radius_arcs_take_the_asked_way(ccw: bool, long: bool) -> None:
    made = chain(P(0, 0), [ArcTo(P(6, 0), radius=5, ccw=ccw, long=long)])
    sweep = sum(s.sweep for s in made.segments if isinstance(s, Arc))
    short = 2 * math.asin(0.6)
    assert sweep == pytest.approx((1 if ccw else -1) * (2 * math.pi - short if long else short))


def test_a_full_turn_by_centre() -> None:
    made = outline(P(5, 0), [ArcTo(P(5, 0), centre=P(0, 0))])
    assert made.area == pytest.approx(25 * math.pi)


def test_corners_between_lines_and_arcs_are_tangent() -> None:
    steps = [
        LineTo(P(20, 0), round=3),
        LineTo(P(20, 10), chamfer=2),
        ArcTo(P(0, 10), radius=12, round=1),
        LineTo(P(0, 0), round=2),
    ]
    made = outline(P(0, 0), steps)
    segments = made.segments
    radii = [round(s.radius, 9) for s in segments if isinstance(s, Arc)]
    assert radii == [3, 12, 1, 2]
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        assert before.end == after.start
        rounded = any(isinstance(s, Arc) and s.radius < 5 for s in (before, after))
        if rounded:
            turn = before.tangent(1.0).cross(after.tangent(0.0))
            assert abs(turn) < 1e-9
    chamfer = segments[3]
    assert isinstance(chamfer, Line)
    assert chamfer.start == P(20, 8)
    assert chamfer.end.distance(P(20, 10)) == pytest.approx(2, abs=1e-9)


def test_rounds_of_one_size_that_just_meet_are_made() -> None:
    assert rectangle(P(0, 0), P(4, 4), 2).area == pytest.approx(4 * math.pi)


def test_a_centre_a_little_off_is_shared_out() -> None:
    # four decimals of an inch: 0.0001 in is 0.00254 mm
    (arc,) = chain(P(10, 0), [ArcTo(P(0, 10.0025), centre=P(0, 0))]).segments
    assert isinstance(arc, Arc)
    assert arc.start == P(10, 0) and arc.end == P(0, 10.0025)
    assert arc.end.distance(arc.centre) == pytest.approx(arc.radius, abs=1e-11)
    assert arc.centre.norm() < 0.0025


def test_a_long_arc_with_ends_a_little_off_stays_where_it_was_drawn() -> None:
    # the ends are close together: settling on their bisector would throw the far side aside
    made = chain(P(20, 0), [ArcTo(P(19.9965, -0.5), centre=P(0, 0))])
    far = made.segments[0].end
    assert far.norm() == pytest.approx(20, abs=0.005)
    assert all(abs(s.at(0.5).norm() - 20) < 0.005 for s in made.segments)


def test_shapes_without_size_are_refused() -> None:
    refusal(lambda: circle(P(0, 0), 0), "E301")
    refusal(lambda: circle(P(0, 0), -1), "E301")
    refusal(lambda: circle(P(0, math.nan), 1), "E301")
    refusal(lambda: circle(P(0, 0), 2e6), "E301")
    refusal(lambda: chain(P(0, 0), [LineTo(P(1, 0)), LineTo(P(1, -2e6))]), "E301", 1)
    refusal(lambda: rectangle(P(0, 0), P(0, 4)), "E301")
    refusal(lambda: slot(P(1, 1), P(1, 1), 2), "E301")
    refusal(lambda: polygon([P(0, 0), P(1, 0)]), "E301")
    refusal(lambda: polygon([P(0, 0), P(1, 0), P(1, 0), P(0, 1)]), "E301", 2)
    refusal(lambda: chain(P(0, 0), []), "E301")
    refusal(lambda: chain(P(0, 0), [LineTo(P(1, 0)), LineTo(P(1, 0))]), "E301", 1)
    refusal(lambda: chain(P(0, 0), [ArcTo(P(0, 0), radius=3)]), "E301", 0)


def test_a_radius_too_small_for_its_chord_names_the_least() -> None:
    error = refusal(lambda: chain(P(0, 0), [ArcTo(P(10, 0), radius=4)]), "E302", 0)
    assert error.help == "use a radius of 5 mm or more"
    assert error.worded("inch")[1] == "use a radius of 0.1969 in or more"


def test_a_round_that_does_not_fit_names_the_largest() -> None:
    error = refusal(lambda: rectangle(P(0, 0), P(10, 4), 3), "E303", 0)
    assert error.help == "use 2 mm or less"
    steps = [
        LineTo(P(10, 0), round=4),
        LineTo(P(10, 5), round=4),
        LineTo(P(0, 5)),
        LineTo(P(0, 0)),
    ]
    error = refusal(lambda: outline(P(0, 0), steps), "E303", 1)
    assert error.help == "use 2.5 mm or less"
    alone = [LineTo(P(10, 0), round=7), LineTo(P(10, 5)), LineTo(P(0, 5)), LineTo(P(0, 0))]
    assert refusal(lambda: outline(P(0, 0), alone), "E303", 0).help == "use 5 mm or less"


def test_the_named_largest_does_fit() -> None:
    def shape(r: float):
        return outline(
            P(0, 0), [LineTo(P(30, 0), round=r), ArcTo(P(0, 20), radius=25), LineTo(P(0, 0))]
        )

    error = refusal(lambda: shape(25), "E303", 0)
    most = float(error.help.split()[1])
    assert shape(most).area > 0
    refusal(lambda: shape(most + 0.002), "E303", 0)


def test_corners_that_cannot_be_made_are_refused() -> None:
    straight = [LineTo(P(5, 0), round=1), LineTo(P(10, 0)), LineTo(P(5, 5)), LineTo(P(0, 0))]
    refusal(lambda: outline(P(0, 0), straight), "E303", 0)
    both = [LineTo(P(5, 0), round=1, chamfer=1), LineTo(P(5, 5)), LineTo(P(0, 0))]
    refusal(lambda: outline(P(0, 0), both), "E303", 0)
    refusal(lambda: chain(P(0, 0), [LineTo(P(5, 0)), LineTo(P(5, 5), round=1)]), "E303", 1)


def test_a_centre_not_equally_far_is_refused() -> None:
    error = refusal(lambda: chain(P(0, 0), [ArcTo(P(10, 0), centre=P(4, 0))]), "E304", 0)
    assert "0.005 mm" in error.message
    assert "(5, 0)" in error.help


def test_an_open_outline_is_refused_and_says_the_gap() -> None:
    error = refusal(
        lambda: outline(P(0, 0), [LineTo(P(10, 0)), LineTo(P(10, 5)), LineTo(P(0, 5))]), "E305", 2
    )
    assert "5 mm from its start (0, 0)" in error.message


def test_a_self_crossing_outline_is_refused_with_its_place() -> None:
    error = refusal(lambda: polygon([P(0, 0), P(10, 10), P(10, 0), P(0, 10)]), "E306", 3)
    assert error.place == pytest.approx((5, 5))
    # an arc that bulges through the opposite side
    steps = [LineTo(P(10, 0)), LineTo(P(10, 4)), ArcTo(P(0, 4), radius=6), LineTo(P(0, 0))]
    assert outline(P(0, 0), steps).area > 40  # bulges outwards
    steps[2] = ArcTo(P(0, 4), radius=5, ccw=False)
    refusal(lambda: outline(P(0, 0), steps), "E306", 2)
    # a spike that runs back on itself
    refusal(lambda: polygon([P(0, 0), P(10, 0), P(10, 5), P(10, 2), P(0, 2)]), "E306", 3)
