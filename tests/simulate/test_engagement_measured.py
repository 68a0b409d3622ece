"""Engaged angles against closed forms: plane geometry by the law of cosines (derived).

The straight-wall relation is also in El-Hofy, "Fundamentals of Machining Processes", CRC, 2nd ed.
2014, sec. 6.3.1.4. The simulation's own stated error is 0.2 degrees.
"""

from __future__ import annotations

import math

import pytest
from stock import block, cut, cutter, degrees, line, ring

ERROR = 0.2  # degrees


@pytest.mark.parametrize(
    ("radial", "expected"),
    [(0.5, 25.842), (1, 36.8699), (2, 53.1301), (2.5, 60), (4, 78.463), (5, 90), (7.5, 120)],
)
def test_straight_wall(radial: float, expected: float) -> None:
    found = degrees(cut([line((-10, radial - 5, -3), (110, radial - 5, -3))]), 0)
    assert found == pytest.approx([expected] * len(found), abs=ERROR)


@pytest.mark.parametrize("angle", [0.3, 1.1, 2.0])
def test_a_row_beside_a_row_in_any_direction(angle: float) -> None:
    c, s = math.cos(angle), math.sin(angle)

    def at(u: float, v: float) -> tuple[float, float, float]:
        return (50 + u * c - v * s, 50 + u * s + v * c, -3.0)

    moves = [line(at(-30, 0), at(30, 0)), line(at(-30, 2.5), at(30, 2.5))]
    found = degrees(cut(moves), 1)
    assert found == pytest.approx([60.0] * len(found), abs=2 * ERROR)


def test_full_slot() -> None:
    found = degrees(cut([line((20, 50, -3), (80, 50, -3))]), 0)
    assert min(found) > 175.0


@pytest.mark.parametrize(
    ("radius", "before", "after", "expected"),
    [(5, 18, 20, 60.4401), (5, 10, 12.5, 75.5225), (6, 20, 26, 98.6269), (4, 8, 9, 54.9004)],
)
def test_widening_a_hole(radius: float, before: float, after: float, expected: float) -> None:
    opened = [0.5 + 0.4 * radius * k for k in range(20)]
    moves = [ring(50, 50, rho, -3) for rho in opened if rho < before - radius]
    moves += [ring(50, 50, before - radius, -3), ring(50, 50, after - radius, -3)]
    found = degrees(cut(moves, cutter(2 * radius)), len(moves) - 1)
    found = found[: len(found) // 2]  # later the ring comes back to where it began
    assert found == pytest.approx([expected] * len(found), abs=2 * ERROR)


@pytest.mark.parametrize(
    ("radius", "before", "after", "expected"),
    [(5, 22, 20, 48.3943), (5, 12.5, 10, 51.3178), (6, 26, 20, 83.3742), (4, 9, 8, 34.6222)],
)
def test_round_a_boss(radius: float, before: float, after: float, expected: float) -> None:
    moves = [
        ring(50, 50, before + radius, -3, ccw=False),
        ring(50, 50, after + radius, -3, ccw=False),
    ]
    found = degrees(cut(moves, cutter(2 * radius)), 1)
    assert found == pytest.approx([expected] * len(found), abs=ERROR)


@pytest.mark.parametrize(("radius", "step", "expected"), [(5, 2, 143.130), (5, 1, 126.870)])
def test_spike_in_a_square_corner(radius: float, step: float, expected: float) -> None:
    # arccos(1 - s/r) + (180 - 90) just before the turn
    first = [line((20, 20 + step, -3), (80 - step, 20 + step, -3))]
    first += [line((80 - step, 20 + step, -3), (80 - step, 80, -3))]
    second = line((20, 20, -3), (80, 20, -3))
    angles = degrees(cut([*first, second], pitch=0.05), 2)
    whole = cut([*first, second], pitch=0.05)
    last = math.degrees(whole.samples.angle[whole.samples.motion == 2][-1])
    straight = math.degrees(math.acos(1 - step / radius))
    assert sorted(angles)[len(angles) // 2] == pytest.approx(straight, abs=ERROR)
    assert last == pytest.approx(expected, abs=2 * ERROR)


def test_another_level_starts_afresh_and_a_deeper_one_clears_above() -> None:
    rows = [line((-10, y, -3), (110, y, -3)) for y in (-2.5, 0.0, 2.5)]
    down = line((-10, -2.5, -6), (110, -2.5, -6))
    again = line((-10, 0.0, -6), (110, 0.0, -6))
    found = cut([*rows, down, again])
    assert degrees(found, 3) == pytest.approx([60.0] * len(degrees(found, 3)), abs=ERROR)
    assert degrees(found, 4) == pytest.approx([60.0] * len(degrees(found, 4)), abs=ERROR)
    reverse = cut([down, line((-10, 0.0, -3), (110, 0.0, -3))])
    assert degrees(reverse, 1) == pytest.approx([60.0] * len(degrees(reverse, 1)), abs=ERROR)


def test_a_skin_on_the_floor_is_no_engagement() -> None:
    rough = [line((-10, y, -3), (110, y, -3)) for y in (-2.5, 0.0, 2.5, 5.0)]
    finish = line((-10, 0.0, -3.1), (110, 0.0, -3.1))
    assert max(degrees(cut([*rough, finish], skin=0.1), 4)) < 1.0
    assert min(degrees(cut([*rough, finish], skin=0.0), 4)) > 80.0


def test_air_outside_the_stock_is_no_engagement() -> None:
    moves = [line((-50, 30, -3), (-6, 30, -3)), ring(30, 20, 60, -3)]
    found = cut(moves, stock=block(0, 0, 60, 40))
    assert found.samples.angle.max(initial=0.0) < math.radians(0.5)
