"""Sweeping pieces off the heights, many at a time: what each met is told apart by its order.

Distances do not hang on what was cut before, so they come in blocks (`simulate.many`). What does
is done piece after piece, in few steps: compare with the heights, lower them, read the front where
the rim is, let the front move on. What was met is counted afterwards, block by block.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from compiler.simulate.distance import F32, F64, Flags, distances
from compiler.simulate.front import LAG, Front, Rim
from compiler.simulate.fronts import Fronts
from compiler.simulate.many import Ints, Pieces, Windows, blocks, distances_of, windows
from compiler.simulate.model import MotionFacts
from compiler.simulate.profile import Profile
from compiler.simulate.raster import AIR, Grid

SKIN = 1e-3  # mm: thinner than that is no material
GRAZE = 0.02  # mm inside the rim: what a rapid meets there it meets; the cells' places are exact
_SAMPLE = 0.125  # of the radius between places where the engaged angle is measured
_STRAIGHT = 10.0  # radii: the rim meets cells along a greater arc as along a line
_AT_ONCE = 1_000_000  # cells of windows held at once, of some 25 bytes each
_LARGE = 20_000  # cells: a window of so many is a block by itself


@dataclass(frozen=True, slots=True)
class Ground:
    """What is cut: (ny, nx) arrays, `heights` changed in place."""

    grid: Grid
    heights: F32
    bottoms: F32
    underside: float  # no material ends higher: a cut above it comes out nowhere


@dataclass(frozen=True, slots=True)
class Engaged:
    """Engaged angle at places along pieces that met material, in order."""

    motion: Ints
    x: F64
    y: F64
    angle: F64
    length: F64


@dataclass(frozen=True, slots=True)
class _Held:
    """Windows of pieces side by side, and for each cell: the distance from the path, the floor that
    is cut to (None for a flat end: the tip's height), the height above which material is met; then
    what stood there before its piece and what that met. For the front, how far it is from the rim.
    """

    begin: Ints  # where each piece's window begins; -1 where it has none
    row: Ints  # how long its rows are
    off: F32
    floor: F32 | None
    limit: F32
    old: F32
    met: Flags
    beyond: F32 | None

    def window(self, cells: npt.NDArray[Any], k: int, tall: int, wide: int) -> npt.NDArray[Any]:
        """One piece's window, of one of the arrays."""
        begin, row = int(self.begin[k]), int(self.row[k])
        return cells[begin : begin + tall * row].reshape(tall, row)[:, :wide]


@dataclass(frozen=True, slots=True)
class Met:
    """Cells that pieces met, in the order of their windows."""

    cells: Ints  # their numbers in what is held
    piece: Ints
    up: Ints  # row and column in the piece's window
    across: Ints
    first: Ints  # where each piece's begin


@dataclass(frozen=True, slots=True)
class Sweep:
    """How pieces of one tool are swept.

    With a front, of the height of all the pieces that are measured, engagement is read and the
    front moved on. `reach` mm from the path to which distances are asked.
    """

    ground: Ground
    facts: MotionFacts
    fronts: Fronts
    profile: Profile
    front: Front | None
    reach: float

    def take(self, p: Pieces) -> Iterator[Engaged]:
        """Takes the pieces off the heights, as many at once as memory is granted for."""
        every = windows(p, self.ground.grid, self.reach)
        held = np.cumsum(every.cells)
        begin = 0
        while begin < len(p):
            before = int(held[begin - 1]) if begin else 0
            end = max(begin + 1, int(np.searchsorted(held, before + _AT_ONCE, side="right")))
            some = slice(begin, end)
            w = Windows(every.i0[some], every.i1[some], every.j0[some], every.j1[some])
            yield from self._take_some(p.take(some), w)
            begin = end

    def take_slope(
        self, motion: int, window: tuple[slice, slice], off: F32, floor: F32, z: float
    ) -> None:
        """Lowers a window to a floor of its own within the tool's radius; `z` its lowest."""
        j, i = window
        nothing = (0.0,) * 4
        p = Pieces.of([(*nothing, z, 0.0, 0.0, 0.0, 0.0, motion, *(False,) * 3, True, False)])
        w = Windows(*(np.array([side]) for side in (i.start, i.stop, j.start, j.stop)))
        begin, row = np.zeros(1, dtype=np.int64), np.array([off.shape[1]])
        held = self._held(p, begin, row, off.reshape(-1), np.float32(z), floor.reshape(-1))
        self._in_order(p, w, held, None)
        self._count(held, p, w)

    def _take_some(self, p: Pieces, w: Windows) -> Iterator[Engaged]:
        held = self._hold(p, w)
        rims = None
        if self.front is not None:
            rims = _Rims.of(p, np.flatnonzero(p.measured), self.profile.radius, self.front)
        self._in_order(p, w, held, rims)
        self._count(held, p, w)
        if rims is not None:
            yield rims.engaged(p)

    def _hold(self, p: Pieces, w: Windows) -> _Held:
        """The distances of all pieces: small windows by shapes, a large one by itself."""
        found = blocks(p, w)
        off = np.empty(sum(block.cells for block in found), dtype=np.float32)
        tips = np.empty(off.size, dtype=np.float32)
        begin = np.full(len(p), -1, dtype=np.int64)
        row = np.zeros(len(p), dtype=np.int64)
        at = 0
        for block in found:
            size, (tall, wide) = block.at.size, block.shape
            here = slice(at, at + block.cells)
            begin[block.at] = at + tall * wide * np.arange(size)
            row[block.at] = wide
            if size == 1 and block.cells > _LARGE:
                k = int(block.at[0])
                xs = self.ground.grid.xs[w.i0[k] : w.i1[k]]
                ys = self.ground.grid.ys[w.j0[k] : w.j1[k]]
                one = distances(p.one(k), xs, ys, self.reach, onward=bool(p.onward[k]))
            else:
                one = distances_of(block, p, w, self.ground.grid, self.reach)
            off[here] = one.reshape(-1)
            tips[here].reshape(size, -1)[:] = p.z[block.at].astype(np.float32)[:, None]
            at += block.cells
        floor = None
        if not self.profile.is_flat:
            floor = tips + self.profile.rise(np.minimum(off, np.float32(self.profile.radius)))
        return self._held(p, begin, row, off, tips, floor)

    def _held(
        self, p: Pieces, begin: Ints, row: Ints, off: F32, tips: F32 | np.float32, floor: F32 | None
    ) -> _Held:
        radius = np.float32(self.profile.radius)
        above = (tips if floor is None else floor) + np.float32(SKIN)
        return _Held(
            begin,
            row,
            off,
            floor,
            np.where(off <= radius, above, np.float32(np.inf)),
            np.empty_like(off),
            np.zeros(off.shape, dtype=bool),
            off - radius if self.front is not None else None,
        )

    def _in_order(self, p: Pieces, w: Windows, held: _Held, rims: _Rims | None) -> None:
        """Each piece on what those before it left."""
        heights, front, lag = self.ground.heights, self.front, LAG * self.profile.radius
        i0, i1, j0, j1 = (side.tolist() for side in (w.i0, w.i1, w.j0, w.j1))
        tips, lengths = p.z.astype(np.float32), p.length.tolist()
        through = (p.z <= self.ground.underside).tolist()
        cuts, measured, there = p.cuts.tolist(), p.measured.tolist(), (held.begin >= 0).tolist()
        for k, settled in enumerate(p.settled.tolist()):
            if settled:
                self.fronts.settle()
            if not there[k]:
                continue
            window = slice(j0[k], j1[k]), slice(i0[k], i1[k])
            tall, wide = j1[k] - j0[k], i1[k] - i0[k]
            part, cut = heights[window], held.window(held.met, k, tall, wide)
            np.greater(part, held.window(held.limit, k, tall, wide), out=cut)
            if cut.any():
                held.window(held.old, k, tall, wide)[:] = part
                if cuts[k]:
                    floor = tips[k]
                    if held.floor is not None:
                        floor = held.window(held.floor, k, tall, wide)
                    if through[k]:
                        floor = np.where(floor <= self.ground.bottoms[window], AIR, floor)
                    np.copyto(part, floor, where=cut)
                if rims is not None and front is not None and measured[k] and lengths[k] > 1e-9:
                    rims.read(k, front)
            if front is not None and held.beyond is not None and measured[k]:
                front.add(window, held.window(held.beyond, k, tall, wide), lengths[k], lag)

    def _count(self, held: _Held, p: Pieces, w: Windows) -> None:
        """Depth, volume, thickest chip and first contact of the pieces that met material."""
        cells = np.flatnonzero(held.met)
        if not cells.size:
            return
        order = np.argsort(held.begin, kind="stable")
        piece = order[np.searchsorted(held.begin[order], cells, side="right") - 1]
        up, across = np.divmod(cells - held.begin[piece], held.row[piece])
        met = Met(cells, piece, up, across, np.flatnonzero(np.diff(piece, prepend=-1)))
        self._take_away(held, met, p, w)
        share = self._chips(held, met, p, w)
        k = piece[met.first]
        share[~p.measured[k] | (p.length[k] <= 1e-9)] = 0.0
        np.maximum.at(self.facts.thickest, p.motion[k], share)
        self._touch(held, met, p, w)

    def _take_away(self, held: _Held, met: Met, p: Pieces, w: Windows) -> None:
        """The greatest height of material above the tip, and the volume."""
        k = met.piece[met.first]
        tips = p.z.astype(np.float32)
        old = held.old[met.cells]
        new = tips[met.piece] if held.floor is None else held.floor[met.cells]
        if self.profile.is_flat:
            depth = np.maximum.reduceat(old - new, met.first)
        else:
            depth = np.maximum.reduceat(old, met.first) - tips[k]
        np.maximum.at(self.facts.depth, p.motion[k], depth.astype(np.float64))
        through = p.z[met.piece] <= self.ground.underside
        if through.any():
            rows, columns = w.j0[met.piece] + met.up, w.i0[met.piece] + met.across
            new = np.where(through, np.maximum(new, self.ground.bottoms[rows, columns]), new)
        volume = np.add.reduceat((old - new).astype(np.float64), met.first)
        volume[~p.cuts[k]] = 0.0
        np.add.at(self.facts.removed, p.motion[k], volume * self.ground.grid.pitch**2)

    def _chips(self, held: _Held, met: Met, p: Pieces, w: Windows) -> F64:
        """The thickest chip of level pieces, by where the rim first came to each cell met.

        A cell at `a` beside a straight path is met where the rim looks aside by asin(a / r); one
        at rho from an arc's centre by the law of cosines.
        """
        radius, grid = self.profile.radius, self.ground.grid
        aside = np.minimum.reduceat(held.off[met.cells], met.first).astype(np.float64) / radius
        tight = (p.radius[met.piece] > 0) & (p.radius[met.piece] <= _STRAIGHT * radius)
        if tight.any():
            at = met.piece[tight]
            big = p.radius[at]
            x = grid.x0 + grid.pitch * (w.i0[at] + met.across[tight]).astype(np.float64)
            y = grid.y0 + grid.pitch * (w.j0[at] + met.up[tight]).astype(np.float64)
            rho = np.hypot(x - p.cx[at], y - p.cy[at])
            cosine = np.abs((big**2 + radius**2 - rho**2) / (2 * big * radius))
            begin = np.flatnonzero(np.diff(at, prepend=-1))
            aside[tight[met.first]] = np.minimum.reduceat(cosine, begin)
        aside = np.minimum(1.0, aside + grid.pitch / radius)
        share: F64 = np.sqrt(1.0 - aside * aside)
        return share

    def _touch(self, held: _Held, met: Met, p: Pieces, w: Windows) -> None:
        """Where each motion first met material that stood well inside the rim.

        A rapid may not even graze; a fed move may run along a wall that is cut to size.
        """
        grid, facts, radius = self.ground.grid, self.facts, self.profile.radius
        well = np.where(p.cuts, radius - grid.pitch, radius - GRAZE)
        well = np.maximum(0.0, well).astype(np.float32)
        deep = np.flatnonzero(held.off[met.cells] <= well[met.piece])
        k = met.piece[deep]
        first = deep[np.flatnonzero(np.diff(k, prepend=-1))]
        first = first[np.argsort(met.piece[first], kind="stable")]
        k = met.piece[first]
        motion, at = np.unique(p.motion[k], return_index=True)
        new = ~facts.touched[motion]
        motion, at = motion[new], at[new]
        k, cell = k[at], first[at]
        facts.touched[motion] = True
        facts.touch_x[motion] = grid.x0 + grid.pitch * (w.i0[k] + met.across[cell])
        facts.touch_y[motion] = grid.y0 + grid.pitch * (w.j0[k] + met.up[cell])


@dataclass(frozen=True, slots=True)
class _Rims:
    """The rim at places spread evenly over each piece, its end among them.

    The end is where a corner's spike is: the moment before the tool turns away.
    """

    begin: Ints  # of each piece's places; one more for the end
    x: F64
    y: F64
    length: F64  # of path that each place stands for
    piece: Ints
    rim: Rim
    values: F32  # of the field round each place of the rim, read when its piece is swept
    read_of: Flags  # which pieces were read

    @classmethod
    def of(cls, p: Pieces, which: Ints, radius: float, front: Front) -> _Rims:
        """The places of some pieces, nothing read yet."""
        count = np.zeros(len(p), dtype=np.int64)
        count[which] = np.maximum(1, np.ceil(p.length[which] / (_SAMPLE * radius)))
        begin = np.concatenate([[0], np.cumsum(count)])
        k = np.repeat(np.arange(len(p)), count)
        t = (np.arange(k.size) - begin[k] + 1.0) / count[k]
        big = p.radius[k]
        arc = big > 0
        sense = np.where(p.ccw[k], 1.0, -1.0)
        start = _angles(p.x0 - p.cx, p.y0 - p.cy)[k]
        angle = start + sense * t * p.length[k] / np.where(arc, big, 1.0)
        straight = _angles(p.x1 - p.x0, p.y1 - p.y0)[k]
        x0, y0 = p.x0[k], p.y0[k]
        x = np.where(arc, p.cx[k] + big * np.cos(angle), x0 + t * (p.x1[k] - x0))
        y = np.where(arc, p.cy[k] + big * np.sin(angle), y0 + t * (p.y1[k] - y0))
        heading = np.where(arc, angle + sense * np.pi / 2, straight)
        rim = front.rim(x, y, heading, radius)
        values = np.empty(rim.at.shape, dtype=np.float32)
        return cls(begin, x, y, p.length[k] / count[k], k, rim, values, np.zeros(len(p), bool))

    def read(self, k: int, front: Front) -> None:
        """Reads the front as it is now, for one piece."""
        some = slice(int(self.begin[k]), int(self.begin[k + 1]))
        front.read(self.rim.at[some], self.values[some])
        self.read_of[k] = True

    def engaged(self, p: Pieces) -> Engaged:
        """The angles of the pieces that were read."""
        at = np.flatnonzero(self.read_of[self.piece])
        angle = self.rim.take(at).engaged(self.values[at])
        motion = p.motion[self.piece[at]]
        return Engaged(motion, self.x[at], self.y[at], angle, self.length[at])


def _angles(x: F64, y: F64) -> F64:
    """Directions, rad."""
    return np.array([math.atan2(b, a) for a, b in zip(x.tolist(), y.tolist(), strict=True)])
