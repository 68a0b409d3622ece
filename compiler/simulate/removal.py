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
from compiler.simulate.model import Begun, Blank, Cut, MotionFacts
from compiler.simulate.profile import bands
from compiler.simulate.raster import AIR
from compiler.simulate.records import F32, FACT, Cells, Flags, Ground, Records, row_of
from compiler.simulate.records import Samples as Places
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
    pause: int = 0,
    begun: Begun | None = None,
) -> Cut:
    """Cuts the motions on the stock, or on `blank` where an earlier setup left it.

    `tools` by T number; motions with an unknown tool take nothing. `skin` mm: material no higher
    than that above the tip does not count as engagement (a floor allowance taken with the wall).
    `moves`: the motions' columns, where they are at hand. `pause`: after so many motions what was
    cut is kept beside; `begun` is that of another program: where this one begins with the very same
    pieces, it goes on from there.
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
    row = row_of(ground.cells)
    if begun is not None and not _begins_as(pieces, begun):
        begun = None
    first = 0 if begun is None else begun.pieces.size
    if begun is not None:
        ground.heights[:], met[:first] = begun.heights, begun.met
        facts[: begun.facts.size] = begun.facts
    halt = int(np.searchsorted(pieces["motion"], pause)) if pause else first
    take_all(pieces[first:halt], shapes, ground, facts, met[first:halt], row)
    heights, done = ground.heights.copy() if pause else None, facts[:pause].copy()
    take_all(pieces[halt:], shapes, ground, facts, met[halt:], row)
    tops = begins.heights if blank is not None else None
    samples, places, outline = engaged(pieces, met, shapes, begins.grid, stock, skin, tops, begun)
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
        None if heights is None else _begun(pieces[:halt], met, heights, done, places, outline),
    )


def _begins_as(pieces: Records, begun: Begun) -> bool:
    """Whether the first pieces are the very same, one by one."""
    count = begun.pieces.size
    return count <= pieces.size and bool((pieces[:count] == begun.pieces).all())


def _begun(
    pieces: Records, met: Flags, heights: F32, facts: Records, places: Places, outline: F32
) -> Begun:
    count = int(places.begin[pieces.size])
    kept = Places(places.begin[: pieces.size], *(one[:count] for one in places[1:]))
    return Begun(pieces, met[: pieces.size], heights, facts, kept, outline)


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
