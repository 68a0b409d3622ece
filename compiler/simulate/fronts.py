"""Where the cleared area ends at each height, finer than the raster: fields of signed distances.

A cell holds how far its centre lies outside everything swept at this height or below, negative
inside. Between centres the field is read bilinearly: a distance field is smooth, so a pitch h puts
the front within h^2 / (8 r) of its place (0.0003 mm at h 0.13 and r 6.35), where a bitmap would be
off by h / 2.

The engaged angle is the part of the rim's leading half that lies beyond the front. What the tool
itself swept within `LAG` radii of path behind it touches the rim everywhere and is kept out of
the field until the tool has moved on. Measured against exact coverage of the rim by discs: 0.2
degrees in the median, 1.1 at the most where contact just begins, loops tighter than the cutter
included.

One field is held at a time for each height that is still to come: made when the program first
cuts at it, brought up to date when it comes back, let go after its last piece. Ends of ramps and
plunges are single discs, so that a helix does not open a field at each turn.
"""

from __future__ import annotations

import numpy as np

from compiler.geometry import Region
from compiler.simulate.course import outline_pieces
from compiler.simulate.field import edge_field
from compiler.simulate.model import Begun, Samples
from compiler.simulate.raster import Grid, inside
from compiler.simulate.records import (
    F32,
    TOOL,
    Cells,
    Flags,
    Ints,
    Records,
    rim_of,
    row_of,
)
from compiler.simulate.records import Samples as Places
from compiler.simulate.sweeping import RIM, follow

SAMPLE = 0.125  # of the radius between places where the engaged angle is measured
_OUTLINE_BAND = 2.0  # mm on either side of the outline where its distance is worked out
_FAR = np.float32(1e3)
_ROUNDING = 6e-5  # mm: heights are told apart by their fourth decimal


def engaged(
    p: Records,
    met: Flags,
    tools: Records,
    grid: Grid,
    stock: Region,
    skin: float,
    tops: F32 | None,
    begun: Begun | None = None,
) -> tuple[Samples, Places, F32]:
    """The engaged angle at places spread evenly over the measured pieces that met material.

    `skin` mm: what was swept no higher than that above a height counts as swept at it. `tops`:
    what the stock was cut down to before the program begins, where it is no fresh block. `begun`:
    what was measured along the first pieces. Returns the room for all places and the distances to
    the stock's outline too.
    """
    places, known = _places(p, tools), 0
    if begun is not None:
        known, count = begun.pieces.size, begun.places.x.size
        places.x[:count], places.y[:count] = begun.places.x, begun.places.y
        places.angle[:count] = begun.places.angle
        met = met & (np.arange(p.size) >= known)
    outline = begun.outline if begun is not None else outline_field(stock, grid)
    at = np.flatnonzero(p["measured"])
    heights = np.round(p["z1"][at], 4)
    begins = at[np.flatnonzero(np.diff(heights, prepend=np.nan) != 0)]
    ends = np.append(begins, p.size)[1:]
    visits = np.round(p["z1"][begins], 4).tolist()
    last = {height: n for n, height in enumerate(visits)}
    cells = _cells(grid)
    row, rim = row_of(cells), rim_of(RIM.size)
    fronts: dict[float, tuple[F32, int]] = {}
    for n, (height, begin, end) in enumerate(zip(visits, begins, ends, strict=True)):
        if ends[last[height]] <= known:  # all at this height is measured
            continue
        level = height + skin + _ROUNDING
        front, opened = fronts.pop(height, (None, 0))
        if front is None:
            front = _front(outline, tops, level, grid.pitch)
        opened = follow(
            p, met, int(begin), int(end), opened, tools, cells, front, level, places, row, rim
        )
        if last[height] > n:
            fronts[height] = front, opened
    read = np.flatnonzero(~np.isnan(places.angle))
    k = np.searchsorted(places.begin, read, side="right") - 1
    lengths = p["length"][k] / np.diff(places.begin)[k]
    samples = Samples(p["motion"][k], places.x[read], places.y[read], places.angle[read], lengths)
    return samples, places, outline


def _places(p: Records, tools: Records) -> Places:
    """Room for what is measured along each piece."""
    count = np.ceil(p["length"] / (SAMPLE * tools["radius"][p["tool"]]))
    count = np.where(p["measured"], np.maximum(1, count), 0)
    begin: Ints = np.concatenate([np.zeros(1), np.cumsum(count)]).astype(np.int64)
    size = int(begin[-1])
    return Places(begin, np.zeros(size), np.zeros(size), np.full(size, np.nan))


def _front(outline: F32, tops: F32 | None, level: float, pitch: float) -> F32:
    """The front at a height before anything was cut by this program."""
    if tops is None:
        return outline.copy()
    return np.minimum(outline, edge_field(tops > np.float32(level), pitch))


def outline_field(stock: Region, grid: Grid) -> F32:
    """Signed distance to the stock's outline: exact near it, a large value elsewhere."""
    solid = inside(stock, grid)
    far = max(4 * grid.pitch, _OUTLINE_BAND)
    field = np.full(solid.shape, far, dtype=np.float32)
    # a front that a point opens on its way along the outline, up to one place more
    outline = outline_pieces(stock)
    way = np.append(outline, outline[-1:])
    way["sweeps"] = False
    point = np.zeros(1, dtype=TOOL)
    point["reach"], point["deep"] = far, -1.0
    none, met = np.zeros(0), np.zeros(way.size, dtype=bool)
    places = Places(np.zeros(way.size + 1, dtype=np.int64), none, none, none)
    cells = _cells(grid)
    row, rim = row_of(cells), rim_of(RIM.size)
    follow(way, met, way.size - 1, way.size, 0, point, cells, field, 0.0, places, row, rim)
    # beyond the band only the sign counts, but sweeps must be able to lower it
    field[solid & (field >= np.float32(far))] = _FAR
    np.negative(field, out=field, where=~solid)
    return field


def _cells(grid: Grid) -> Cells:
    return Cells(grid.x0, grid.y0, grid.pitch, grid.nx, grid.ny)
