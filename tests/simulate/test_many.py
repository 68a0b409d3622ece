"""Distances of many pieces at once are, to the last bit, those of each by itself.

Nothing outside the project stands behind this: `distance.distances` is itself held against plain
geometry by the tests of volumes and slopes.
"""

import math
import random

import numpy as np

from compiler.simulate.distance import FAR, distances
from compiler.simulate.many import Pieces, Row, blocks, distances_of, windows
from compiler.simulate.raster import Grid

GRID = Grid.over((0.0, 0.0, 60.0, 40.0), 0.3)
REACH = 4.0


def rows(count: int) -> list[Row]:
    """Straight pieces, arcs either way, wide arcs and points, some of them off the stock."""
    rng = random.Random(11)
    found: list[Row] = []
    for k in range(count):
        x, y, heading = rng.uniform(-8, 68), rng.uniform(-8, 48), rng.uniform(0, math.tau)
        length = rng.choice([0.0, 0.4, 3.0, 25.0])
        flags = (rng.random() < 0.5, rng.random() < 0.6, False, True, True)
        radius = rng.choice([0.0, 0.0, 1.5, 9.0, 900.0]) if length else 0.0
        turn = min(length / radius, math.tau / 3) if radius else 0.0
        if radius:
            sense = 1.0 if flags[0] else -1.0
            cx, cy = x - radius * math.cos(heading), y - radius * math.sin(heading)
            end = heading + sense * turn
            ends = (x, y, cx + radius * math.cos(end), cy + radius * math.sin(end))
            found.append((*ends, -1.0, length, cx, cy, radius, k, *flags))
        else:
            ends = (x, y, x + length * math.cos(heading), y + length * math.sin(heading))
            found.append((*ends, -1.0, length, 0.0, 0.0, 0.0, k, *flags))
    return found


def test_many_pieces_as_each_by_itself() -> None:
    """The same bits in every window, and nothing near the path beyond it."""
    pieces = Pieces.of(rows(400))
    found = windows(pieces, GRID, REACH)
    seen = 0
    for block in blocks(pieces, found):
        together = distances_of(block, pieces, found, GRID, REACH)
        for row, k in enumerate(block.at):
            whole = distances(pieces.one(k), GRID.xs, GRID.ys, REACH, onward=bool(pieces.onward[k]))
            window = slice(found.j0[k], found.j1[k]), slice(found.i0[k], found.i1[k])
            alone = whole[window].copy()
            tall, wide = alone.shape
            mine = together[row, :tall, :wide]
            near = (alone <= REACH) | (mine <= REACH)
            assert np.array_equal(mine[near], alone[near])
            whole[window] = FAR
            assert float(whole.min()) > REACH
            seen += 1
    assert seen == int((found.cells > 0).sum()) > 200
