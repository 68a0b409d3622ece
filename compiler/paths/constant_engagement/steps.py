"""The walking cutter, step by step: as far to the right as limit, walls and its own turns allow.

The material lies on the right. How fast the path must turn to the left, rad per mm, is the largest
of five demands:

- the contact's left end is to stay at the limit: it turns as it must, and what it is off is made
  good over `SETTLE` radii;
- the contact's right end is to stay at the right side, so that a strip between two open places is
  taken whole and not crossed;
- there must stay room to turn away to the left in a circle: its centre, a turning radius to the
  left, keeps that far from the walls; it may near them only as fast as it can settle there;
- where it turns tightly: if even the sharpest turn, begun a step on, would pass the limit, it
  turns now; a front as round as the cutter is met by all of the rim at once;
- never more to the right than in a circle of `RIGHT` times the cutter's radius.

Where the rim meets the edge of the material, and how that moves on: the cutter's leading half runs
from -90 degrees (at its right) to +90 (at its left) of the heading. A point Q where the edge
crosses the rim stays on the edge and on the rim as the centre goes on. So with the unit vector u
from the centre to Q, the edge's direction T and the heading h, per length of path: Q goes
(h.u)/(T.u) along the edge, and the direction of u turns by (n.T (h.u)/(T.u) - n.h)/r, where n is u
turned by 90 degrees. (Plane kinematics of the chord; no source but the derivation.)
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
HALF = math.pi / 2
PITCH = 0.15  # of the radius: the longest piece of edge, so that the rim crosses each but once
BEHIND = -0.2  # of the radius, ahead: an edge that begins farther back is not on the leading half
GRAZING = 0.05  # the least T.u that is reckoned with: a tangent edge moves on at once
SETTLE = 0.35  # radii of path over which the contact comes to the limit,
AT_ONCE = 1.4  # turning radii of path: the same, if that is less
TIGHT = 0.05  # of the radius: turning radii below which a turn is begun for what is to come,
FORESEEN = math.radians(10)  # more and more from so far below the limit
GATHER = 0.5  # radii of path over which its right end comes to the right side
SIDE = -HALF + math.radians(20)  # there the right end is wanted where it is free
TOUCH = math.radians(2)  # less is no contact
RIGHT = 0.8  # of the radius: the tightest turn to the right
BURIED = math.radians(120)  # more at one step, and no edge at the next, is no way out
SIGHT = 4.0  # radii: what is fetched round the cutter
SLOWING = 0.3  # turning radii of gap for each rad by which walls are neared
FAR = 9.0  # radii of path after which what was cut is taken away
TURNED = 5.0  # rad, the same: before the path meets itself
BLIND = 1.0  # turning radii of air after which there is nothing more to come, away from walls
ALONG = 4.0  # the same along a wall
BEFORE = 8.0  # the same before the first contact
BLOCK = 16  # cells to the side of a block of room
UNKNOWN = -1  # the number of a block that is still to be worked out

# what is known of a contact: its angle, rad; where its right end is, rad from the heading (-90
# degrees where the right side is in it), and how fast that turns, rad per mm of path; the same of
# its left end; whether it is one arc
Contact = tuple[float, float, float, float, float, bool]

# why the steps stopped
PAUSED, AIR, OUT_OF_SIGHT, NO_ROOM_KNOWN = range(4)


@compiled
def steps(
    state: Floats,
    rows: Floats,
    edges: Floats,
    numbers: Ints,
    blocks: Floats,
    grid: Floats,
    law: Floats,
) -> tuple[int, int, int]:
    """Walk on until something is wanted; why, and the block of room that is wanted.

    Args:
        state: place (2), heading (2), path so far, rad turned, path in air, engaged angle, whether
            anything was met, steps for which no wall can come near, rows written, and the middle of
            what `edges` hold (2); as it is left, it is to be given to go on.
        rows: x, y, heading, engaged angle of every step; those written are added.
        edges: n x 4, the material on their left, none longer than `PITCH` radii.
        numbers: for each block of the room its number in `blocks`, or `UNKNOWN`.
        blocks: n x (`BLOCK` + 1) x (`BLOCK` + 1), mm from the walls.
        grid: the room's first column and row of blocks; its pitch and the most that is told, mm.
        law: radius, limit, turning radius to the left, path on which it turns so whatever else
            would do, step, hand (-1: walls are in the mirror, x negated).
    """
    x, y, hx, hy = state[0], state[1], state[2], state[3]
    far, turned, air, engaged = state[4], state[5], state[6], state[7]
    met, unwalled, count = state[8] > 0, int(state[9]), int(state[10])
    r, limit, left, forced, step, hand = law[0], law[1], law[2], law[3], law[4], law[5]
    crossings = np.empty((len(edges) + 1, 3))
    column, row, why = 0, 0, PAUSED
    while far < FAR * r and turned < TURNED and count < len(rows):
        if math.hypot(x - state[11], y - state[12]) > (SIGHT - 1.2) * r:
            why = OUT_OF_SIGHT
            break
        held = -math.inf
        if unwalled > 0:
            unwalled -= 1
        else:
            # seen from a step ahead: the middle of the circle to the left, and on from there
            ox, oy = x + hx * step - left * hy, y + hy * step + left * hx
            known, column, row, here = _room(ox * hand, oy, numbers, blocks, grid)
            on_x, on_y = (ox + 2 * step * hx) * hand, oy + 2 * step * hy
            spare = here - left - 1.6 * SLOWING * left
            if known and spare > 0:
                # the circle's middle goes fastest where the path turns to the right
                unwalled = int(spare / (1.42 * step * (1.3 + left / (RIGHT * r))))
            elif known:
                known, column, row, there = _room(on_x, on_y, numbers, blocks, grid)
                held = _held(here - left, there - left, left, step)
            if not known:
                why = NO_ROOM_KNOWN
                break
        count_of = _crossings(x, y, hx, hy, r, edges, crossings)
        k = 1 / left
        if count_of > 0:
            found = _told(crossings, count_of)
            k = _wanted(found, r, limit, min(SETTLE * r, AT_ONCE * left))
            engaged = found[0]
        elif engaged < BURIED:
            # a rim that no edge crosses is in air, or all in the material that it dived into
            k = -1 / (RIGHT * r)
            engaged = 0.0
        else:
            engaged = math.pi
        if far < forced:
            k = 1 / left
        elif left < TIGHT * r and k < 1 / left and count_of > 0:
            k = max(k, _foreseen(x, y, hx, hy, r, limit, left, step, edges, crossings))
        k = min(k, 1 / left)
        walled = held > k
        k = min(max(k, held), 1 / left)
        rows[count, 0], rows[count, 1], rows[count, 2], rows[count, 3] = x, y, hx, hy
        rows[count, 4] = engaged
        count += 1
        if engaged > TOUCH:
            air, met = 0.0, True
        else:
            air += step
            if air > (BEFORE if not met else ALONG if walled else BLIND) * left:
                why = AIR
                break
        x, y, hx, hy = _on(x, y, hx, hy, k, step)
        far += step
        turned += abs(k) * step
    state[0], state[1], state[2], state[3] = x, y, hx, hy
    state[4], state[5], state[6], state[7] = far, turned, air, engaged
    state[8], state[9], state[10] = 1.0 if met else 0.0, unwalled, count
    return why, column, row


@compiled
def _foreseen(
    x: float,
    y: float,
    hx: float,
    hy: float,
    r: float,
    limit: float,
    left: float,
    step: float,
    edges: Floats,
    crossings: Floats,
) -> float:
    """The turn to begin now, as the sharpest one begun a step on would come near the limit."""
    most = 0.0
    for part in range(1, 4):
        a = 0.5 * part  # rad: how the cutter stands then is seen at three places of the turn
        vx, vy, ux, uy = _on(x + step * hx, y + step * hy, hx, hy, 1 / left, a * left)
        count = _crossings(vx, vy, ux, uy, r, edges, crossings)
        if count > 0:
            most = max(most, _told(crossings, count)[0])
    return min(max((most - limit) / FORESEEN + 1, 0.0), 1.0) / left


@compiled
def _crossings(
    x: float, y: float, hx: float, hy: float, r: float, edges: Floats, found: Floats
) -> int:
    """How often edges cross the leading half; angle, 1 where it enters material, turn; by angle."""
    count = 0
    for i in range(len(edges)):
        px, py = edges[i, 0] - x, edges[i, 1] - y
        qx, qy = edges[i, 2] - x, edges[i, 3] - y
        enters = px * px + py * py <= r * r
        if enters == (qx * qx + qy * qy <= r * r) or px * hx + py * hy < BEHIND * r:
            continue
        tx, ty = qx - px, qy - py
        length = math.sqrt(tx * tx + ty * ty)
        if length < 1e-9:
            continue
        tx, ty = tx / length, ty / length
        b = px * tx + py * ty
        root = math.sqrt(max(b * b - px * px - py * py + r * r, 0.0))
        # an edge with material on its left that leaves the disc: counter-clockwise, the rim enters
        # there
        s = -b + root if enters else -b - root
        ux, uy = (px + s * tx) / r, (py + s * ty) / r
        ahead = ux * hx + uy * hy
        if ahead < -0.02:
            continue
        along = ux * tx + uy * ty
        if abs(along) < GRAZING:
            along = math.copysign(GRAZING, along)
        angle = math.atan2(hx * uy - hy * ux, ahead)
        k = count
        while k > 0 and found[k - 1, 0] > angle:
            for j in range(3):
                found[k, j] = found[k - 1, j]
            k -= 1
        found[k, 0], found[k, 1] = angle, 1.0 if enters else 0.0
        found[k, 2] = ((ux * ty - uy * tx) * ahead / along - (ux * hy - uy * hx)) / r
        count += 1
    return count


@compiled
def _told(crossings: Floats, count: int) -> Contact:
    """The arcs of the rim that are in material, from where it crosses edges."""
    engaged, last, last_turn = 0.0, -HALF, 0.0
    inside = crossings[0, 1] == 0
    since = -HALF  # where it is inside: since this angle
    first, first_turn = (-HALF, 0.0) if inside else (crossings[0, 0], crossings[0, 2])
    for i in range(count):
        if crossings[i, 1] > 0:
            since, inside = crossings[i, 0], True
        elif inside:
            engaged += crossings[i, 0] - since
            last, last_turn, inside = crossings[i, 0], crossings[i, 2], False
    if inside:
        engaged += HALF - since
        last, last_turn = HALF, 0.0
    return engaged, first, first_turn, last, last_turn, count <= 2


@compiled
def _wanted(found: Contact, r: float, limit: float, settle: float) -> float:
    """How fast to turn for the contact's sake, which settles on so much path; left is positive."""
    engaged, first, first_turn, last, last_turn, whole = found
    over = engaged - limit
    if whole and over < 0:
        over = last + HALF - limit
    k = max(-1 / (RIGHT * r), last_turn + over / settle)
    if -HALF + 0.1 < first < HALF - 0.1:
        k = max(k, first_turn + (first - SIDE) / (GATHER * r))
    return k


@compiled
def _room(
    x: float, y: float, numbers: Ints, blocks: Floats, grid: Floats
) -> tuple[bool, int, int, float]:
    """How far a place is from the walls, mm; if that is known, and which block it is in.

    It changes by no more than 1.42 mm for each mm of way.
    """
    u, v = x / grid[2], y / grid[2]
    column, row = math.floor(u), math.floor(v)
    u, v = u - column, v - row
    bi, bj = column // BLOCK, row // BLOCK
    i, j = column - bi * BLOCK, row - bj * BLOCK
    bi, bj = bi - int(grid[0]), bj - int(grid[1])
    if bi < 0 or bj < 0 or bi >= numbers.shape[0] or bj >= numbers.shape[1]:
        return True, bi, bj, -grid[3]
    at = numbers[bi, bj]
    if at == UNKNOWN:
        return False, bi, bj, 0.0
    west = blocks[at, i, j] + v * (blocks[at, i, j + 1] - blocks[at, i, j])
    east = blocks[at, i + 1, j] + v * (blocks[at, i + 1, j + 1] - blocks[at, i + 1, j])
    return True, bi, bj, west + u * (east - west)


@compiled
def _held(gap: float, ahead: float, left: float, step: float) -> float:
    """The turn that the walls demand, from the gaps here and two steps on.

    The circle in which the path could turn away to the left may near them at an angle in
    proportion to the gap that it still has.
    """
    nearing = math.asin(min(max((gap - ahead) / (2 * step), -1.0), 1.0))
    wanted = max(gap / (SLOWING * left), -0.3)
    return (nearing - wanted) / (1.5 * step)


@compiled
def _on(
    x: float, y: float, hx: float, hy: float, k: float, step: float
) -> tuple[float, float, float, float]:
    """One step along an arc of curvature k."""
    a = k * step
    if abs(a) < 1e-9:
        return x + hx * step, y + hy * step, hx, hy
    s, c = math.sin(a), math.cos(a)
    nx, ny = hx * c - hy * s, hx * s + hy * c
    size = math.hypot(nx, ny)
    return x + (hx * s - hy * (1 - c)) / k, y + (hy * s + hx * (1 - c)) / k, nx / size, ny / size
