"""Places of doubt, decided by the rule in `geometry/tolerance.py`: near the origin and far off."""

from __future__ import annotations

import math

import pytest

from compiler.geometry import Arc, Line, Point, Region
from compiler.geometry.build import circle, rectangle
from compiler.geometry.combine import difference, intersection, union
from compiler.geometry.intersect import meetings
from compiler.geometry.offset import grow
from compiler.geometry.outline import Outline
from compiler.geometry.region import make
from compiler.geometry.tolerance import TOUCH

FAR_OFF = pytest.mark.parametrize("off", [0.0, 1e4, -1e5, 9e5])


def square(x: float, y: float, size: float = 10.0) -> Region:
    return make([rectangle(Point(x, y), Point(x + size, y + size))])


@FAR_OFF
@pytest.mark.parametrize("gap", [0.0, 0.9 * TOUCH, -0.9 * TOUCH])
def test_edges_that_coincide_are_one_area(off: float, gap: float) -> None:
    both = union(square(off, off), square(off + 10 + gap, off))
    assert len(both.outlines) == 1
    assert both.area == pytest.approx(200, abs=1e-5)
    assert difference(both, square(off, off)).area == pytest.approx(100, abs=1e-5)


@FAR_OFF
@pytest.mark.parametrize("gap", [1e-6, 1e-5, 1e-3])
def test_a_gap_however_narrow_stays_one(off: float, gap: float) -> None:
    both = union(square(off, off), square(off + 10 + gap, off))
    assert len(both.outlines) == 2
    assert both.area == pytest.approx(200, abs=1e-6)


@FAR_OFF
def test_areas_that_touch_in_a_point_are_two(off: float) -> None:
    corner = union(square(off, off), square(off + 10, off + 10))
    assert [len(o.segments) for o in corner.outlines] == [4, 4]
    disc = make([circle(Point(off + 15, off + 5), 5)])
    tangent = union(square(off, off), disc)
    assert len(tangent.outlines) == 2
    assert tangent.area == pytest.approx(100 + 25 * math.pi, abs=1e-6)
    assert intersection(square(off, off), disc).area == pytest.approx(0, abs=1e-6)


@FAR_OFF
def test_what_shares_an_edge_loses_nothing_beside_it(off: float) -> None:
    frame = difference(square(off, off, 30), square(off, off + 10, 10))
    assert frame.area == pytest.approx(800, abs=1e-5)
    assert len(frame.outlines) == 1
    again = union(frame, square(off, off + 10, 10))
    assert again.area == pytest.approx(900, abs=1e-5) and len(again.outlines) == 1


@FAR_OFF
def test_a_line_that_touches_a_circle_meets_it_once(off: float) -> None:
    arc = Arc(Point(off + 5, off), Point(off - 5, off), Point(off, off), True)
    for lift, count in ((0.0, 1), (1e-5, 0), (-1e-5, 2)):
        line = Line(Point(off - 9, off + 5 + lift), Point(off + 9, off + 5 + lift))
        assert len(meetings(line, arc)) == count, lift


def ell(off: float) -> Region:
    """An L of two arms, 10 wide and 30 long."""
    corners = [(0, 0), (30, 0), (30, 10), (10, 10), (10, 30), (0, 30)]
    places = [Point(off + x, off + y) for x, y in corners]
    sides = [Line(a, b) for a, b in zip(places, places[1:] + places[:1], strict=True)]
    return Region((Outline(tuple(sides)),))


@FAR_OFF
def test_an_offset_is_the_same_everywhere(off: float) -> None:
    # five outer corners are rounded, at the inner one two strips overlap in a square
    assert grow(ell(off), 2.0).area == pytest.approx(500 + 240 + 5 * math.pi - 4, abs=1e-5)
    # just before and after the arms are gone: what is left of them is 0.002 wide
    for step in (-2.0, -4.999, -5.001):
        here, there = grow(ell(off), step), grow(ell(0.0), step)
        assert len(here.outlines) == len(there.outlines)
        assert here.area == pytest.approx(there.area, abs=1e-3)
