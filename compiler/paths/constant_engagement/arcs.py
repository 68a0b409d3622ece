"""A run walked in short steps, as few lines and arcs: each leaves as the one before it arrives.

The run is given as rows: places, and the heading that belongs to each. A piece may pass a row at
some distance and heading at an angle to it, both bounded row by row; within that it need not go
through any row. What can be reached with the fewest pieces is found level by level: from each pose
that so many pieces lead to, all circles are taken together that keep to the bounds up to some row
(they are an interval of curvatures, cut down row by row), and a few of them are kept, one for each
cell of a small grid of offsets and headings. (Dynamic programming over the rows; that a circle of
given tangent meets each row's bounds for an interval of curvatures is plane geometry.)
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
FLAT = 1500.0  # mm; an arc of larger radius is a line, where that is the same to 0.0005 mm
LEAST = 0.25  # mm; no piece is shorter, but the last of a run and what the bounds force
ASIDE = 0.4  # of the way to a row
STEEP = 0.27  # cosine of half the most that one arc turns
CELLS = 5  # of offsets, and as many of headings, that are told apart at a row
LOOKED = 12  # rows of a piece's that it may end at: of a longer one, every second, and so on
TRIED = 3  # circles that are kept of an interval, evenly; the straight line besides
LAST = 0.6  # of the rows that a piece more leads to: the part, the farthest, that is gone on from
BACK = 3  # levels that are gone over again where nothing leads on
WIDENED = 3  # times that the bounds of heading are doubled before there is a corner
BROKEN = 100.0  # what a corner costs, in the squares of bounds, beside pieces that are as many
FAR = 1 << 40  # pieces to a pose that is not reached


def arcs(rows: Floats, bounds: Floats, hand: int) -> tuple[Floats, Ints]:
    """Pieces along rows x, y, hx, hy, as rows of start, end, centre and sweep (none for a line);
    and for each the row at which it ends.

    `bounds` has for each row: how far off it a piece may pass on its right and on its left, mm; by
    how much it may be turned there to the right and to the left, rad; and by how much less to the
    right for each mm that it is off on that side, rad/mm (more where it is off to the left).
    For the left hand (-1) all of that is meant as seen in a mirror, left for right.

    The pieces begin in the first row's pose and end by the last row. Where nothing keeps to the
    bounds a piece is turned by up to 2 ** WIDENED times as much, and only where that does not lead
    on either there is a line from row to row, and corners at its ends.
    """
    return _fitted(rows[:, :4] * (hand, 1.0, hand, 1.0), bounds, hand)


@compiled
def _fitted(rows: Floats, bounds: Floats, hand: int) -> tuple[Floats, Ints]:
    return _pieces(_fewest(rows, bounds), hand * rows[0, 0], rows[0, 1], hand)


@compiled
def _pieces(table: Floats, x0: float, y0: float, hand: int) -> tuple[Floats, Ints]:
    """What `_fewest` found, as drawn: arcs that leave along their tangent, and lines where those
    are too flat to tell.
    """
    found = np.empty((len(table), 7))
    found[:] = 0.0
    ends = np.empty(len(table), np.int64)
    for i in range(len(table)):
        tx, ty, x1, y1 = hand * table[i, 0], table[i, 1], hand * table[i, 2], table[i, 3]
        k = abs(table[i, 4])
        found[i, 0], found[i, 1], found[i, 2], found[i, 3] = x0, y0, x1, y1
        found[i, 4], found[i, 5] = x0, y0
        ends[i] = int(table[i, 5])
        vx, vy = x1 - x0, y1 - y0
        chord = math.hypot(vx, vy)
        sweep = 2 * math.atan2(tx * vy - ty * vx, tx * vx + ty * vy)
        flat = k * FLAT < 1 and k * chord**2 < 0.004
        if k != 0.0 and abs(sweep) >= 1e-6 and not flat:
            height = chord / 2 / math.tan(sweep / 2)
            found[i, 4] = (x0 + x1) / 2 - vy / chord * height
            found[i, 5] = (y0 + y1) / 2 + vx / chord * height
            found[i, 6] = sweep
        x0, y0 = x1, y1
    return found, ends


@compiled
def _fewest(rows: Floats, bounds: Floats) -> Floats:
    """The pieces, m x 6: heading at the start x and y, end x and y, curvature, row at the end."""
    n = len(rows)
    slots = CELLS * CELLS
    count = np.empty((n, slots), np.int64)
    count[:] = FAR
    # of each pose: place and heading, what it is off so far, the curvature that leads to it, and
    # whether it leads on: then it stays, or what it leads to would not be tangent to it
    pose = np.empty((n, slots, 7))
    pose[:] = 0.0
    before = np.empty((n, slots, 2), np.int64)  # the row and the slot that it is reached from
    before[:] = 0
    count[0, 0] = 0
    for k in range(4):
        pose[0, 0, k] = rows[0, k]
    begun = np.empty(n + 1, np.int64)  # the row from which each level goes on
    begun[:] = 0
    level, far = 0, 0
    while far < n - 1:
        reached = far
        # where nothing leads on from a level's poses: with all those of it and of levels before
        # it, then by a piece that may be as short as it must, at last by one turned by more
        most = min(level, BACK)
        for attempt in range(most + 2 + WIDENED):
            back, least = min(attempt, most), 0.0 if attempt > most else LEAST
            wide = 2.0 ** max(attempt - most - 1, 0)
            for i in range(begun[level - back], far + 1):
                beyond = far if attempt == 0 else i
                for slot in range(slots):
                    if count[i, slot] <= level:
                        farther = _onward(
                            rows, bounds, count, pose, before, i, slot, beyond, least, wide
                        )
                        reached = max(reached, farther)
            if reached > far:
                break
        if reached == far:
            reached = far + 1
            _forced(rows, count, pose, before, far)
        level += 1
        begun[level] = max(far + 1, reached - int(LAST * (reached - far)))
        far = reached
    i, slot = n - 1, _best(count, pose, n - 1)
    pieces = count[i, slot]
    found = np.empty((pieces, 6))
    found[:] = 0.0
    for m in range(pieces - 1, -1, -1):
        row, at = before[i, slot, 0], before[i, slot, 1]
        found[m, 0], found[m, 1] = pose[row, at, 2], pose[row, at, 3]
        found[m, 2], found[m, 3] = pose[i, slot, 0], pose[i, slot, 1]
        found[m, 4] = pose[i, slot, 5]
        found[m, 5] = i
        i, slot = row, at
    return found


@compiled
def _best(count: Ints, pose: Floats, row: int) -> int:
    """The pose at a row that the fewest pieces lead to, and of those the one that is off least."""
    best = 0
    for slot in range(count.shape[1]):
        fewer = count[row, slot] < count[row, best]
        same = count[row, slot] == count[row, best]
        if fewer or (same and pose[row, slot, 4] < pose[row, best, 4]):
            best = slot
    return best


@compiled
def _forced(rows: Floats, count: Ints, pose: Floats, before: Ints, row: int) -> None:
    """A line to the next row and into its heading, where no piece keeps to the bounds."""
    slot = _best(count, pose, row)
    count[row + 1, 0] = count[row, slot] + 1
    for k in range(4):
        pose[row + 1, 0, k] = rows[row + 1, k]
    pose[row + 1, 0, 4] = pose[row, slot, 4] + BROKEN
    pose[row + 1, 0, 5] = 0.0
    before[row + 1, 0, 0], before[row + 1, 0, 1] = row, slot
    pose[row, slot, 6] = 1.0


@compiled
def _onward(
    rows: Floats,
    bounds: Floats,
    count: Ints,
    pose: Floats,
    before: Ints,
    row: int,
    slot: int,
    beyond: int,
    shortest: float,
    wide: float,
) -> int:
    """Note where one piece leads from a pose to, as far as that is beyond a row; the farthest.

    No piece is shorter than `shortest`, mm; it may be turned by `wide` times the bounds.
    """
    n = len(rows)
    x, y = pose[row, slot, 0], pose[row, slot, 1]
    hx, hy, cost = pose[row, slot, 2], pose[row, slot, 3], pose[row, slot, 4]
    level = count[row, slot] + 1
    reached = beyond
    least, most = -math.inf, math.inf  # of the curvature
    for j in range(row + 1, n):
        vx, vy = rows[j, 0] - x, rows[j, 1] - y
        far = math.sqrt(vx * vx + vy * vy)
        if vx * hx + vy * hy <= STEEP * far:
            break
        tx, ty = rows[j, 2], rows[j, 3]
        # close by, no more aside than leaves the heading within a quarter turn
        right, left, less = bounds[j, 0], bounds[j, 1], bounds[j, 4]
        inwards, outwards = bounds[j, 2] * wide, bounds[j, 3] * wide
        a, b = min(right, ASIDE * far), min(left, ASIDE * far)
        k0, d0 = _through(hx, hy, vx + a * ty, vy - a * tx, tx, ty)
        k1, d1 = _through(hx, hy, vx - b * ty, vy + b * tx, tx, ty)
        slope = (d1 - d0) / (k1 - k0)
        if not (k1 > k0 and slope > 0):
            break
        gain = slope + less * (a + b) / (k1 - k0)
        least = max(least, k0, k0 + (-inwards - d0 + less * a) / gain)
        most = min(most, k1, k0 + (outwards - d0) / slope)
        if least > most:
            break
        thin = max((j - row) // LOOKED, 1)
        if j < n - 1 and (j <= beyond or far < shortest or (j - row) % thin):
            continue
        share = (a + b) / (k1 - k0)
        low, high = share * (least - k0) - a, share * (most - k0) - a
        aside, turned = CELLS / (left + right), CELLS / (inwards + outwards)  # cells for each
        for m in range(TRIED + 1):
            if m < TRIED:
                off = low + (high - low) * (0.04 + 0.92 * m / (TRIED - 1))
            elif least <= 0 <= most:
                off = -(hx * vy - hy * vx) / (hx * tx + hy * ty)
            else:
                continue
            qx, qy = vx - off * ty, vy + off * tx
            k, d = _through(hx, hy, qx, qy, tx, ty)
            to = CELLS * _cell(aside * (off + right)) + _cell(turned * (d + inwards))
            if level > count[j, to] or pose[j, to, 6] != 0.0:
                continue
            u, v = off / (left if off > 0 else right), d / (outwards if d > 0 else inwards)
            total = cost + u * u + v * v
            if level < count[j, to] or total < pose[j, to, 4]:
                straight = m == TRIED
                ahead = 2 * (hx * qx + hy * qy) / (qx * qx + qy * qy)
                count[j, to] = level
                pose[j, to, 0], pose[j, to, 1] = x + qx, y + qy
                pose[j, to, 2] = hx if straight else ahead * qx - hx
                pose[j, to, 3] = hy if straight else ahead * qy - hy
                pose[j, to, 4], pose[j, to, 5] = total, 0.0 if straight else k
                before[j, to, 0], before[j, to, 1] = row, slot
                pose[row, slot, 6] = 1.0
                reached = j
    return reached


@compiled
def _cell(at: float) -> int:
    """The cell of a place, counted in cells."""
    return min(max(int(at), 0), CELLS - 1)


@compiled
def _through(
    hx: float, hy: float, qx: float, qy: float, tx: float, ty: float
) -> tuple[float, float]:
    """Of the circle that leaves the origin along h and goes through q: its curvature, and the angle
    there from t to its heading, rad.
    """
    square, ahead = qx * qx + qy * qy, 2 * (hx * qx + hy * qy)
    # the first heading mirrored at the chord, and as much longer as the chord's square
    mx, my = ahead * qx - square * hx, ahead * qy - square * hy
    return 2 * (hx * qy - hy * qx) / square, (tx * my - ty * mx) / (tx * mx + ty * my)
