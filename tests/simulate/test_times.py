"""Times against hand-worked trapezoids (constant acceleration, plane kinematics)."""

from __future__ import annotations

from dataclasses import replace

import pytest
from stock import CUTTING, line, rapid, ring

from compiler.read import columns, read
from compiler.simulate import motion_times, total_time


def times(motions, rapid_rate: float = 6000.0, acceleration: float = 500.0) -> list[float]:
    every = columns(motions)
    return motion_times(every, rapid=rapid_rate, acceleration=acceleration, most_feed=3000.0)


def test_long_rapid_is_a_trapezoid() -> None:
    # 100 mm at 100 mm/s, 500 mm/s2: 10 mm to speed up, 10 to slow down, 0.2 s each; 80 mm at speed
    assert times([rapid((0, 0, 5), (100, 0, 5))]) == pytest.approx([0.2 + 0.2 + 0.8])


def test_short_rapid_is_a_triangle() -> None:
    # 5 mm: peak sqrt(500 * 5) = 50 mm/s, reached in 0.1 s
    assert times([rapid((0, 0, 5), (5, 0, 5))]) == pytest.approx([0.2])


def test_straight_on_keeps_its_speed() -> None:
    whole = times([line((0, 0, -1), (40, 0, -1))])
    halves = times([line((0, 0, -1), (20, 0, -1)), line((20, 0, -1), (40, 0, -1))])
    assert sum(halves) == pytest.approx(sum(whole))


def test_a_square_corner_is_an_exact_stop() -> None:
    a, b = line((0, 0, -1), (20, 0, -1)), line((20, 0, -1), (20, 20, -1))
    assert sum(times([a, b])) == pytest.approx(2 * sum(times([a])))


def test_many_short_moves_are_planned_ahead() -> None:
    # a joint may not be faster than what can be braked before the end: same as one long move
    parts = [line((k * 0.1, 0, -1), ((k + 1) * 0.1, 0, -1)) for k in range(100)]
    fast = [replace(m, state=replace(CUTTING, feed=3000.0)) for m in parts]
    one = replace(line((0, 0, -1), (10, 0, -1)), state=replace(CUTTING, feed=3000.0))
    assert sum(times(fast)) == pytest.approx(sum(times([one])), rel=1e-9)


def test_feed_is_along_the_helix() -> None:
    move = ring(0, 0, 10, 0)
    helix = replace(move, end=replace(move.end, z=-5.0))
    length = helix.length
    feed = CUTTING.feed / 60
    assert times([helix]) == pytest.approx([length / feed + feed / 500.0])


def test_whole_program_adds_dwells_and_changes() -> None:
    text = "G21 G90\nT1 M6\nG0 X0 Y0 Z5\nG4 P2\nT2 M6\nM30\n"
    program = read(text).value
    assert program is not None
    assert total_time([1.0], program.blocks, change_time=30.0) == pytest.approx(63.0)
