"""Many pieces of path at once: their windows on the raster, and the distances of the cells there.

To the last bit what `distance.distances` gives for one piece, for blocks of windows of one shape.
Windows are small: one call for many takes hardly longer than one call for one.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import cast

import numpy as np
import numpy.typing as npt

from compiler.simulate.distance import F32, F64, FAR, FLAT, Flags, Piece
from compiler.simulate.raster import Grid

Ints = npt.NDArray[np.int64]
# x0, y0, x1, y1, z, length, cx, cy, radius, motion, ccw, onward, settled, cuts, measured
Row = tuple[
    float,
    float,
    float,
    float,
    float,
    float,
    float,
    float,
    float,
    int,
    bool,
    bool,
    bool,
    bool,
    bool,
]

_EDGE = 0.01  # mm: single precision may take a cell this near to a normal for one beyond it
_WASTE = 0.3  # of a block's cells that may lie beyond its windows, and
_WASTE_CELLS = 40_000  # as many more: what the calls for another block would cost


@dataclass(frozen=True, slots=True)
class Pieces:
    """Stretches of path in the order they are gone, one entry each; straight where `radius` is 0.

    As `distance.Piece`, and: `z` of the tip; `length` mm along the path; `motion`, the index of the
    one it belongs to; `onward`, whether it goes on where another has just ended; `settled`, whether
    the tool left its path before it; `cuts`, False of a rapid; `measured`, whether engagement is.
    """

    x0: F64
    y0: F64
    x1: F64
    y1: F64
    cx: F64
    cy: F64
    radius: F64
    z: F64
    length: F64
    motion: Ints
    ccw: Flags
    onward: Flags
    settled: Flags
    cuts: Flags
    measured: Flags

    @classmethod
    def of(cls, rows: Sequence[Row]) -> Pieces:
        """From one row for each."""
        x0, y0, x1, y1, z, length, cx, cy, radius, motion, ccw, onward, settled, cuts, measured = (
            zip(*rows, strict=True)
        )

        def floats(values: tuple[float, ...]) -> F64:
            return np.array(values, dtype=np.float64)

        def flags(values: tuple[bool, ...]) -> Flags:
            return np.array(values, dtype=bool)

        return cls(
            x0=floats(x0),
            y0=floats(y0),
            x1=floats(x1),
            y1=floats(y1),
            cx=floats(cx),
            cy=floats(cy),
            radius=floats(radius),
            z=floats(z),
            length=floats(length),
            motion=np.array(motion, dtype=np.int64),
            ccw=flags(ccw),
            onward=flags(onward),
            settled=flags(settled),
            cuts=flags(cuts),
            measured=flags(measured),
        )

    def __len__(self) -> int:
        return int(self.x0.size)

    def take(self, at: slice | Ints) -> Pieces:
        """Some of them."""
        return Pieces(*(getattr(self, name)[at] for name in self.__slots__))

    def one(self, k: int) -> Piece:
        """One of them by itself."""
        x0, y0, x1, y1, cx, cy, radius = (
            float(values[k])
            for values in (self.x0, self.y0, self.x1, self.y1, self.cx, self.cy, self.radius)
        )
        return Piece(x0, y0, x1, y1, cx, cy, radius, bool(self.ccw[k]))

    @property
    def chord(self) -> F64:
        """From start to end, mm."""
        dx, dy = (self.x1 - self.x0).tolist(), (self.y1 - self.y0).tolist()
        return np.array([math.hypot(x, y) for x, y in zip(dx, dy, strict=True)], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class Windows:
    """Columns i0 to i1 and rows j0 to j1 of the raster that each piece may change."""

    i0: Ints
    i1: Ints
    j0: Ints
    j1: Ints

    @property
    def cells(self) -> Ints:
        """How many each holds; none or less where the piece is off the stock."""
        found: Ints = np.maximum(self.i1 - self.i0, 0) * np.maximum(self.j1 - self.j0, 0)
        return found


@dataclass(frozen=True, slots=True)
class Block:
    """Pieces of one kind whose windows are held in one shape (rows, columns)."""

    at: Ints
    shape: tuple[int, int]
    kind: int  # 0: a point, 1: straight, 2: an arc, 3: one so wide that it takes double precision

    @property
    def cells(self) -> int:
        """How many it holds."""
        return int(self.at.size) * self.shape[0] * self.shape[1]


def windows(p: Pieces, grid: Grid, reach: float) -> Windows:
    """Where each piece comes within `reach` mm of a cell.

    Of one that goes onward only what lies ahead of the normal at its start: the rest is FAR.
    """
    low_x, high_x = np.minimum(p.x0, p.x1), np.maximum(p.x0, p.x1)
    low_y, high_y = np.minimum(p.y0, p.y1), np.maximum(p.y0, p.y1)
    chord = p.chord
    # how far the start reaches in x and y: all round, or along its normal alone
    arc = p.radius > 0
    long = arc | (chord >= 1e-9)
    safe = np.where(arc, p.radius, np.where(long, chord, 1.0))
    normal_x = np.where(arc, p.x0 - p.cx, p.y1 - p.y0) / safe
    normal_y = np.where(arc, p.y0 - p.cy, p.x1 - p.x0) / safe
    ahead = p.onward & long
    start_x = np.where(ahead, np.minimum(np.abs(normal_x) * reach + _EDGE, reach), reach)
    start_y = np.where(ahead, np.minimum(np.abs(normal_y) * reach + _EDGE, reach), reach)
    low_x = np.minimum(p.x0 - start_x, p.x1 - reach)
    high_x = np.maximum(p.x0 + start_x, p.x1 + reach)
    low_y = np.minimum(p.y0 - start_y, p.y1 - reach)
    high_y = np.maximum(p.y0 + start_y, p.y1 + reach)
    if arc.any():
        sign = np.where(p.ccw, 1.0, -1.0)
        ax, ay, bx, by = p.x0 - p.cx, p.y0 - p.cy, p.x1 - p.cx, p.y1 - p.cy

        def met(dx: float, dy: float) -> Flags:
            found: Flags = arc & (sign * (ax * dy - ay * dx) >= 0)
            return found & (sign * (dx * by - dy * bx) >= 0)

        far = p.radius + reach
        high_x = np.where(met(1, 0), np.maximum(high_x, p.cx + far), high_x)
        high_y = np.where(met(0, 1), np.maximum(high_y, p.cy + far), high_y)
        low_x = np.where(met(-1, 0), np.minimum(low_x, p.cx - far), low_x)
        low_y = np.where(met(0, -1), np.minimum(low_y, p.cy - far), low_y)
    i0 = np.maximum(np.ceil((low_x - grid.x0) / grid.pitch), 0)
    i1 = np.minimum(np.floor((high_x - grid.x0) / grid.pitch) + 1, grid.nx)
    j0 = np.maximum(np.ceil((low_y - grid.y0) / grid.pitch), 0)
    j1 = np.minimum(np.floor((high_y - grid.y0) / grid.pitch) + 1, grid.ny)
    return Windows(*(side.astype(np.int64) for side in (i0, i1, j0, j1)))


def blocks(p: Pieces, w: Windows) -> list[Block]:
    """The pieces whose windows are not empty in blocks, few of them and not too empty."""
    kind = np.where(p.radius > FLAT, 3, np.where(p.radius > 0, 2, 1))
    kind[(kind == 1) & (p.chord < 1e-9)] = 0
    tall, wide = w.j1 - w.j0, w.i1 - w.i0
    found: list[Block] = []
    for which in range(4):
        at = np.flatnonzero((kind == which) & (w.cells > 0))
        at = at[np.argsort(w.cells[at], kind="stable")]
        begin, rows, columns, used = 0, 0, 0, 0
        for k, (t, u) in enumerate(zip(tall[at].tolist(), wide[at].tolist(), strict=True)):
            size = max(rows, t) * max(columns, u) * (k + 1 - begin)
            if k > begin and size > (1 + _WASTE) * (used + t * u) + _WASTE_CELLS:
                found.append(Block(at[begin:k], (rows, columns), which))
                begin, rows, columns, used = k, 0, 0, 0
            rows, columns, used = max(rows, t), max(columns, u), used + t * u
        if at.size:
            found.append(Block(at[begin:], (rows, columns), which))
    return found


def distances_of(block: Block, p: Pieces, w: Windows, grid: Grid, reach: float) -> F32:
    """(n, rows, columns) distances of a block's pieces.

    Each window stands in the first rows and columns of its entry; what is beyond it there is of no
    meaning.
    """
    at, (rows, columns) = block.at, block.shape
    p = p.take(at)
    xs = grid.x0 + grid.pitch * (w.i0[at][:, None] + np.arange(columns)).astype(np.float64)
    ys = grid.y0 + grid.pitch * (w.j0[at][:, None] + np.arange(rows)).astype(np.float64)
    if block.kind == 0:
        return _to_points(p.x0, p.y0, xs, ys)
    found = _strips(p, xs, ys) if block.kind == 1 else _rings(p, xs, ys, block.kind == 3)
    wide, tall = (w.i1 - w.i0)[at], (w.j1 - w.j0)[at]
    off = _to_points(p.x1, p.y1, xs, ys, _far(xs, wide, p.x1, reach), _far(ys, tall, p.y1, reach))
    np.minimum(found, off, out=found)
    first = np.flatnonzero(~p.onward)
    if first.size:
        p, xs, ys, wide, tall = p.take(first), xs[first], ys[first], wide[first], tall[first]
        far = _far(xs, wide, p.x0, reach), _far(ys, tall, p.y0, reach)
        off = _to_points(p.x0, p.y0, xs, ys, *far)
        found[first] = np.minimum(found[first], off)
    return found


def _strips(p: Pieces, xs: F64, ys: F64) -> F32:
    """Distance to the lines through straight pieces, FAR before and beyond them."""
    length = p.chord[:, None]
    ux, uy = (p.x1 - p.x0)[:, None] / length, (p.y1 - p.y0)[:, None] / length
    x, y = xs - p.x0[:, None], ys - p.y0[:, None]
    found = (y * ux).astype(np.float32)[:, :, None] - (x * uy).astype(np.float32)[:, None, :]
    np.abs(found, out=found)
    along = (x * ux - length / 2).astype(np.float32)[:, None, :] + (y * uy).astype(np.float32)[
        :, :, None
    ]
    np.abs(along, out=along)
    np.copyto(found, FAR, where=along > (length / 2).astype(np.float32)[:, :, None])
    return found


def _rings(p: Pieces, xs: F64, ys: F64, is_wide: bool) -> F32:
    """Distance to arcs' circles, FAR outside their sweeps; very wide ones in double precision."""
    # double numbers pass for single where types are checked
    kind = cast("type[np.float32]", np.float64 if is_wide else np.float32)
    x, y = (xs - p.cx[:, None]).astype(kind), (ys - p.cy[:, None]).astype(kind)
    off = (x * x)[:, None, :] + (y * y)[:, :, None]
    np.sqrt(off, out=off)
    off -= p.radius.astype(kind)[:, None, None]
    np.abs(off, out=off)
    start = (p.x0 - p.cx, p.y0 - p.cy)
    end = (p.x1 - p.cx, p.y1 - p.cy)
    ax, bx = np.where(p.ccw, start[0], end[0]), np.where(p.ccw, end[0], start[0])
    ay, by = np.where(p.ccw, start[1], end[1]), np.where(p.ccw, end[1], start[1])
    ax, ay, bx, by = (side.astype(kind)[:, None] for side in (ax, ay, bx, by))
    # counter-clockwise from a to b: right of a, or left of b
    outside = (y * ax)[:, :, None] < (x * ay)[:, None, :]
    outside |= (x * by)[:, None, :] < (y * bx)[:, :, None]
    found = off.astype(np.float32, copy=False)
    np.copyto(found, FAR, where=outside)
    return found


def _to_points(
    px: F64, py: F64, xs: F64, ys: F64, out_x: Flags | None = None, out_y: Flags | None = None
) -> F32:
    """Distance to one point for each piece, without end in columns and rows left out."""
    x = (xs - px[:, None]).astype(np.float32)
    y = (ys - py[:, None]).astype(np.float32)
    x *= x
    y *= y
    if out_x is not None and out_y is not None:
        x[out_x] = np.inf
        y[out_y] = np.inf
    square: F32 = x[:, None, :] + y[:, :, None]
    return np.sqrt(square, out=square)


def _far(centres: F64, count: Ints, at: F64, reach: float) -> Flags:
    """Which of each row of evenly spaced centres, `count` of them, are not near a place."""
    first = centres[:, 0]
    last = centres[np.arange(count.size), count - 1]
    many = count > 1
    per = (count - 1) / np.where(many, last - first, 1.0)
    low = np.where(many, np.floor((at - reach - first) * per), 0)
    high = np.where(many, np.ceil((at + reach - first) * per) + 1, count)
    k = np.arange(centres.shape[1])
    return np.asarray((k < low[:, None]) | (k >= high[:, None]))
