"""What a program begins with: a fresh block, or what an earlier setup left, as it lies now."""

from __future__ import annotations

import numpy as np

from compiler.geometry import Point, Region
from compiler.geometry.pose import Pose
from compiler.simulate.model import Blank
from compiler.simulate.raster import AIR, F32, Grid, inside


def fresh(stock: Region, top: float, bottom: float, pitch: float) -> Blank:
    """A block of the stock's outline, mm."""
    grid = Grid.over(stock.bounds, pitch)
    heights = np.where(inside(stock, grid), np.float32(top), AIR)
    return Blank(grid, heights, np.full(heights.shape, np.float32(bottom)))


def on_grid(blank: Blank, grid: Grid) -> Blank:
    """The same on another grid, each cell as the nearest there is: for showing, not deciding."""
    own = blank.grid
    columns = np.clip(np.rint((grid.xs - own.x0) / own.pitch), 0, own.nx - 1).astype(np.int64)
    rows = np.clip(np.rint((grid.ys - own.y0) / own.pitch), 0, own.ny - 1).astype(np.int64)
    at = np.ix_(rows, columns)
    return Blank(grid, blank.heights[at].copy(), blank.bottoms[at].copy())


def turned_blank(left: Blank, pose: Pose) -> Blank:
    """What was left, as it is seen after the part was turned. Cell by cell, nothing resampled."""
    heights, bottoms = left.heights, left.bottoms
    if pose.flips:
        air = heights <= AIR / 2
        lift = np.float64(pose.lift)
        tops = np.where(air, AIR, lift - bottoms).astype(np.float32)
        bottoms = np.where(air, np.float32(0.0), lift - heights).astype(np.float32)
        heights = tops
    elif pose.lift:
        heights = np.where(heights <= AIR / 2, AIR, heights + np.float32(pose.lift))
        bottoms = bottoms + np.float32(pose.lift)
    return Blank(_turned_grid(left.grid, pose), _turned(heights, pose), _turned(bottoms, pose))


def _turned(cells: F32, pose: Pose) -> F32:
    """Rows are Y, columns X, both rising."""
    if pose.over == "x":
        cells = cells[::-1, :]
    elif pose.over == "y":
        cells = cells[:, ::-1]
    for _ in range(pose.quarters % 4):
        cells = cells.T[:, ::-1]  # Y becomes X downwards: x' = -y, y' = x
    return np.ascontiguousarray(cells)


def _turned_grid(grid: Grid, pose: Pose) -> Grid:
    far_x = grid.x0 + grid.pitch * (grid.nx - 1)
    far_y = grid.y0 + grid.pitch * (grid.ny - 1)
    one, other = pose.of(Point(grid.x0, grid.y0)), pose.of(Point(far_x, far_y))
    x0, y0 = min(one.x, other.x), min(one.y, other.y)
    swapped = pose.quarters % 2 == 1
    nx, ny = (grid.ny, grid.nx) if swapped else (grid.nx, grid.ny)
    return Grid(x0, y0, grid.pitch, nx, ny)
