"""Distance from the cells of a window to a piece of path seen from above.

Everything is local to the piece's start (lines) or centre (arcs): single precision then loses no
more than some 1e-4 mm over windows of 100 mm; arcs beyond `FLAT` are worked out in double.
"""

import math
from dataclasses import dataclass
from typing import cast

import numpy as np
import numpy.typing as npt

F32 = npt.NDArray[np.float32]
F64 = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

FAR = np.float32(1e6)  # mm: what a cell gets that is further off than was asked
FLAT = 500.0  # mm of radius: from here on single precision would lose 1e-4 mm


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of path in plan: straight, or an arc of at most half a turn where `radius` > 0."""

    x0: float
    y0: float
    x1: float
    y1: float
    cx: float = 0.0
    cy: float = 0.0
    radius: float = 0.0
    ccw: bool = False

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """min x, min y, max x, max y; for an arc, of the arc itself."""
        low_x, high_x = min(self.x0, self.x1), max(self.x0, self.x1)
        low_y, high_y = min(self.y0, self.y1), max(self.y0, self.y1)
        if self.radius:
            for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1)):
                if self._within(float(dx), float(dy)):
                    x, y = self.cx + dx * self.radius, self.cy + dy * self.radius
                    low_x, high_x = min(low_x, x), max(high_x, x)
                    low_y, high_y = min(low_y, y), max(high_y, y)
        return low_x, low_y, high_x, high_y

    @property
    def turn(self) -> float:
        """The angle that an arc turns, rad, positive."""
        ax, ay = self.x0 - self.cx, self.y0 - self.cy
        bx, by = self.x1 - self.cx, self.y1 - self.cy
        sign = 1.0 if self.ccw else -1.0
        return math.atan2(sign * (ax * by - ay * bx), ax * bx + ay * by) % math.tau

    @property
    def length(self) -> float:
        """Mm along the path."""
        if self.radius:
            return self.radius * self.turn
        return math.hypot(self.x1 - self.x0, self.y1 - self.y0)

    def _within(self, dx: float, dy: float) -> bool:
        """Whether a direction from the centre falls in the sweep (at most half a turn)."""
        ax, ay = self.x0 - self.cx, self.y0 - self.cy
        bx, by = self.x1 - self.cx, self.y1 - self.cy
        sign = 1.0 if self.ccw else -1.0
        return sign * (ax * dy - ay * dx) >= 0 and sign * (dx * by - dy * bx) >= 0


def distances(piece: Piece, xs: F64, ys: F64, reach: float, *, onward: bool = False) -> F32:
    """(len(ys), len(xs)) distances, mm: exact up to `reach`, beyond it no less than that.

    Between the normals at its ends a piece is a line or a ring; what lies before or beyond them
    is looked at in the two squares that a disc of `reach` fills. Before the start of a piece that
    goes `onward` from where another ended that one counts, and this one stays far.
    """
    if piece.radius:
        found, outside = _ring(piece, xs, ys)
    else:
        if piece.length < 1e-9:
            return _to_point(piece.x0, piece.y0, xs, ys)
        found, outside = _strip(piece, xs, ys)
    np.copyto(found, FAR, where=outside)
    ends = ((piece.x1, piece.y1), (piece.x0, piece.y0))
    for x, y in ends[:1] if onward else ends:
        i0, i1 = _span(xs, x, reach)
        j0, j1 = _span(ys, y, reach)
        if i0 < i1 and j0 < j1:
            part = found[j0:j1, i0:i1]
            np.minimum(part, _to_point(x, y, xs[i0:i1], ys[j0:j1]), out=part)
    return found


def last_over(piece: Piece, xs: F64, ys: F64, radius: float, *, down: bool) -> F32:
    """How far along a piece a disc of `radius` is when it is lowest over each cell, mm.

    The last place that covers the cell on the way down, the first one on the way up. Of no
    meaning for cells that the disc does not reach.
    """
    if piece.radius:
        if down:
            return _last_on_arc(piece, xs, ys, radius)
        back = Piece(
            piece.x1, piece.y1, piece.x0, piece.y0, piece.cx, piece.cy, piece.radius, not piece.ccw
        )
        first: F32 = np.float32(piece.length) - _last_on_arc(back, xs, ys, radius)
        return first
    dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
    whole = piece.length
    ux, uy = np.float32(dx / whole), np.float32(dy / whole)
    x = (xs - piece.x0).astype(np.float32)
    y = (ys - piece.y0).astype(np.float32)[:, None]
    along = x * ux + y * uy
    across = y * ux - x * uy
    half = np.sqrt(np.maximum(np.float32(radius**2) - across * across, np.float32(0)))
    at: F32 = np.clip(along + half if down else along - half, np.float32(0), np.float32(whole))
    return at


def _last_on_arc(piece: Piece, xs: F64, ys: F64, radius: float) -> F32:
    """The last place on an arc, mm from its start, where a disc covers each cell.

    Seen from the arc's centre a cell at rho is covered while the disc is within the angle of
    cosine (rho^2 + R^2 - r^2) / (2 rho R) from it: law of cosines.
    """
    turn, big = piece.turn, piece.radius
    kind = _precision(big)
    sign = 1.0 if piece.ccw else -1.0
    ax, ay = (piece.x0 - piece.cx) / big, (piece.y0 - piece.cy) / big
    x, y = (xs - piece.cx).astype(kind), (ys - piece.cy).astype(kind)[:, None]
    square = x * x + y * y
    after = np.arctan2(kind(sign) * (y * kind(ax) - x * kind(ay)), x * kind(ax) + y * kind(ay))
    rho = np.maximum(np.sqrt(square), kind(1e-6))
    cosine = (square + kind(big**2 - radius**2)) / (kind(2 * big) * rho)
    half = np.arccos(np.minimum(np.maximum(cosine, kind(-1)), kind(1)))
    last = after + half
    # a cell behind the start may be covered once more from the other side
    last = np.where(after - half > turn, last - kind(math.tau), last)
    last = np.minimum(np.maximum(last, kind(0)), kind(turn))
    last = np.where(after - half + kind(math.tau) <= turn, kind(turn), last)
    at: F32 = (last * kind(big)).astype(np.float32, copy=False)
    return at


def _strip(piece: Piece, xs: F64, ys: F64) -> tuple[F32, Flags]:
    """Distance to the line through a straight piece, and which cells lie before or beyond it."""
    length = piece.length
    ux, uy = (piece.x1 - piece.x0) / length, (piece.y1 - piece.y0) / length
    x, y = xs - piece.x0, (ys - piece.y0)[:, None]
    across: F32 = (y * ux).astype(np.float32) - (x * uy).astype(np.float32)
    np.abs(across, out=across)
    along = (x * ux - length / 2).astype(np.float32) + (y * uy).astype(np.float32)
    np.abs(along, out=along)
    return across, along > np.float32(length / 2)


def _ring(piece: Piece, xs: F64, ys: F64) -> tuple[F32, Flags]:
    """Distance to an arc's circle, and which cells lie outside its sweep."""
    kind = _precision(piece.radius)
    x = (xs - piece.cx).astype(kind)
    y = (ys - piece.cy).astype(kind)[:, None]
    off = x * x + y * y
    np.sqrt(off, out=off)
    off -= kind(piece.radius)
    np.abs(off, out=off)
    ax, ay = piece.x0 - piece.cx, piece.y0 - piece.cy
    bx, by = piece.x1 - piece.cx, piece.y1 - piece.cy
    if not piece.ccw:
        ax, ay, bx, by = bx, by, ax, ay
    # counter-clockwise from a to b: right of a, or left of b
    outside = y * kind(ax) < x * kind(ay)
    outside |= x * kind(by) < y * kind(bx)
    return off.astype(np.float32, copy=False), outside


def _precision(radius: float) -> type[np.float32]:
    """The numbers to work in for an arc; double ones pass for single where types are checked."""
    return cast("type[np.float32]", np.float64) if radius > FLAT else np.float32


def _to_point(px: float, py: float, xs: F64, ys: F64) -> F32:
    """Distance to one point."""
    x = (xs - px).astype(np.float32)
    y = (ys - py).astype(np.float32)[:, None]
    square: F32 = x * x + y * y
    return np.sqrt(square, out=square)


def _span(centres: F64, at: float, reach: float) -> tuple[int, int]:
    """Which of evenly spaced centres lie within reach of a place."""
    count = centres.size
    if count < 2:
        return 0, count
    first = float(centres[0])
    per = (count - 1) / (float(centres[-1]) - first)
    return (
        max(0, math.floor((at - reach - first) * per)),
        min(count, math.ceil((at + reach - first) * per) + 1),
    )
