"""Rows to and fro are joined along walls by the walls' own lines and arcs."""

from __future__ import annotations

import math
from types import SimpleNamespace
from typing import Any

import pytest
from planning_bench import disc

from compiler.geometry import Arc, Point
from compiler.paths.row_joins import wall_between


def scene() -> Any:
    return SimpleNamespace(task=SimpleNamespace(forbidden=disc(0, 0, 10)))


def at(degrees: float, radius: float = 10.0) -> Point:
    return Point(radius * math.cos(math.radians(degrees)), radius * math.sin(math.radians(degrees)))


@pytest.mark.parametrize(("first", "last"), [(10, 40), (40, 10), (350, 20), (20, 350)])
def test_the_way_between_two_rows_is_the_wall_s_arc(first: float, last: float) -> None:
    """Thirty degrees of a circle: length r angle, every point at r (plane geometry)."""
    way = wall_between(scene(), at(first, 10.004), at(last, 10.004), limit=100.0)
    assert way is not None and all(isinstance(segment, Arc) for segment in way)
    assert sum(segment.length for segment in way) == pytest.approx(10 * math.radians(30), abs=0.02)
    assert way[0].start.distance(at(first)) < 0.02 and way[-1].end.distance(at(last)) < 0.02
    for segment in way:
        assert math.hypot(*segment.at(0.5)) == pytest.approx(10.0, abs=1e-9)


def test_a_longer_way_is_none_and_so_is_one_off_the_wall() -> None:
    assert wall_between(scene(), at(0), at(90), limit=10.0) is None
    assert wall_between(scene(), at(0, 11.0), at(20), limit=100.0) is None
