"""Looking only at walls that can face each other finds what looking at them all does."""

from __future__ import annotations

import math
import random

import pytest

from compiler.geometry import Point, Region, measure
from compiler.geometry.build import circle, rectangle, slot
from compiler.geometry.combine import difference, union
from compiler.geometry.measure import TooManyWallsError, narrowest_gap, thinnest_web
from compiler.geometry.outline import Outline
from compiler.geometry.region import make
from compiler.geometry.segment import Line


def wild(seed: int) -> Region:
    """Discs and bars laid over one another, some taken away: corners, arcs, slots, holes."""
    chance = random.Random(seed)
    region = make([rectangle(Point(0, 0), Point(30, 20))])
    for _ in range(9):
        x, y = chance.uniform(-5, 40), chance.uniform(-5, 30)
        if chance.random() < 0.5:
            other = make([circle(Point(x, y), chance.uniform(0.5, 6))])
        else:
            far = Point(x + chance.uniform(0.5, 15), y + chance.uniform(0.5, 8))
            other = make([rectangle(Point(x, y), far)])
        region = (union if chance.random() < 0.5 else difference)(region, other)
    return region


@pytest.mark.parametrize("seed", range(25))
def test_the_same_gap_is_found(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    region = wild(seed)
    found = narrowest_gap(region)
    monkeypatch.setattr(measure._Walls, "_opposed", lambda self, i, j: True)
    assert narrowest_gap(region) == found


def chords(count: int, radius: float) -> Outline:
    """A circle of many chords, counter-clockwise."""
    turns = (i * math.tau / count for i in range(count))
    places = [Point(radius * math.cos(t), radius * math.sin(t)) for t in turns]
    sides = zip(places, places[1:] + places[:1], strict=True)
    return Outline(tuple(Line(a, b) for a, b in sides))


def test_few_walls_round_a_hole_of_chords_face_each_other() -> None:
    hole = Region((rectangle(Point(-20, -20), Point(20, 20)), chords(600, 10).reversed()))
    walls = measure._Walls(hole, math.inf)
    assert len(list(walls._pairs(40.0))) < 4 * 600
    found = narrowest_gap(hole)
    # opposite chords are as far apart as the apothems: 2 r cos(pi / n)
    assert found is not None and found.width == pytest.approx(20 * math.cos(math.pi / 600))


def test_a_bound_on_the_work_is_kept() -> None:
    ring = Region((rectangle(Point(-20, -20), Point(20, 20)), chords(60, 10).reversed()))
    with pytest.raises(TooManyWallsError):
        narrowest_gap(ring, most_pairs=100)
    assert narrowest_gap(ring, most_pairs=1e6) is not None


@pytest.mark.parametrize(
    ("region", "thin"),
    [
        (Region((rectangle(Point(0, 0), Point(30, 2)),)), 2.0),
        (Region((slot(Point(0, 0), Point(20, 0), 3),)), 3.0),
        # an eccentric ring: 10 less 1 and 8
        (Region((circle(Point(0, 0), 10), circle(Point(1, 0), 8).reversed())), 1.0),
    ],
)
def test_thinnest_web(region: Region, thin: float) -> None:
    found = thinnest_web(region)
    assert found is not None and found.width == pytest.approx(thin)
    assert thinnest_web(region, thin / 2) is None


def test_a_disc_has_no_web() -> None:
    assert thinnest_web(Region((circle(Point(0, 0), 5),))) is None
