"""Round figures and how quantities read in a reason."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as some

from compiler.knowledge import figures


@pytest.mark.parametrize(
    ("rpm", "rounded"), [(4774.6, 4770), (7523, 7500), (199.9, 199), (707, 700), (0.4, 0.4)]
)
def test_round_rpm(rpm: float, rounded: float) -> None:
    assert figures.round_rpm(rpm) == rounded


@pytest.mark.parametrize(
    ("feed", "rounded"), [(716.2, 715), (2286.9, 2280), (57.9, 57), (9.87, 9.8), (0.3, 0.3)]
)
def test_round_feed(feed: float, rounded: float) -> None:
    assert figures.round_feed(feed, "mm") == pytest.approx(rounded, abs=1e-9)


@pytest.mark.parametrize(
    ("feed", "rounded"), [(27.502, 27.5), (113.9, 113), (5.57, 5.5), (0.617, 0.61)]
)
def test_round_feed_in_inches(feed: float, rounded: float) -> None:
    assert figures.round_feed(feed * 25.4, "inch") / 25.4 == pytest.approx(rounded, abs=1e-9)


@given(some.floats(1e-4, 1e5), some.sampled_from(["mm", "inch"]))
def test_rounding_never_passes_a_limit(value: float, units: str) -> None:
    rounded = figures.round_feed(value, units)  # type: ignore[arg-type]
    assert 0 < rounded <= value * (1 + 1e-9)
    assert figures.round_feed(rounded, units) == pytest.approx(rounded)  # type: ignore[arg-type]
    assert 0 < figures.round_rpm(value) <= value * (1 + 1e-9)


def test_words() -> None:
    assert figures.feed_text(698.5, "inch") == "27.5 in/min"
    assert figures.feed_text(698.4, "mm") == "698 mm/min"
    assert figures.length_text(0.0889, "inch") == "0.0035 in"
    assert figures.length_text(0.05, "inch", figures=2) == "0.002 in"
    assert figures.length_text(12.7, "mm") == "12.7 mm"
    assert figures.speed_text(300, "inch") == "984 ft/min"
    assert figures.speed_text(300, "mm") == "300 m/min"
    assert figures.angle_text(math.radians(60)) == "60 deg"
    assert figures.share_text(0.7) == "70 %"
    assert figures.length_text(0, "mm") == "0 mm"
