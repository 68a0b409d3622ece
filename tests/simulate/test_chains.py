"""A chain of lines and arcs leaves what plain geometry says: places far along a sampled path.

Each piece is asked only of what lies ahead of it; nothing may fall between two of them. Plane
geometry, derived.
"""

from __future__ import annotations

import cmath
import math
import random

import numpy as np
import numpy.typing as npt
import pytest
from stock import block, cut, cutter, line, turn

from compiler.read import Motion, columns
from compiler.simulate.course import course, tools_of
from compiler.simulate.fronts import outline_field
from compiler.simulate.raster import Grid
from compiler.simulate.records import Cells, Samples, rim_of, row_of
from compiler.simulate.sweeping import RIM, follow

RADIUS, DEPTH, PITCH = 4.0, -2.0, 0.25
STOCK = block(0, 0, 60, 40)


def chain(seed: int) -> tuple[list[Motion], npt.NDArray[np.complex128]]:
    """Level moves that go on smoothly where the one before ended, and places along them."""
    dice = random.Random(seed)
    at, heading = complex(15, 15), dice.uniform(0, math.tau)
    moves: list[Motion] = []
    places: list[npt.NDArray[np.complex128]] = []
    t = np.linspace(0, 1, 401)
    for _ in range(14):
        if abs(at - complex(30, 20)) > 22:
            heading = cmath.phase(complex(30, 20) - at)
        if dice.random() < 0.3:
            there = at + cmath.rect(dice.uniform(0.05, 9), heading)
            moves.append(line((at.real, at.imag, DEPTH), (there.real, there.imag, DEPTH)))
            places.append(at + t * (there - at))
        else:
            sense, radius = dice.choice([1, -1]), dice.choice([0.3, 1.5, 6.0, 80.0])
            sweep = min(dice.uniform(0.1, 4.5), 9 / radius)
            centre = at + cmath.rect(radius, heading + sense * math.pi / 2)
            way = centre + (at - centre) * np.exp(1j * sense * sweep * t)
            there = complex(way[-1])
            ends = (at.real, at.imag, DEPTH), (there.real, there.imag, DEPTH)
            moves.append(turn(*ends, (centre.real, centre.imag), ccw=sense > 0))
            places.append(way)
            heading += sense * sweep
        at = there
    return moves, np.concatenate(places)


def far(grid: Grid, places: npt.NDArray[np.complex128]) -> npt.NDArray[np.float64]:
    """Of every cell the distance from the nearest of some places."""
    found = np.full((grid.ny, grid.nx), np.inf)
    cells = grid.xs[None, :] + 1j * grid.ys[:, None]
    for place in np.append(places[::4], places[400::401]):
        np.minimum(found, np.abs(cells - place), out=found)
    return found


@pytest.mark.parametrize("seed", range(3))
def test_heights_and_fronts_of_a_chain(seed: int) -> None:
    moves, places = chain(seed)
    made = cut(moves, cutter(2 * RADIUS), stock=STOCK, pitch=PITCH)
    grid = made.grid
    off = far(grid, places)
    inside = (np.abs(grid.xs - 30)[None, :] < 30) & (np.abs(grid.ys - 20)[:, None] < 20)
    near = np.abs(off - RADIUS) < 0.02  # the places lie some hundredths apart
    swept = (off < RADIUS) & inside
    assert np.array_equal((made.heights == DEPTH)[~near], swept[~near])

    tools = tools_of([cutter(2 * RADIUS)], PITCH)
    pieces = course(columns(moves), np.zeros(len(moves), dtype=np.int64), [cutter(2 * RADIUS)], 0.0)
    cells = Cells(grid.x0, grid.y0, PITCH, grid.nx, grid.ny)
    front = outline_field(STOCK, grid)
    wall = np.minimum(30 - np.abs(grid.xs - 30)[None, :], 20 - np.abs(grid.ys - 20)[:, None])
    count = pieces.size
    none = np.zeros(0)
    samples = Samples(np.zeros(count + 1, dtype=np.int64), none, none, none)
    met = np.zeros(count, dtype=bool)
    row, rim = row_of(cells), rim_of(RIM.size)
    follow(pieces, met, 0, count, 0, tools, cells, front, DEPTH, samples, row, rim)
    # the last of the path is not swept yet: within LAG of the end nothing is asked
    asked = (far(grid, places[-401:]) > RADIUS + 2) & (wall > 3.0) & (np.abs(off - RADIUS) < 0.4)
    assert asked.sum() > 500
    assert np.abs(front - (off - RADIUS))[asked].max() < 0.02
