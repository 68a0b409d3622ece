"""The box of an arc is that of its sweep, not of its whole circle."""

import math

import numpy as np
import pytest

from compiler.geometry import Arc, Point
from compiler.judge.distance import Tracks


def track(arc: Arc) -> Tracks:
    numbers = (*arc.start, *arc.end, *arc.centre, arc.radius, arc.start_angle, arc.sweep)
    return Tracks(*(np.array([number]) for number in numbers))


@pytest.mark.parametrize("ccw", [True, False])
@pytest.mark.parametrize("turn", range(0, 360, 15))
def test_bounds_agree_with_a_dense_walk(turn: int, ccw: bool) -> None:
    start, end = math.radians(turn), math.radians(turn * 7 + 40)
    centre = Point(3.0, -2.0)
    arc = Arc(
        centre.plus(Point(math.cos(start), math.sin(start)), 10.0),
        centre.plus(Point(math.cos(end), math.sin(end)), 10.0),
        centre,
        ccw,
    )
    walked = np.array([arc.at(t) for t in np.linspace(0, 1, 20001)])
    boxes = np.array([side[0] for side in track(arc).bounds()])
    assert boxes == pytest.approx([*walked.min(axis=0), *walked.max(axis=0)], abs=1e-5)


def test_an_all_but_straight_arc_stays_small() -> None:
    sagitta = 0.01
    radius = (15.0**2 + sagitta**2) / (2 * sagitta)
    arc = Arc(Point(-15.0, 0.0), Point(15.0, 0.0), Point(0.0, sagitta - radius), False)
    low_x, low_y, high_x, high_y = (side[0] for side in track(arc).bounds())
    assert (low_x, high_x) == (-15.0, 15.0)
    assert low_y == pytest.approx(0.0, abs=1e-9) and high_y == pytest.approx(sagitta, abs=1e-6)
