"""Squared distance from the cells of a window to a piece of path seen from above.

Everything is local to the piece's start (lines) or centre (arcs): float32 then loses no more than
some 1e-4 mm over windows of 100 mm.
"""

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

F32 = npt.NDArray[np.float32]


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

    def _within(self, dx: float, dy: float) -> bool:
        """Whether a direction from the centre falls in the sweep (at most half a turn)."""
        ax, ay = self.x0 - self.cx, self.y0 - self.cy
        bx, by = self.x1 - self.cx, self.y1 - self.cy
        sign = 1.0 if self.ccw else -1.0
        return sign * (ax * dy - ay * dx) >= 0 and sign * (dx * by - dy * bx) >= 0


def squared(piece: Piece, xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64]) -> F32:
    """(len(ys), len(xs)) squared distances, mm2."""
    if piece.radius:
        return _to_arc(piece, xs, ys)
    dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
    length = math.hypot(dx, dy)
    x = (xs - piece.x0).astype(np.float32)
    y = (ys - piece.y0).astype(np.float32)[:, None]
    if length < 1e-9:
        return (x * x)[None, :] + y * y
    ux, uy = np.float32(dx / length), np.float32(dy / length)
    along = x * ux + y * uy
    across = y * ux - x * uy
    beyond = along - np.clip(along, np.float32(0), np.float32(length))
    d2: F32 = across * across + beyond * beyond
    return d2


def last_over(
    piece: Piece,
    xs: npt.NDArray[np.float64],
    ys: npt.NDArray[np.float64],
    radius: float,
    *,
    down: bool,
) -> F32:
    """How far along a straight piece a disc of `radius` is when it is lowest over each cell, mm.

    The last place that covers the cell on the way down, the first one on the way up. Of no
    meaning for cells that the disc does not reach.
    """
    dx, dy = piece.x1 - piece.x0, piece.y1 - piece.y0
    length = math.hypot(dx, dy)
    ux, uy = np.float32(dx / length), np.float32(dy / length)
    x = (xs - piece.x0).astype(np.float32)
    y = (ys - piece.y0).astype(np.float32)[:, None]
    along = x * ux + y * uy
    across = y * ux - x * uy
    half = np.sqrt(np.maximum(np.float32(radius**2) - across * across, np.float32(0)))
    at: F32 = np.clip(along + half if down else along - half, np.float32(0), np.float32(length))
    return at


def _to_arc(piece: Piece, xs: npt.NDArray[np.float64], ys: npt.NDArray[np.float64]) -> F32:
    x = (xs - piece.cx).astype(np.float32)
    y = (ys - piece.cy).astype(np.float32)[:, None]
    ring = np.sqrt(x * x + y * y) - np.float32(piece.radius)
    d2 = ring * ring
    ax, ay = piece.x0 - piece.cx, piece.y0 - piece.cy
    bx, by = piece.x1 - piece.cx, piece.y1 - piece.cy
    sign = 1.0 if piece.ccw else -1.0
    f = np.float32
    after_start = y * f(sign * ax) - x * f(sign * ay) >= 0
    before_end = x * f(sign * by) - y * f(sign * bx) >= 0
    outside = ~(after_start & before_end)
    to_start = (x - f(ax)) ** 2 + (y - f(ay)) ** 2
    to_end = (x - f(bx)) ** 2 + (y - f(by)) ** 2
    np.copyto(d2, np.minimum(to_start, to_end), where=outside)
    return d2
