"""Material that stays: connected places of the raster where the stock stands too high."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.simulate.raster import Grid


@dataclass(frozen=True, slots=True)
class Left:
    """One connected place: area mm2, greatest height above what was asked mm, and its cells."""

    x: float  # of its highest cell; the first in row order where several are
    y: float
    area: float
    depth: float
    rows: npt.NDArray[np.int64]
    columns: npt.NDArray[np.int64]


def what_is_left(
    too_high: npt.NDArray[np.bool_], excess: npt.NDArray[np.float32], grid: Grid
) -> tuple[Left, ...]:
    """The connected places of a mask (cells that share an edge), largest first.

    `excess` mm above what was asked, read where the mask is set.
    """
    rows, columns = np.nonzero(too_high)
    if not rows.size:
        return ()
    labels = _labels(rows, columns)
    order = np.argsort(labels, kind="stable")
    bounds = np.flatnonzero(np.diff(labels[order])) + 1
    found = []
    for members in np.split(order, bounds):
        r, c = rows[members], columns[members]
        heights = excess[r, c]
        top = int(np.argmax(heights))
        found.append(
            Left(
                grid.x0 + grid.pitch * float(c[top]),
                grid.y0 + grid.pitch * float(r[top]),
                r.size * grid.pitch**2,
                float(heights[top]),
                r,
                c,
            )
        )
    return tuple(sorted(found, key=lambda left: (-left.area, left.x, left.y)))


def _labels(rows: npt.NDArray[np.int64], columns: npt.NDArray[np.int64]) -> npt.NDArray[np.int64]:
    """A label for each cell, by joining runs along rows with the runs they touch above.

    Cells come in row order. Union-find over runs: there are far fewer of them than cells.
    """
    starts = np.ones(rows.size, dtype=bool)
    starts[1:] = (np.diff(rows) != 0) | (np.diff(columns) != 1)
    run_of = np.cumsum(starts) - 1
    first = np.flatnonzero(starts)
    last = np.append(first[1:], rows.size) - 1
    run_row, low, high = rows[first], columns[first], columns[last]
    parent = list(range(first.size))

    def root(k: int) -> int:
        while parent[k] != k:
            parent[k] = parent[parent[k]]
            k = parent[k]
        return k

    above = 0
    for k in range(first.size):
        while run_row[above] < run_row[k] - 1:
            above += 1
        while run_row[above] == run_row[k] - 1 and high[above] < low[k]:
            above += 1
        at = above
        while run_row[at] == run_row[k] - 1 and low[at] <= high[k]:
            a, b = root(at), root(k)
            parent[max(a, b)] = min(a, b)
            at += 1
    roots = np.array([root(k) for k in range(first.size)], dtype=np.int64)
    labels: npt.NDArray[np.int64] = roots[run_of]
    return labels
