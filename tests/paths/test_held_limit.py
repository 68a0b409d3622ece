"""Moves as drawn are slowed where they pass the limit: a slot and a row, by closed form."""

import math

import pytest
from shapely import MultiPolygon, box

from compiler.geometry import EMPTY
from compiler.motion import Point3, Role, Straight
from compiler.paths.constant_engagement.held import held
from compiler.paths.task import Task

RADIUS = 5.0
LIMIT = math.radians(60)
FEED = 1000.0


def slowed(y: float) -> list[Straight]:
    """One move along a block 40 wide and 40 high, with its lower edge at y = 0."""
    block = box(0, 0, 40, 40)
    task = Task(
        radius=RADIUS,
        forbidden=EMPTY,
        centres=box(-50, -50, 90, 90),
        material=block,
        cleared=MultiPolygon(),
        work=block,
        step=RADIUS * (1 - math.cos(LIMIT)),
        engagement=LIMIT,
        direction="climb",
    )
    move = Straight(Point3(20.0, y, -1.0), FEED, Role.CUT)
    found = held([move], Point3(-20.0, y, -1.0), task, -1.0, FEED)
    assert all(isinstance(part, Straight) for part in found)
    assert found[-1].to == move.to
    return [part for part in found if isinstance(part, Straight)]


def test_a_slot_is_slowed_by_the_ratio_of_chips() -> None:
    # (1 - cos 60) / (1 - cos 180) = 1/4; ae = r (1 - cos phi) is the handbook formula
    parts = slowed(20.0)
    assert parts[0].feed == FEED and parts[0].to.x < -RADIUS + 0.5
    assert 0.92 * FEED / 4 < parts[-1].feed <= FEED / 4


def test_a_row_at_the_limit_keeps_its_feed() -> None:
    # ae = r (1 - cos 60) = r / 2: the centre runs half a radius below the edge
    assert [part.feed for part in slowed(-RADIUS / 2)] == [FEED]


def test_a_row_past_the_limit_is_slowed() -> None:
    # at half immersion, ae = r: the feed falls to (1 - cos 60) / (1 - cos 90) = 1/2
    assert slowed(0.0)[-1].feed == pytest.approx(FEED / 2, rel=0.08)
    assert slowed(0.0)[-1].feed <= FEED / 2
