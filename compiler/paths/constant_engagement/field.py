"""Shortest ways at depth, round walls and what still stands.

The plate is laid out in small cells, worked out by blocks where a search comes to them. A cell is
shut for ever beside a wall, and open for ever once nothing stands there any more; the others are
looked at again when something was taken away. The search goes from cell to cell (A*: Hart, Nilsson
and Raphael, "A formal basis for the heuristic determination of minimum cost paths", 1968, from
memory); what it finds is pulled taut afterwards.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.left import Left

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Free = Callable[[Floats], bool]
PITCH = 0.14  # of the radius: the side of a cell
AROUND = 3.0  # radii beside the material that are laid out
BLOCK = 16  # cells to the side of a block
OPEN, SHUT, TAKEN = 0, 1, 2  # a cell: free; by a wall; where material stands
STALE, FRESH = 0, 1  # a block
FOUND, NO_WAY, WANTED = range(3)
PAST = 0.03  # of the radius: what a way keeps off material
ENDS = 4  # cells round both ends that are open where only material is near: passes begin beside it


class Field:
    """The cells round what is to be cleared."""

    def __init__(self, safe: Grid, left: Left) -> None:
        r = left.radius
        self._safe, self._left = safe, left
        self._pitch = PITCH * r
        x0, y0, x1, y1 = left.tiles.bounds
        wide = BLOCK * self._pitch
        self._corner = np.array([x0 - AROUND * r, y0 - AROUND * r])
        columns = math.ceil((x1 - x0 + 2 * AROUND * r) / wide)
        rows = math.ceil((y1 - y0 + 2 * AROUND * r) / wide)
        self._cells = np.full((columns * BLOCK, rows * BLOCK), TAKEN, np.int64)
        self._known = np.full((columns, rows), STALE, np.int64)
        self._walled = np.zeros((columns, rows), np.bool_)  # whether walls were looked at
        self._settled = np.zeros((columns, rows), np.bool_)  # whether nothing can change any more
        self._removals = left.removals

    def way(self, start: Floats, end: Floats, longest: float, free: Free) -> Floats | None:
        """Corners of a short way (n x 2), ends included; None where there is none that is short.

        `free` tells whether the cutter may go along a path.
        """
        if self._removals != self._left.removals:
            self._removals = self._left.removals
            self._known[~self._settled] = STALE
        a, b = self._cell(start), self._cell(end)
        if a is None or b is None:
            return None
        margin = math.ceil(longest / 2 / self._pitch) + 2
        window = np.array(
            [
                max(min(a[0], b[0]) - margin, 0),
                max(min(a[1], b[1]) - margin, 0),
                min(max(a[0], b[0]) + margin, self._cells.shape[0] - 1),
                min(max(a[1], b[1]) + margin, self._cells.shape[1] - 1),
            ]
        )
        while True:
            why, i, j, cells = _search(
                self._cells, self._known, window, *a, *b, longest / self._pitch
            )
            if why != WANTED:
                break
            self._work_out(i, j)
        if why == NO_WAY:
            return None
        places = self._corner + (cells[::-1] + 0.5) * self._pitch
        return _taut(np.vstack([start, places[1:-1], end]), free)

    def _cell(self, place: Floats) -> tuple[int, int] | None:
        i, j = np.floor((place - self._corner) / self._pitch).astype(int).tolist()
        inside = 0 <= i < self._cells.shape[0] and 0 <= j < self._cells.shape[1]
        return (i, j) if inside else None

    def _work_out(self, column: int, row: int) -> None:
        """Look at the cells of a block that are still taken."""
        i, j = column * BLOCK, row * BLOCK
        cells = self._cells[i : i + BLOCK, j : j + BLOCK]
        taken = np.ascontiguousarray(np.argwhere(cells == TAKEN))  # one order for the loops
        places = self._corner + (np.array([i, j]) + taken + 0.5) * self._pitch
        if not self._walled[column, row]:
            self._walled[column, row] = True
            inside = self._safe.inside(places)
            out = taken[~inside]
            cells[out[:, 0], out[:, 1]] = SHUT
            taken, places = taken[inside], places[inside]
        clear = taken[~self._left.near(places, PAST * self._left.radius)]
        cells[clear[:, 0], clear[:, 1]] = OPEN
        self._known[column, row] = FRESH
        self._settled[column, row] = len(clear) == len(taken)


def _taut(places: Floats, free: Free) -> Floats:
    """A way with as few corners as there are; each leg goes as far as it can see."""
    kept, at = [0], 0
    while at < len(places) - 1:
        near, far, step = at + 1, len(places) - 1, 4
        # sight is mostly lost once for all: gallop on, then halve
        while near + step < far and free(places[[at, near + step]]):
            near, step = near + step, 2 * step
        far = min(far, near + step)
        if free(places[[at, far]]):
            near = far
        while far - near > 1:
            middle = (near + far) // 2
            if free(places[[at, middle]]):
                near = middle
            else:
                far = middle
        kept.append(near)
        at = near
    found: Floats = places[kept]
    return found


@compiled
def _search(
    cells: Ints,
    known: Ints,
    window: Ints,
    start_i: int,
    start_j: int,
    end_i: int,
    end_j: int,
    longest: float,
) -> tuple[int, int, int, Ints]:
    """The cells of a way from its end back to its start, or the block that is wanted."""
    low_i, low_j = window[0], window[1]
    columns, rows = window[2] - low_i + 1, window[3] - low_j + 1
    far = np.empty(columns * rows)
    far[:] = np.inf
    before = np.empty(columns * rows, np.int64)
    before[:] = -1
    done = np.empty(columns * rows, np.bool_)
    done[:] = False
    heap, cost = np.empty(1024, np.int64), np.empty(1024)
    none = np.empty((0, 2), np.int64)
    first = (start_i - low_i) * rows + start_j - low_j
    last = (end_i - low_i) * rows + end_j - low_j
    far[first] = 0.0
    heap[0], cost[0], size = first, 0.0, 1
    while size > 0:
        here = heap[0]
        size = _sink(heap, cost, size)
        if done[here]:
            continue
        done[here] = True
        if here == last:
            count, k = 1, here
            while k != first:
                k, count = before[k], count + 1
            found = np.empty((count, 2), np.int64)
            k = here
            for n in range(count):
                found[n, 0], found[n, 1] = low_i + k // rows, low_j + k % rows
                k = before[k]
            return FOUND, 0, 0, found
        i, j = here // rows, here % rows
        for di in range(-1, 2):
            for dj in range(-1, 2):
                a, b = i + di, j + dj
                if a < 0 or b < 0 or a >= columns or b >= rows or (di == 0 and dj == 0):
                    continue
                there = a * rows + b
                if done[there]:
                    continue
                total = far[here] + (1.4142135623730951 if di != 0 and dj != 0 else 1.0)
                across, along = abs(a + low_i - end_i), abs(b + low_j - end_j)
                guess = max(across, along) + 0.41421356237309515 * min(across, along)
                if total >= far[there] or total + guess > longest:
                    continue
                from_start = max(abs(a + low_i - start_i), abs(b + low_j - start_j))
                if there != last:
                    column, row = (a + low_i) // BLOCK, (b + low_j) // BLOCK
                    # what is open stays so
                    state = cells[a + low_i, b + low_j]
                    if state == TAKEN and known[column, row] == STALE:
                        return WANTED, column, row, none
                    near = min(from_start, max(across, along)) <= ENDS
                    if state == SHUT or (state == TAKEN and not near):
                        continue
                far[there], before[there] = total, here
                if size == len(heap):
                    more, more_cost = np.empty(2 * size, np.int64), np.empty(2 * size)
                    for n in range(size):
                        more[n], more_cost[n] = heap[n], cost[n]
                    heap, cost = more, more_cost
                _rise(heap, cost, size, there, total + guess)
                size += 1
    return NO_WAY, 0, 0, none


@compiled
def _rise(heap: Ints, cost: Floats, at: int, item: int, value: float) -> None:
    """Put an item behind the others of a heap, and where it belongs."""
    while at > 0 and cost[(at - 1) // 2] > value:
        heap[at], cost[at] = heap[(at - 1) // 2], cost[(at - 1) // 2]
        at = (at - 1) // 2
    heap[at], cost[at] = item, value


@compiled
def _sink(heap: Ints, cost: Floats, size: int) -> int:
    """Take the first item off a heap; how many are left."""
    size -= 1
    item, value, at = heap[size], cost[size], 0
    while 2 * at + 1 < size:
        child = 2 * at + 1
        if child + 1 < size and cost[child + 1] < cost[child]:
            child += 1
        if cost[child] >= value:
            break
        heap[at], cost[at] = heap[child], cost[child]
        at = child
    heap[at], cost[at] = item, value
    return size
