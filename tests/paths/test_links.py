"""Ways back at depth: beside the row that was just cut, where the cutter may run quickly."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from planning_bench import MACHINE

from compiler.geometry import Line, Point
from compiler.paths.link import _way
from compiler.paths.pen import Feeds
from compiler.paths.progress import Progress
from compiler.paths.timing import way_seconds

FEEDS = Feeds(cut=600.0, link=4000.0, entry=100.0, plunge=200.0)


def way_back(rows: list[float], low: float = -50.0) -> tuple[list[tuple[Point, float]], Progress]:
    """From the end of the last of rows along x back to its start, in a block 100 wide."""
    progress = Progress(shapely.box(0, 0, 100, 60), 5.0)
    for y in rows:
        progress.cut([Line(Point(-6, y), Point(106, y))])
    setting: Any = SimpleNamespace(
        allowed=shapely.box(-50, low, 150, 60), feeds=FEEDS, machine=MACHINE
    )
    legs = _way(Point(106, rows[-1]), Point(-6, rows[-1]), setting, progress, within=1e9)
    assert legs is not None
    return legs, progress


def test_back_along_a_row_the_cutter_keeps_off_what_stands_beside_it() -> None:
    legs, progress = way_back([0.0, 4.0])
    quick = [to for to, feed in legs if feed == FEEDS.link]
    assert quick and all(to.y == pytest.approx(3.5) for to in quick)
    places = [Point(106, 4), *(to for to, _ in legs)]
    assert progress.is_free(shapely.LineString(places))


def test_back_along_a_slot_it_has_no_room_and_keeps_the_cutting_feed() -> None:
    legs, _ = way_back([30.0], low=0.0)  # and none round the block
    assert {feed for _, feed in legs} == {FEEDS.cut}


def test_a_way_round_what_stands_is_quick_and_free_and_nearly_the_shortest() -> None:
    """Round a square corner of material the shortest way of the centre is two tangents and an arc
    of the cutter's radius (plane geometry); the way bends in air instead, a little longer.
    """
    progress = Progress(shapely.box(0, 0, 100, 60), 5.0)
    setting: Any = SimpleNamespace(
        allowed=shapely.box(-50, -50, 150, 110), feeds=FEEDS, machine=MACHINE
    )
    start, end = Point(-12.0, 30.0), Point(40.0, -12.0)
    legs = _way(start, end, setting, progress, within=1e9)
    assert legs is not None
    places = [start, *(to for to, _ in legs)]
    line = shapely.LineString(places)
    assert progress.is_free(line, slack=0.0)
    apart = math.hypot(12.0, 30.0), math.hypot(40.0, 12.0)
    tangents = sum(math.sqrt(length**2 - 25) for length in apart)
    assert tangents < line.length < 1.1 * (tangents + 5 * math.pi / 2)
    slow = sum(a.distance(to) for a, (to, feed) in zip(places, legs, strict=False) if feed < 4000)
    assert slow <= 2 * 0.5 * progress.radius + 1e-6  # by the ends alone


def test_a_way_round_is_not_taken_where_it_is_longer_than_given() -> None:
    progress = Progress(shapely.box(0, -1000, 10, 1000), 5.0)
    setting: Any = SimpleNamespace(
        allowed=shapely.box(-50, -50, 60, 50), feeds=FEEDS, machine=MACHINE
    )
    assert _way(Point(-6, 0), Point(16, 0), setting, progress, within=5.0) is None


def test_seconds_of_a_way_stop_at_bends_alone() -> None:
    """Speed kept along a straight line, none at a right angle: v = a t, by hand."""
    a, v = 500.0, 50.0  # mm/s2, mm/s
    straight = [Point(0, 0), Point(20, 0), Point(50, 0)]
    assert way_seconds(straight, [3000, 3000], a) == pytest.approx(50 / v + v / a)
    bent = [Point(0, 0), Point(20, 0), Point(20, 30)]
    assert way_seconds(bent, [3000, 3000], a) == pytest.approx(50 / v + 2 * v / a)
    # from rest to half the speed over the first leg, on to the full, and down again
    slower = way_seconds(straight, [1500, 3000], a)
    first = 20 / 25 + 25 / a / 2
    up, down = 25 / a, v / a
    level = 30 - (v**2 - 25**2) / (2 * a) - v**2 / (2 * a)
    assert slower == pytest.approx(first + up + down + level / v)
