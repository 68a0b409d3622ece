"""Signed distance to the edge of a raster mask, in a band: two passes, rows and columns apart.

After Felzenszwalb and Huttenlocher, Distance transforms of sampled functions (2012): squared
distances to the nearest cell add up along the axes. Good to half a pitch, as cells are.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from compiler.simulate.raster import F32

BAND = 2.0  # mm on either side where distances are worked out
FAR = np.float32(1e3)

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
    if not cells.any():
        return np.full(cells.shape, np.inf, dtype=np.float32)
    columns = np.arange(cells.shape[1])
    before = np.maximum.accumulate(np.where(cells, columns, -(10**6)), axis=1)
    after = np.minimum.accumulate(np.where(cells, columns, 10**6)[:, ::-1], axis=1)[:, ::-1]
    across = np.minimum(columns - before, after - columns).astype(np.float32)
    across[across > reach] = np.inf
    along = across**2
    found = along.copy()
    for k in range(1, min(reach, cells.shape[0] - 1) + 1):
        np.minimum(found[k:], along[:-k] + np.float32(k * k), out=found[k:])
        np.minimum(found[:-k], along[k:] + np.float32(k * k), out=found[:-k])
    return np.sqrt(found)
