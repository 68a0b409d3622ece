"""A plan raster: cells' centres on a square grid, and exact shapes marked on it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.compiled import compiled
from compiler.geometry import Arc, Line, Region, Segment

F32 = npt.NDArray[np.float32]

AIR = np.float32(-1e6)  # the height of a cell that holds no stock
MOST_CELLS = 2.5e6
FINEST, COARSEST = 0.05, 0.3  # mm
CELLS_PER_RADIUS = 24.0
_MARGIN = 3  # cells of air round the stock


@dataclass(frozen=True, slots=True)
class Grid:
    """Cell (j, i) has its centre at x0 + i * pitch, y0 + j * pitch."""

    x0: float
    y0: float
    pitch: float
    nx: int
    ny: int

    @classmethod
    def over(cls, bounds: tuple[float, float, float, float], pitch: float) -> "Grid":
        """A grid over the bounds with a little air round them.

        Centres lie half a pitch off the bounds' lower left, so that straight edges on the bounds
        fall between cells and areas of axis-parallel shapes come out without bias.
        """
        low_x, low_y, high_x, high_y = bounds
        nx = math.ceil((high_x - low_x) / pitch) + 2 * _MARGIN
        ny = math.ceil((high_y - low_y) / pitch) + 2 * _MARGIN
        offset = (_MARGIN - 0.5) * pitch
        return cls(low_x - offset, low_y - offset, pitch, nx, ny)

    @property
    def xs(self) -> npt.NDArray[np.float64]:
        """X of the columns."""
        return self.x0 + self.pitch * np.arange(self.nx, dtype=np.float64)

    @property
    def ys(self) -> npt.NDArray[np.float64]:
        """Y of the rows."""
        return self.y0 + self.pitch * np.arange(self.ny, dtype=np.float64)

    def window(
        self, low_x: float, low_y: float, high_x: float, high_y: float
    ) -> tuple[int, int, int, int]:
        """Columns i0..i1 and rows j0..j1 (exclusive ends) whose centres lie in the box."""
        i0 = max(0, math.ceil((low_x - self.x0) / self.pitch))
        i1 = min(self.nx, math.floor((high_x - self.x0) / self.pitch) + 1)
        j0 = max(0, math.ceil((low_y - self.y0) / self.pitch))
        j1 = min(self.ny, math.floor((high_y - self.y0) / self.pitch) + 1)
        return i0, i1, j0, j1


def choose_pitch(bounds: tuple[float, float, float, float], smallest_radius: float) -> float:
    """The plan pitch for a job, mm: a fraction of the smallest cutter, bounded by the cell count.

    Heights stay exact in Z whatever the pitch; it bounds how finely edges are told apart.
    """
    low_x, low_y, high_x, high_y = bounds
    area = max(1.0, (high_x - low_x) * (high_y - low_y))
    fine = min(COARSEST, max(FINEST, smallest_radius / CELLS_PER_RADIUS))
    return max(fine, math.sqrt(area / MOST_CELLS))


def inside(region: Region, grid: Grid) -> npt.NDArray[np.bool_]:
    """Which cells' centres lie in the region: even-odd along each row, arcs exactly."""
    found = np.zeros((grid.ny, grid.nx), dtype=bool)
    window, there = within(region, grid)
    found[window] = there
    return found


def within(region: Region, grid: Grid) -> tuple[tuple[slice, slice], npt.NDArray[np.bool_]]:
    """The same for the rows and columns about the region alone, and which these are."""
    if region.is_empty:
        return (slice(0, 0), slice(0, 0)), np.zeros((0, 0), dtype=bool)
    i0, i1, j0, j1 = grid.window(*region.bounds)
    i0, j0 = max(0, i0 - 1), max(0, j0 - 1)
    i1, j1 = min(grid.nx, i1 + 1), min(grid.ny, j1 + 1)
    window = slice(j0, max(j0, j1)), slice(i0, max(i0, i1))
    flips = np.zeros((max(0, j1 - j0), max(0, i1 - i0) + 1), dtype=np.int8)
    if not flips.size:
        return window, flips[:, :-1].astype(bool)
    for segment in region.segments():
        for rows, x in _crossings(segment, grid):
            columns = np.ceil((x - grid.x0) / grid.pitch)
            columns = np.clip(columns, i0, max(i0, i1)).astype(np.int64)
            flips[rows - j0, columns - i0] ^= 1  # each row once
    there = np.empty((flips.shape[0], flips.shape[1] - 1), dtype=bool)
    _fill(flips, there)
    return window, there


@compiled
def _fill(flips: npt.NDArray[np.int8], there: npt.NDArray[np.bool_]) -> None:
    """In and out along each row, at every odd number of crossings."""
    for j in range(there.shape[0]):
        odd = False
        for i in range(there.shape[1]):
            odd ^= flips[j, i] != 0
            there[j, i] = odd


def _crossings(
    segment: Segment, grid: Grid
) -> Iterator[tuple[npt.NDArray[np.int64], npt.NDArray[np.float64]]]:
    """Rows that the segment crosses, and where. Ends are half open, so that corners count once."""
    if isinstance(segment, Line):
        (ax, ay), (bx, by) = segment.start, segment.end
        rows = _rows(ay, by, grid)
        if rows.size:
            y = grid.y0 + grid.pitch * rows
            x = ax + (bx - ax) * (y - ay) / (by - ay)
            yield rows, np.asarray(x, dtype=np.float64)
        return
    for y_from, y_to, side in _monotone(segment):
        rows = _rows(y_from, y_to, grid)
        if rows.size:
            dy = grid.y0 + grid.pitch * rows - segment.centre.y
            half = np.sqrt(np.maximum(0.0, segment.radius**2 - dy * dy))
            yield rows, np.asarray(segment.centre.x + side * half, dtype=np.float64)


def _rows(a: float, b: float, grid: Grid) -> npt.NDArray[np.int64]:
    """Rows with min(a, b) <= y < max(a, b)."""
    low, high = min(a, b), max(a, b)
    first = max(0, math.ceil((low - grid.y0) / grid.pitch))
    last = min(grid.ny, math.ceil((high - grid.y0) / grid.pitch))
    return np.arange(first, max(first, last))


def _monotone(arc: Arc) -> Iterator[tuple[float, float, float]]:
    """The arc in pieces that rise or fall: y from, y to, and +1 right or -1 left of the centre."""
    start, sweep = arc.start_angle, arc.sweep
    low, high = (start, start + sweep) if sweep > 0 else (start + sweep, start)
    cuts = [low]
    k = math.floor((low - math.pi / 2) / math.pi) + 1
    while math.pi / 2 + k * math.pi < high - 1e-12:
        if math.pi / 2 + k * math.pi > low + 1e-12:
            cuts.append(math.pi / 2 + k * math.pi)
        k += 1
    cuts.append(high)
    first, last = (arc.start.y, arc.end.y) if sweep > 0 else (arc.end.y, arc.start.y)
    ys = [arc.centre.y + arc.radius * math.sin(angle) for angle in cuts]
    ys[0], ys[-1] = first, last  # the very ends, so that neighbours meet without a gap
    for a, b, y_a, y_b in zip(cuts, cuts[1:], ys, ys[1:], strict=False):
        yield y_a, y_b, 1.0 if math.cos((a + b) / 2) > 0 else -1.0
