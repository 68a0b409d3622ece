"""Removal: each motion takes from the heights what its cutter sweeps, in program order.

Exact in Z on level moves and on slopes of flat cutters; in plan a cell goes by its centre. What a
motion meets is looked at before it is taken away. Moves whose ends the text does not fix take
nothing: they are for the judge to weigh.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from compiler.geometry import Region
from compiler.job.model import Tool
from compiler.read import Columns, Motion, columns
from compiler.simulate.blank import fresh
from compiler.simulate.course import course, tools_of
from compiler.simulate.fronts import engaged
from compiler.simulate.model import Blank, Cut, MotionFacts
from compiler.simulate.profile import bands
from compiler.simulate.raster import AIR
from compiler.simulate.records import FACT, Cells, Ground, Records, row_of
from compiler.simulate.sweeping import take_all


def simulate(
    motions: Sequence[Motion],
    tools: Mapping[int, Tool],
    *,
    stock: Region,
    top: float,
    bottom: float,
    pitch: float,
    skin: float = 0.0,
    blank: Blank | None = None,
    moves: Columns | None = None,
) -> Cut:
    """Cuts the motions on the stock, or on `blank` where an earlier setup left it.

    `tools` by T number; motions with an unknown tool take nothing. `skin` mm: material no higher
    than that above the tip does not count as engagement (a floor allowance taken with the wall).
    `moves`: the motions' columns, where they are at hand.
    """
    begins = blank or fresh(stock, top, bottom, pitch)
    moves = columns(motions) if moves is None else moves
    place = {number: k for k, number in enumerate(tools)}
    tool = np.array(
        [place.get(m.state.tool, -1) if m.state.tool is not None else -1 for m in motions],
        dtype=np.int64,
    )
    crib = list(tools.values())
    shapes = tools_of(crib, begins.grid.pitch)
    pieces = course(moves, tool, crib, top)
    ground = _ground(begins, top)
    facts = _nothing_yet(len(moves))
    met = np.zeros(pieces.size, dtype=bool)
    take_all(pieces, shapes, ground, facts, met, row_of(ground.cells))
    tops = begins.heights if blank is not None else None
    samples = engaged(pieces, met, shapes, begins.grid, stock, skin, tops)
    contacts = {
        int(k): (bands(crib[tool[k]])[facts["band"][k]].name, float(facts["contact"][k]))
        for k in np.flatnonzero(facts["contact"] > 0)
    }
    return Cut(
        begins.grid,
        ground.heights,
        begins.bottoms,
        MotionFacts(*(facts[name].copy() for name in MotionFacts.__slots__)),
        samples,
        contacts,
    )


def _ground(begins: Blank, top: float) -> Ground:
    grid = begins.grid
    # below it a cut may come out
    underside = float(np.max(begins.bottoms, where=begins.heights > AIR / 2, initial=AIR))
    heights = np.ascontiguousarray(begins.heights).copy()
    bottoms = np.ascontiguousarray(begins.bottoms)
    cells = Cells(grid.x0, grid.y0, grid.pitch, grid.nx, grid.ny)
    return Ground(heights, bottoms, cells, top, underside)


def _nothing_yet(count: int) -> Records:
    """What motions did before any was taken."""
    facts = np.zeros(count, dtype=FACT)
    facts["touch_x"] = facts["touch_y"] = math.nan
    return facts
