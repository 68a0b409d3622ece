"""What cutters reach against closed forms, and against a raster opening of a reference library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from boss_plate import CENTRE, circle, make_part, rectangle, standing

from compiler.geometry import Arc, Line, Outline, Point, Region
from compiler.judge.reach import Reach, polygon


def nook(angle: float) -> Region:
    """Everything but a wedge of that angle, opening to the right from (0, 0)."""
    c, s = math.cos(angle / 2), math.sin(angle / 2)
    p = [Point(0, 0), Point(60 * c, 60 * s), Point(-60, 60 * s), Point(-60, -60 * s)]
    p.append(Point(60 * c, -60 * s))
    return Region((Outline(tuple(Line(p[k], p[(k + 1) % 5]) for k in range(5))),))


@pytest.mark.parametrize(
    ("radius", "degrees", "area"), [(5, 90, 5.365046), (5, 60, 17.121331), (3, 120, 0.483763)]
)
def test_residue_in_a_sharp_corner(radius: float, degrees: float, area: float) -> None:
    # r^2 (cot(theta / 2) - (pi - theta) / 2), plane geometry (derived)
    part = make_part(
        stock=rectangle(-5, -15, 30, 15), standing=(standing("v", nook(math.radians(degrees))),)
    )
    places = Reach(part, -4.0).out_of_reach(radius, 0.0)
    corner = min(places, key=lambda p: abs(p.bounds[0]))
    assert corner.area == pytest.approx(area, rel=5e-3)


def test_residue_in_a_fillet() -> None:
    # (r^2 - Rc^2)(cot(theta / 2) - (pi - theta) / 2) = 3.433629 mm2 at r 5, Rc 3, 90 degrees
    c = Point(3, 3)
    outline = Outline(
        (
            Line(Point(40, 0), Point(3, 0)).reversed(),
            Line(Point(40, 0), Point(40, -10)),
            Line(Point(40, -10), Point(-10, -10)),
            Line(Point(-10, -10), Point(-10, 40)),
            Line(Point(-10, 40), Point(0, 40)),
            Line(Point(0, 40), Point(0, 3)),
            Arc(Point(0, 3), Point(3, 0), c, True),
        )
    )
    region = Region((outline if outline.area > 0 else outline.reversed(),))
    part = make_part(stock=rectangle(-5, -5, 30, 30), standing=(standing("l", region),))
    (place,) = Reach(part, -4.0).out_of_reach(5.0, 0.0)
    assert place.area == pytest.approx(3.433629, rel=5e-3)
    outline_points = np.asarray(shapely.points(shapely.get_coordinates(place)))
    largest = Reach(part, -4.0).largest(outline_points, below=5.0, smallest=0.25)
    assert largest == pytest.approx(3.0, abs=0.1)  # the fillet's own radius


def test_nothing_is_out_of_reach_round_a_single_boss() -> None:
    assert Reach(make_part(), -4.0).out_of_reach(5.0, 0.0) == ()


def test_flattened_shapes_keep_their_area() -> None:
    ring = Region(
        (*circle(CENTRE, 10).outlines, *(o.reversed() for o in circle(CENTRE, 4).outlines))
    )
    assert polygon(ring).area == pytest.approx(math.pi * 84, rel=1e-3)


def test_against_a_raster_opening() -> None:
    morphology = pytest.importorskip("skimage.morphology")
    part = make_part(
        standing=(
            standing("a", circle(Point(20, 20), 9)),
            standing("b", circle(Point(40.5, 22), 9)),
            standing("c", rectangle(5, 2, 55, 8)),
        )
    )
    pitch, radius = 0.1, 3.0
    air = 8.0
    x = np.arange(-air, 60 + air, pitch)
    y = np.arange(-air, 40 + air, pitch)
    gx, gy = np.meshgrid(x, y)
    stands = (np.hypot(gx - 20, gy - 20) < 9) | (np.hypot(gx - 40.5, gy - 22) < 9)
    stands |= (gx > 5) & (gx < 55) & (gy > 2) & (gy < 8)
    opened = morphology.isotropic_opening(np.pad(~stands, 60, constant_values=True), radius / pitch)
    opened = opened[60:-60, 60:-60]
    in_stock = (gx > 0) & (gx < 60) & (gy > 0) & (gy < 40)
    missed = (in_stock & ~stands & ~opened).sum() * pitch**2
    places = Reach(part, -4.0).out_of_reach(radius, 0.0)
    assert sum(p.area for p in places) == pytest.approx(missed, abs=0.15 * missed + 0.5)
    assert missed > 5.0
