"""Where a disc is lowest over a cell on a ramp or helix, against brute force along the path."""

from __future__ import annotations

import cmath
import math
import random
from collections.abc import Callable

import numpy as np
import numpy.typing as npt
import pytest
from stock import cut, turn

from compiler.simulate.course import plain
from compiler.simulate.records import Records
from compiler.simulate.sweeping import last_over, square, turned

XS = np.arange(-14.0, 14.0, 0.5)
YS = np.arange(-13.0, 13.0, 0.5)


def path(
    a: complex, b: complex, radius: float = 0.0, centre: complex = 0j, ccw: bool = False
) -> Records:
    one = [np.array([v]) for v in (a.real, a.imag, b.real, b.imag, centre.real, centre.imag)]
    return plain(*one, np.array([radius]), np.array([ccw]))


def arc(dice: random.Random) -> tuple[Records, float, float, float]:
    radius, first = dice.uniform(0.5, 8), dice.uniform(-math.pi, math.pi)
    sweep = dice.uniform(0.1, math.pi / 3) * dice.choice([1, -1])
    ends = [cmath.rect(radius, angle) for angle in (first, first + sweep)]
    return path(*ends, radius, 0j, sweep > 0), radius, first, sweep


def over_cells(asked: Callable[[float, float], float]) -> npt.NDArray[np.float64]:
    return np.array([[asked(x, y) for x in XS.tolist()] for y in YS.tolist()])


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("down", [True, False])
def test_last_and_first_moment_over_each_cell_of_an_arc(seed: int, down: bool) -> None:
    piece, radius, first, sweep = arc(random.Random(seed))
    r = random.Random(seed + 100).uniform(1, 5)
    piece["z0"], piece["z1"] = (0.0, -1.0) if down else (-1.0, 0.0)
    at = over_cells(lambda x, y: last_over(piece[0], x, y, r, turned(piece[0])))
    angles = first + np.linspace(0, 1, 2001) * sweep
    dx = XS[None, :, None] - radius * np.cos(angles)
    dy = YS[:, None, None] - radius * np.sin(angles)
    covered = np.hypot(dx, dy) <= r
    well = np.hypot(dx, dy).min(axis=2) < r - 0.02  # within the steps of the brute force
    order = covered[:, :, ::-1] if down else covered
    index = np.argmax(order, axis=2)
    moment = (2000 - index if down else index) / 2000 * abs(sweep) * radius
    assert well.sum() > 10
    assert np.abs(at - moment)[well].max() < 0.05


@pytest.mark.parametrize("seed", range(12))
def test_distances_are_those_of_the_path(seed: int) -> None:
    piece, radius, first, sweep = arc(random.Random(seed))
    t = np.linspace(0, 1, 4001)
    a, b = (cmath.rect(radius, angle) for angle in (first, first + sweep))
    straight, between = path(a, b), a + t * (b - a)
    for made, px, py in (
        (piece, radius * np.cos(first + t * sweep), radius * np.sin(first + t * sweep)),
        (straight, between.real, between.imag),
    ):
        brute = np.hypot(XS[None, :, None] - px, YS[:, None, None] - py).min(axis=2)
        found = over_cells(lambda x, y, made=made: math.sqrt(square(made[0], x, y)))  # type: ignore[misc]
        assert np.abs(found - brute).max() < 2e-3


def test_an_arc_of_ten_kilometres_is_as_exact_as_a_line() -> None:
    big = 1e7
    half = math.asin(20.0 / big)
    piece = path(-20 + 0j, 20 + 0j, big, complex(0.0, -big * math.cos(half)))
    found = np.sqrt(over_cells(lambda x, y: square(piece[0], x, y)))
    assert np.abs(found - np.abs(YS)[:, None]).max() < 1e-3


def test_a_helix_is_exact_in_z() -> None:
    # a helix of 2 rho < D leaves at its axis, which it always covers, the height of its end
    down = turn((52, 50, 0), (52, 50, -1.5), (50, 50), ccw=True)
    found = cut([down], pitch=0.1)
    # a quarter before the end the tool is at (50, 48), its far rim at y 43: last covered there
    j, i = (
        round((v - w) / found.grid.pitch) for v, w in ((43.3, found.grid.y0), (50, found.grid.x0))
    )
    assert found.heights[500, 500] == pytest.approx(-1.5, abs=1e-3)
    x, y = found.grid.x0 + i * found.grid.pitch - 50, found.grid.y0 + j * found.grid.pitch - 50
    rho = math.hypot(x, y)
    half = math.acos((rho**2 + 4 - 25) / (4 * rho))
    last = (math.atan2(y, x) % math.tau) + half
    assert found.heights[j, i] == pytest.approx(-1.5 * min(last, math.tau) / math.tau, abs=1e-3)
