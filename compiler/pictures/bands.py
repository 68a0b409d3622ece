"""Heights of a raster as a few nested areas, for drawing: everything at or below each level.

For looking at only. Levels are the heights that cover most; what lies between goes to the nearest.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import MultiPolygon, Polygon

from compiler.simulate.raster import AIR, Grid

MOST_LEVELS = 7
_MOST_COLUMNS = 420  # more cells than that each way are thinned out
_SHARE = 0.002  # of the stock: a height that covers less is no level of its own

Area = Polygon | MultiPolygon


@dataclass(frozen=True, slots=True)
class Band:
    """One height, None for cut through; its own area, mm2; and all that is as deep or deeper."""

    z: float | None
    area: float
    nested: Area


def bands(heights: npt.NDArray[np.float32], stock: npt.NDArray[np.bool_], grid: Grid) -> list[Band]:
    """The bands from the highest down. `stock`: the cells that held stock at the start."""
    through = stock & (heights <= AIR / 2)
    solid = stock & ~through
    levels = _levels(heights[solid], int(stock.sum()))
    index = np.full(heights.shape, -1)
    if levels.size:
        apart = np.abs(heights[solid][:, None] - levels[None, :])
        index[solid] = np.argmin(apart, axis=1)
    index[through] = levels.size
    named = [*(float(z) for z in levels), None]
    found = []
    for k, z in enumerate(named):
        cells = int((index == k).sum())
        if cells:
            found.append(Band(z, cells * grid.pitch**2, _outlined(index >= k, grid)))
    return found


def _levels(heights: npt.NDArray[np.float32], cells: int) -> npt.NDArray[np.float64]:
    """The heights that cover most, from the highest down."""
    values, counts = np.unique(np.round(heights.astype(np.float64), 2), return_counts=True)
    wide = np.flatnonzero(counts >= max(1.0, _SHARE * cells))
    if not wide.size:
        wide = np.array([int(np.argmax(counts))]) if values.size else wide
    chosen = wide[np.argsort(-counts[wide], kind="stable")][:MOST_LEVELS]
    return np.asarray(np.sort(values[chosen])[::-1] + 0.0, dtype=np.float64)


def _outlined(mask: npt.NDArray[np.bool_], grid: Grid) -> Area:
    """The cells of a mask as one area, its stairs smoothed within a cell."""
    step = max(1, -(-max(mask.shape) // _MOST_COLUMNS))
    thin = mask[step // 2 :: step, step // 2 :: step]
    edge = np.zeros((thin.shape[0], thin.shape[1] + 2), dtype=np.int8)
    edge[:, 1:-1] = thin
    rows, starts = np.nonzero(np.diff(edge, axis=1) == 1)
    _, ends = np.nonzero(np.diff(edge, axis=1) == -1)
    cell = grid.pitch * step
    x0 = grid.x0 + grid.pitch * (step // 2) - cell / 2
    y0 = grid.y0 + grid.pitch * (step // 2) - cell / 2
    boxes = shapely.box(
        x0 + cell * starts, y0 + cell * rows, x0 + cell * ends, y0 + cell * (rows + 1)
    )
    whole = shapely.union_all(boxes)
    return shapely.simplify(whole, 0.75 * cell)  # type: ignore[no-any-return]
