"""Meetings of lines and arcs: crossings, tangencies, ends, overlaps."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.geometry import Arc, Line, Point, Segment
from compiler.geometry.distance import point_distance
from compiler.geometry.intersect import meetings

P = Point


def arc(cx: float, cy: float, r: float, a0: float, a1: float, ccw: bool = True) -> Arc:
    """From angle a0 to a1, degrees."""
    p, q = math.radians(a0), math.radians(a1)
    return Arc(
        P(cx + r * math.cos(p), cy + r * math.sin(p)),
        P(cx + r * math.cos(q), cy + r * math.sin(q)),
        P(cx, cy),
        ccw,
    )


def places(a: Segment, b: Segment) -> list[tuple[float, float]]:
    return [(round(m.at.x, 6), round(m.at.y, 6)) for m in meetings(a, b)]


def test_lines() -> None:
    assert places(Line(P(0, 0), P(4, 4)), Line(P(0, 4), P(4, 0))) == [(2, 2)]
    assert places(Line(P(0, 0), P(4, 0)), Line(P(5, 1), P(5, -1))) == []
    assert places(Line(P(0, 0), P(4, 0)), Line(P(0, 1), P(4, 1))) == []
    # an end on the other: exactly that end
    (met,) = meetings(Line(P(0, 0), P(3, 1)), Line(P(1.5, 0.5), P(2, 7)))
    assert met.at == P(1.5, 0.5) and met.u == 0.0 and met.t == pytest.approx(0.5)


def test_lines_that_overlap_give_the_ends_of_the_overlap() -> None:
    a, b = Line(P(0, 0), P(10, 0)), Line(P(14, 0), P(4, 0))
    assert [(m.at, m.t, m.u) for m in meetings(a, b)] == [
        (P(4, 0), 0.4, 1.0),
        (P(10, 0), 1.0, 0.4),
    ]
    assert len(meetings(a, a)) == 2


def test_line_and_circle() -> None:
    whole = Arc(P(5, 0), P(5, 0), P(0, 0), True)
    assert places(Line(P(-9, 3), P(9, 3)), whole) == [(-4, 3), (4, 3)]
    assert places(Line(P(-9, 5), P(9, 5)), whole) == [(0, 5)]  # tangent
    assert places(Line(P(-9, 5.001), P(9, 5.001)), whole) == []
    assert places(Line(P(0, 3), P(9, 3)), arc(0, 0, 5, 90, 180)) == []
    assert places(Line(P(-9, 3), P(9, 3)), arc(0, 0, 5, 180, 90, False)) == [(-4, 3)]


def test_circles() -> None:
    a = Arc(P(5, 0), P(5, 0), P(0, 0), True)
    assert places(a, Arc(P(11, 0), P(11, 0), P(6, 0), True)) == [(3, 4), (3, -4)]
    assert places(a, Arc(P(11, 0), P(11, 0), P(8, 0), True)) == [(5, 0)]  # touch outside
    assert places(a, Arc(P(3, 0), P(3, 0), P(1, 0), True)) == []
    assert places(a, Arc(P(-5, 0), P(-5, 0), P(-3, 0), True)) == [(-5, 0)]  # touch inside
    assert places(a, Arc(P(2, 0), P(2, 0), P(0, 0), True)) == []  # concentric


def test_arcs_of_one_circle_overlap_between_ends() -> None:
    a, b = arc(0, 0, 5, 0, 120), arc(0, 0, 5, 200, 60, False)
    assert places(a, b) == [
        (round(5 * math.cos(math.radians(d)), 6), round(5 * math.sin(math.radians(d)), 6))
        for d in (60, 120)
    ]


coordinate = st.integers(-20, 20).map(lambda n: n / 2)
points = st.builds(P, coordinate, coordinate)


@st.composite
def segments(draw: st.DrawFn) -> Segment:
    start, end = draw(points), draw(points)
    if start == end:
        end = P(start.x + 1, start.y)
    if draw(st.booleans()):
        return Line(start, end)
    return arc(
        start.x,
        start.y,
        draw(st.integers(1, 12)) / 2,
        draw(st.integers(0, 23)) * 15,
        draw(st.integers(0, 23)) * 15 + 0.5,
        draw(st.booleans()),
    )


@given(segments(), segments())
def test_meetings_lie_on_both_and_are_the_same_seen_from_either(a: Segment, b: Segment) -> None:
    found = meetings(a, b)
    for met in found:
        assert point_distance(met.at, a) < 1e-6 and point_distance(met.at, b) < 1e-6
        assert a.at(met.t).distance(met.at) < 1e-5
        assert b.at(met.u).distance(met.at) < 1e-5
    back = meetings(b, a)
    assert len(back) == len(found)
    for met in found:
        assert min(met.at.distance(other.at) for other in back) < 1e-6


@given(segments(), segments())
def test_no_crossing_is_missed(a: Segment, b: Segment) -> None:
    """Walk along `a`: where its distance to `b` falls to nothing, a meeting is near."""
    found = meetings(a, b)
    for i in range(401):
        t = i / 400
        place = a.at(t)
        if point_distance(place, b) < 1e-9:
            near = any(m.at.distance(place) < 1e-4 for m in found)
            # or within an overlap, whose two ends are given
            between = any(m.t <= t for m in found) and any(m.t >= t for m in found)
            assert near or between, place
