"""Fitting lines and arcs to points: the distance kept, the ends met, the pieces few."""

import itertools
import math

import numpy as np
import pytest

from compiler.geometry import Arc, Line
from compiler.geometry.fit import fit


def circle(radius: float, sweep: float, count: int) -> np.ndarray:
    angle = np.linspace(0, sweep, count)
    return np.column_stack([radius * np.cos(angle), radius * np.sin(angle)])


def test_a_circle_is_found_again() -> None:
    segments = fit(circle(10, 1.9 * math.pi, 200), 0.005)
    assert all(isinstance(segment, Arc) for segment in segments)
    assert len(segments) <= 4
    for segment in segments:
        assert isinstance(segment, Arc)
        assert segment.radius == pytest.approx(10, abs=0.01)


def test_a_straight_run_is_one_line() -> None:
    points = np.column_stack([np.linspace(0, 50, 40), np.linspace(0, 20, 40)])
    (segment,) = fit(points, 0.005)
    assert isinstance(segment, Line)
    assert segment.length == pytest.approx(math.hypot(50, 20))


def test_a_corner_stays() -> None:
    across = np.column_stack([np.linspace(0, 10, 20), np.zeros(20)])
    up = np.column_stack([np.full(20, 10.0), np.linspace(0, 10, 20)])
    segments = fit(np.vstack([across, up[1:]]), 0.005)
    assert len(segments) == 2
    assert segments[0].end.distance(segments[1].start) == 0
    assert segments[0].end == pytest.approx((10, 0))


@pytest.mark.parametrize("tolerance", [0.002, 0.01, 0.05])
def test_a_wave_is_kept_to(tolerance: float) -> None:
    x = np.linspace(0, 60, 400)
    points = np.column_stack([x, 4 * np.sin(x / 5)])
    segments = fit(points, tolerance)
    fine = np.array([segment.at(t) for segment in segments for t in np.linspace(0, 1, 200)])
    gap = np.sqrt(((points[:, None, :] - fine[None, :, :]) ** 2).sum(axis=2)).min(axis=1)
    assert gap.max() < 1.05 * tolerance + 0.005  # the second from the spacing of `fine`
    assert len(segments) < 60
    for before, after in itertools.pairwise(segments):
        assert before.end.distance(after.start) < 1e-9
        assert before.tangent(1.0).dot(after.tangent(0.0)) > math.cos(math.radians(2))
    assert segments[0].start == pytest.approx(points[0])
    assert segments[-1].end == pytest.approx(points[-1])


def test_arcs_end_on_their_own_circle() -> None:
    x = np.linspace(0, 60, 300)
    for segment in fit(np.column_stack([x, 3 * np.cos(x / 4)]), 0.01):
        if isinstance(segment, Arc):
            assert segment.end.distance(segment.centre) == pytest.approx(segment.radius, abs=1e-9)


def test_a_run_that_doubles_back_is_followed() -> None:
    out = np.column_stack([np.linspace(0, 5, 12), np.zeros(12)])
    segments = fit(np.vstack([out, out[-2::-1]]), 0.01)
    assert sum(segment.length for segment in segments) == pytest.approx(10, abs=0.02)
    assert all(math.isfinite(value) for segment in segments for value in segment.end)


def test_no_length_gives_nothing() -> None:
    assert fit(np.array([[1.0, 2.0], [1.0, 2.0]]), 0.01) == ()
