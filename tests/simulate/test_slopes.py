"""Where a disc is lowest over a cell on a ramp or helix, against brute force along the path."""

from __future__ import annotations

import math
import random

import numpy as np
import pytest
from stock import cut, turn

from compiler.simulate.distance import Piece, distances, last_over

XS = np.arange(-14.0, 14.0, 0.5)
YS = np.arange(-13.0, 13.0, 0.5)


def arc(dice: random.Random) -> tuple[Piece, float, float, float]:
    radius, first = dice.uniform(0.5, 8), dice.uniform(-math.pi, math.pi)
    sweep = dice.uniform(0.1, math.pi / 3) * dice.choice([1, -1])
    a, b = first, first + sweep
    piece = Piece(
        radius * math.cos(a), radius * math.sin(a), radius * math.cos(b), radius * math.sin(b),
        0.0, 0.0, radius, sweep > 0,
    )  # fmt: skip
    return piece, radius, first, sweep


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("down", [True, False])
def test_last_and_first_moment_over_each_cell_of_an_arc(seed: int, down: bool) -> None:
    piece, radius, first, sweep = arc(random.Random(seed))
    r = random.Random(seed + 100).uniform(1, 5)
    at = last_over(piece, XS, YS, r, down=down)
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
    straight = Piece(piece.x0, piece.y0, piece.x1, piece.y1)
    t = np.linspace(0, 1, 4001)
    for made, px, py in (
        (piece, radius * np.cos(first + t * sweep), radius * np.sin(first + t * sweep)),
        (straight, piece.x0 + t * (piece.x1 - piece.x0), piece.y0 + t * (piece.y1 - piece.y0)),
    ):
        brute = np.hypot(XS[None, :, None] - px, YS[:, None, None] - py).min(axis=2)
        found = distances(made, XS, YS, 6.0)
        near = brute <= 6.0
        assert np.abs(found - brute)[near].max() < 2e-3
        assert (found[~near] > 5.99).all()


def test_an_arc_of_ten_kilometres_is_as_exact_as_a_line() -> None:
    big = 1e7
    half = math.asin(20.0 / big)
    piece = Piece(-20.0, 0.0, 20.0, 0.0, 0.0, -big * math.cos(half), big, ccw=False)
    found = distances(piece, XS, YS, 6.0)
    assert np.abs(found - np.abs(YS)[:, None])[np.abs(YS) < 6].max() < 1e-3


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
