"""Ways back at depth: beside the row that was just cut, where the cutter may run quickly."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest
import shapely
from planning_bench import MACHINE

from compiler.geometry import Line, Point
from compiler.paths.link import _way
from compiler.paths.pen import Feeds
from compiler.paths.progress import Progress

FEEDS = Feeds(cut=600.0, link=4000.0, entry=100.0)


def way_back(rows: list[float]) -> tuple[list[tuple[Point, float]], Progress]:
    """From the end of the last of rows along x back to its start, in a block 100 wide."""
    progress = Progress(shapely.box(0, 0, 100, 60), 5.0)
    for y in rows:
        progress.cut([Line(Point(-6, y), Point(106, y))])
    setting: Any = SimpleNamespace(
        allowed=shapely.box(-50, -50, 150, 110), feeds=FEEDS, machine=MACHINE
    )
    legs = _way(Point(106, rows[-1]), Point(-6, rows[-1]), setting, progress)
    assert legs is not None
    return legs, progress


def test_back_along_a_row_the_cutter_keeps_off_what_stands_beside_it() -> None:
    legs, progress = way_back([0.0, 4.0])
    quick = [to for to, feed in legs if feed == FEEDS.link]
    assert quick and all(to.y == pytest.approx(3.5) for to in quick)
    places = [Point(106, 4), *(to for to, _ in legs)]
    assert progress.is_free(shapely.LineString(places))


def test_back_along_a_slot_it_has_no_room_and_keeps_the_cutting_feed() -> None:
    legs, _ = way_back([30.0])
    assert {feed for _, feed in legs} == {FEEDS.cut}
