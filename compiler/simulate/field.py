"""Signed distance to the edge of a raster mask, in a band: two passes, rows and columns apart.

After Felzenszwalb and Huttenlocher, Distance transforms of sampled functions (2012): squared
distances to the nearest cell add up along the axes. Good to half a pitch, as cells are.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from compiler.compiled import compiled
from compiler.simulate.raster import F32

BAND = 2.0  # mm on either side where distances are worked out
FAR = np.float32(1e3)
_STRETCH = 64  # cells that are passed over together

Flags = npt.NDArray[np.bool_]


def edge_field(there: Flags, pitch: float) -> F32:
    """Distance to where the mask ends, mm: positive within it, negative outside, `FAR` off it."""
    reach = max(4, math.ceil(BAND / pitch))
    to_gone, to_there = _to_nearest(~there, reach), _to_nearest(there, reach)
    # edges run half a pitch off the centres of the cells on either side
    inner = np.where(np.isfinite(to_gone), (to_gone - 0.5) * pitch, FAR)
    outer = np.where(np.isfinite(to_there), (0.5 - to_there) * pitch, -FAR)
    return np.where(there, inner, outer).astype(np.float32)


def _to_nearest(cells: Flags, reach: int) -> F32:
    """Cells to the nearest of those set, infinite beyond `reach`."""
    across, found = np.empty(cells.shape, np.float32), np.empty(cells.shape, np.float32)
    _along_rows(cells, reach, across)
    _over_rows(across, reach, found)
    return found


@compiled
def _along_rows(cells: Flags, reach: int, found: F32) -> None:
    """Squared cells to the nearest that is set in the same row."""
    rows, columns = cells.shape
    for j in range(rows):
        last = -reach - 1
        for i in range(columns):
            last = i if cells[j, i] else last
            found[j, i] = i - last
        last = columns + reach
        for i in range(columns - 1, -1, -1):
            last = i if cells[j, i] else last
            off = min(found[j, i], np.float32(last - i))
            found[j, i] = off * off if off <= reach else math.inf


@compiled
def _over_rows(across: F32, reach: int, found: F32) -> None:
    """The least over the rows about each, and the root of it; stretches of a row with nothing near
    are passed over.
    """
    rows, columns = across.shape
    found[:] = np.float32(math.inf)
    for n in range(rows):
        for begin in range(0, columns, _STRETCH):
            row = across[n, begin : begin + _STRETCH]
            if _any_near(row):
                for j in range(max(0, n - reach), min(rows, n + reach + 1)):
                    square = np.float32((j - n) * (j - n))
                    _least(row, square, found[j, begin : begin + _STRETCH])
    for j in range(rows):
        for i in range(columns):
            found[j, i] = math.sqrt(found[j, i])


@compiled
def _any_near(row: F32) -> bool:
    found = False
    for i in range(row.size):
        found |= row[i] < math.inf
    return found


@compiled
def _least(row: F32, more: np.float32, found: F32) -> None:
    """No greater than a row and some more: several cells at a time."""
    for i in range(row.size):
        value = row[i] + more
        found[i] = value if value < found[i] else found[i]
