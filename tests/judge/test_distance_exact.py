"""Exact distances against dense sampling, and inside-tests against a reference library."""

from __future__ import annotations

import math

import numpy as np
import pytest
from boss_plate import circle, rectangle

from compiler.geometry import Arc, Line, Outline, Point, Region, Segment
from compiler.judge.distance import Tracks, distance_to_region, distance_to_segment
from compiler.judge.inside import contains


def some_segment(rng: np.random.Generator) -> Segment:
    a = Point(*rng.uniform(-10, 10, 2))
    if rng.random() < 0.5:
        return Line(a, Point(*rng.uniform(-10, 10, 2)))
    c = Point(*rng.uniform(-10, 10, 2))
    r, t = a.distance(c), rng.uniform(0, math.tau)
    b = a if rng.random() < 0.1 else Point(c.x + r * math.cos(t), c.y + r * math.sin(t))
    return Arc(a, b, c, bool(rng.random() < 0.5))


def as_tracks(segments: list[Segment]) -> Tracks:
    def column(of) -> np.ndarray:
        return np.array([of(s) for s in segments], dtype=float)

    def arc(name: str):
        return lambda s: getattr(s, name) if isinstance(s, Arc) else 0.0

    return Tracks(
        column(lambda s: s.start.x),
        column(lambda s: s.start.y),
        column(lambda s: s.end.x),
        column(lambda s: s.end.y),
        column(lambda s: s.centre.x if isinstance(s, Arc) else 0.0),
        column(lambda s: s.centre.y if isinstance(s, Arc) else 0.0),
        column(arc("radius")),
        column(arc("start_angle")),
        column(arc("sweep")),
    )


def sampled(a: Segment, b: Segment, count: int = 200) -> float:
    p = np.array([a.at(k / count) for k in range(count + 1)])
    q = np.array([b.at(k / count) for k in range(count + 1)])
    return float(np.sqrt(((p[:, None] - q[None]) ** 2).sum(-1)).min())


@pytest.mark.parametrize("seed", range(4))
def test_never_above_and_hardly_below_what_sampling_finds(seed: int) -> None:
    rng = np.random.default_rng(seed)
    segments = [some_segment(rng) for _ in range(30)]
    tracks = as_tracks(segments)
    for _ in range(5):
        other = some_segment(rng)
        exact = distance_to_segment(tracks, other)
        for k, segment in enumerate(segments):
            found = sampled(segment, other)
            step = max(segment.length, other.length) / 200
            assert found - 0.8 * step <= exact[k] <= found + 1e-9


def test_inside_is_negative_by_the_depth_of_the_start() -> None:
    ring = Region((*circle(Point(0, 0), 10).outlines, *reversed_circle(4)))
    tracks = as_tracks(
        [
            Line(Point(7, 0), Point(7, 1)),  # in the ring
            Line(Point(0, 0), Point(1, 0)),  # in the hole
            Line(Point(12, 0), Point(14, 0)),  # outside
            Line(Point(-20, 0), Point(20, 0)),  # right through
        ]
    )
    found = distance_to_region(tracks, ring, reach=5.0)
    assert found[:3] == pytest.approx([-3.0, 3.0, 2.0])
    assert found[3] == 0.0


def reversed_circle(radius: float) -> tuple[Outline, ...]:
    return tuple(o.reversed() for o in circle(Point(0, 0), radius).outlines)


def test_beyond_reach_is_not_worked_out() -> None:
    tracks = as_tracks([Line(Point(50, 0), Point(60, 0))])
    assert math.isinf(distance_to_region(tracks, circle(Point(0, 0), 10), reach=5.0)[0])


def test_inside_against_a_reference_library() -> None:
    shapely = pytest.importorskip("shapely")
    region = Region((*rectangle(-8, -6, 8, 6).outlines, *reversed_circle(4)))
    polygon = shapely.box(-8, -6, 8, 6) - shapely.Point(0, 0).buffer(4, quad_segs=720)
    rng = np.random.default_rng(3)
    x, y = rng.uniform(-10, 10, (2, 4000))
    expected = shapely.contains_xy(polygon, x, y)
    near = np.abs(np.hypot(x, y) - 4) < 1e-3
    assert (contains(region, x, y) == expected)[~near].all()


def test_points_level_with_corners_and_poles_count_once() -> None:
    y = np.array([-6.0, -4.0, 0.0, 4.0, 6.0])
    region = Region((*rectangle(-8, -6, 8, 6).outlines, *reversed_circle(4)))
    assert not contains(region, np.full(5, 9.0), y).any()
    assert contains(region, np.full(5, -7.0), y)[1:4].all()
