"""A walked run as few lines and arcs: its headings are known, so every piece joins tangentially.

Between two of its poses lies a pair of arcs with a common tangent (a biarc), or one arc, or a line.
Pieces are made as long as the run stays within a distance of them. Source: Bolton, "Biarc curves",
Computer-Aided Design 7(2), 1975 (from memory).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Arc, Line, Point, Segment

Floats = NDArray[np.float64]
FLAT = 1500.0  # mm; an arc of larger radius is a line
SWEEP = 2.6  # rad, the most that one arc takes
AIM = 0.93  # of the length at which it would be off by what is allowed
STRAIGHT = 0.01  # rad: how far a line may be turned from the run's heading at its ends


def arcs(rows: Floats, allowed: Floats) -> tuple[list[Segment], list[int]]:
    """Pieces along rows x, y, hx, hy; and for each the row at which it ends.

    `allowed` is the distance for each row, mm.
    """
    last = len(rows) - 1
    segments: list[Segment] = []
    ends: list[int] = []
    i, stride = 0, 8
    while i < last:
        j, found = _farthest(rows, allowed, i, last, max(stride, 2))
        segments += found
        ends += [j] * len(found)
        i, stride = j, j - i
    return segments, ends


def _farthest(
    rows: Floats, allowed: Floats, i: int, last: int, stride: int
) -> tuple[int, list[Segment]]:
    """The longest piece from row i, or nearly so: what it is off grows as its length cubed."""
    low, best = i, list[Segment]()
    high, bad = min(i + stride, last), last + 1
    while True:
        off, found = _fitting(rows, allowed, i, high)
        share = min(max(AIM * max(off, 1e-3) ** (-1 / 3), 1 / 3), 3.0)
        further = i + int((high - i) * share)
        if found:
            low, best = high, found
            further = max(further, low + 1)
        elif high == i + 1:
            return high, [Line(Point(*rows[i, :2].tolist()), Point(*rows[high, :2].tolist()))]
        else:
            bad = high
        # the last few per cent are not worth their tries
        if bad - low <= 1 or (low > i and min(further, bad - 1) - low <= (low - i) // 6):
            return low, best
        high = min(max(further, low + 1), bad - 1)


def _fitting(rows: Floats, allowed: Floats, i: int, j: int) -> tuple[float, list[Segment]]:
    """How far the piece from row i to row j is off, of what is allowed; and it where it fits."""
    x0, y0, ax, ay = rows[i, :4].tolist()
    x1, y1, bx, by = rows[j, :4].tolist()
    pair = _biarc(x0, y0, ax, ay, x1, y1, bx, by)
    if pair is None:
        return 10.0, []
    mx, my, tx, ty, k0, k1 = pair
    worst = 0.0
    if j > i + 1:
        dx, dy = rows[i + 1 : j, 0] - x0, rows[i + 1 : j, 1] - y0
        ex, ey = dx - (mx - x0), dy - (my - y0)
        # rows follow on: those before the joint, then those after it
        split = int((ex * tx + ey * ty <= 0).sum())
        off = np.concatenate(
            [
                _off(dx[:split], dy[:split], ax, ay, k0),
                _off(ex[split:], ey[split:], tx, ty, k1),
            ]
        )
        worst = float((off / allowed[i + 1 : j]).max())
        if worst > 1:
            return worst, []
    return worst, _pieces(rows, allowed, i, j, pair)


def _pieces(
    rows: Floats, allowed: Floats, i: int, j: int, pair: tuple[float, ...]
) -> list[Segment]:
    """The biarc from row i to row j as a line, an arc, or two arcs."""
    x0, y0, ax, ay = rows[i, :4].tolist()
    x1, y1 = rows[j, :2].tolist()
    mx, my, tx, ty, k0, k1 = pair
    start, middle, end = Point(x0, y0), Point(mx, my), Point(x1, y1)
    chord = math.hypot(x1 - x0, y1 - y0)
    least = float(allowed[i : j + 1].min())
    straight = max(abs(k0), abs(k1)) * chord * chord / 8
    if straight < 0.2 * least and max(abs(k0), abs(k1)) * chord < STRAIGHT:
        return [Line(start, end)]
    whole = 2 * (ax * (y1 - y0) - ay * (x1 - x0)) / chord**2
    turned = 2 * math.atan2(ax * (y1 - y0) - ay * (x1 - x0), ax * (x1 - x0) + ay * (y1 - y0))
    if abs(k0 - k1) * chord * chord / 16 < 0.2 * least and abs(turned) < SWEEP:
        return [_arc(start, end, ax, ay, whole)]
    return [_arc(start, middle, ax, ay, k0), _arc(middle, end, tx, ty, k1)]


def _biarc(
    x0: float, y0: float, ax: float, ay: float, x1: float, y1: float, bx: float, by: float
) -> tuple[float, float, float, float, float, float] | None:
    """Where the two arcs meet, their common tangent there, and both curvatures."""
    vx, vy = x1 - x0, y1 - y0
    vv = vx * vx + vy * vy
    if vv < 1e-12 or vx * ax + vy * ay <= 0 or vx * bx + vy * by <= 0:
        return None
    vt = vx * (ax + bx) + vy * (ay + by)
    spread = 2 * (1 - (ax * bx + ay * by))
    if spread > 1e-9:
        reach = (-vt + math.sqrt(max(vt * vt + spread * vv, 0.0))) / spread
    else:
        reach = vv / (2 * vt)
    mx, my = (x0 + x1 + reach * (ax - bx)) / 2, (y0 + y1 + reach * (ay - by)) / 2
    wx, wy = mx - x0, my - y0
    ww = wx * wx + wy * wy
    zx, zy = x1 - mx, y1 - my
    zz = zx * zx + zy * zy
    if ww < 1e-14 or zz < 1e-14 or wx * ax + wy * ay <= 0 or zx * bx + zy * by <= 0:
        return None
    k0 = 2 * (ax * wy - ay * wx) / ww
    # the tangent at the middle: the first mirrored at its chord
    dot = (ax * wx + ay * wy) / ww
    tx, ty = 2 * dot * wx - ax, 2 * dot * wy - ay
    k1 = 2 * (tx * zy - ty * zx) / zz
    return mx, my, tx, ty, k0, k1


def _off(dx: Floats, dy: Floats, tx: float, ty: float, k: float) -> Floats:
    """Distance from the circle of curvature k that leaves the origin along (tx, ty)."""
    f = k * (dx * dx + dy * dy) - 2 * (tx * dy - ty * dx)
    distance: Floats = np.abs(f) / (1 + np.sqrt(np.maximum(1 + k * f, 0.0)))
    return distance


def _arc(start: Point, end: Point, tx: float, ty: float, k: float) -> Segment:
    """The arc that leaves along a tangent; a line where it is too flat to tell."""
    vx, vy = end.x - start.x, end.y - start.y
    sweep = 2 * math.atan2(tx * vy - ty * vx, tx * vx + ty * vy)
    chord = math.hypot(vx, vy)
    if (abs(k) * FLAT < 1 and abs(k) * chord * chord < 0.004) or abs(sweep) < 1e-6:
        return Line(start, end)
    height = chord / 2 / math.tan(sweep / 2)
    return Arc(
        start,
        end,
        Point(
            (start.x + end.x) / 2 - vy / chord * height,
            (start.y + end.y) / 2 + vx / chord * height,
        ),
        sweep > 0,
    )
