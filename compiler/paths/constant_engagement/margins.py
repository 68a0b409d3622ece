"""How far the pieces of a run may be off its rows, for the limit's sake and for the walls'."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
TOUCH = math.radians(2)  # less is no contact
TIGHT = 0.006  # mm: how far a piece on a wall may be nearer to it than the run
OFF_WALL = 0.012  # mm: how much farther off it, so that hardly a film stays
INWARDS = 0.015  # of the radius: how far a piece may leave the run on the side of the material
OUTWARDS = 0.008  # the same on the other side, where what it leaves is met by the next pass
IN_AIR = 0.05  # the same where nothing is cut
IN_HAND = math.radians(0.3)  # of the limit: what the pass before may have left
LEAST_TURN = 0.012  # rad that a piece may be turned towards the material, and what else it may
TURN_AWAY = 0.03  # rad: the same away from it
MOST_TURN = 0.25  # rad: the same where the limit is far
BY_WALL = 0.2  # mm: nearer, a run goes along a wall
BESIDE = 0.05  # mm: a run so near a wall has it in reach
LEAST_SINE = 0.3  # of the engaged angle: contact that begins comes on no faster for each mm


def beside(rows: Floats, nearest: Floats, hand: int) -> Floats:
    """Places to the right of the rows (to the left for hand -1), then those on the other side.

    They are a little farther off than the wall, of which `nearest` has the place and how far it is.
    """
    off = hand * (TIGHT + np.maximum(nearest[:, 2], 0.0))
    aside = off[:, None] * np.column_stack([rows[:, 3], -rows[:, 2]])
    return np.vstack([rows[:, :2] + aside, rows[:, :2] - aside])


@compiled
def margins(rows: Floats, nearest: Floats, inside: Flags, limit: float, r: float) -> Floats:
    """What pieces may be off at each row, the material on the right, as `arcs` takes it.

    A piece that is turned to the right by an angle engages so much more; one that is off to
    the right by e does by e / (r sin phi) (by derivation from ae = r (1 - cos phi)). Both
    together are to stay within what the row has in hand of the limit. A wall may be on either
    side; towards it a piece is turned no more than it may come nearer before the next row.

    `inside` tells of the places that `beside` gives which keep to the centres.
    """
    n = len(rows)
    found = np.empty((n, 5))
    for i in range(n):
        engaged, room = rows[i, 4], max(nearest[i, 2], 0.0)
        nearer, farther = TIGHT + room, OFF_WALL + 0.5 * max(room - BESIDE, 0.0)
        on_right, on_left = not inside[i], not inside[n + i]
        inwards = nearer if on_right else farther if on_left else math.inf
        outwards = nearer if on_left and not on_right else farther
        # the end of what is beside a wall touches little, and nothing comes there later
        last = on_right and engaged > 0.0 and room < BY_WALL
        if engaged <= TOUCH and not on_left and not last:
            outwards = IN_AIR * r
        found[i, 0] = min(inwards, INWARDS * r)
        found[i, 1] = min(outwards, (OUTWARDS if engaged > TOUCH else IN_AIR) * r)
        spare = min(max(limit - IN_HAND - engaged, LEAST_TURN), MOST_TURN)
        away = max(spare, TURN_AWAY)
        most = MOST_TURN
        if i + 1 < n:
            # over a step that it leaves its chord at an angle to, an arc bulges by a quarter of
            # both
            step = math.hypot(rows[i + 1, 0] - rows[i, 0], rows[i + 1, 1] - rows[i, 1])
            most = max(4 * nearer / max(step, 1e-6), LEAST_TURN)
        found[i, 2] = min(spare, most) if on_right else spare
        found[i, 3] = min(away, most) if on_left else away
        found[i, 4] = 1 / (r * max(math.sin(min(engaged, math.pi / 2)), LEAST_SINE))
    return found


def worst(engaged: Floats, ends: NDArray[np.int64]) -> Floats:
    """The most that is engaged on each piece of a run, given the row that each ends at.

    A row more at both ends: contact comes on between two of them.
    """
    before = np.concatenate([[0], ends[:-1]])
    # several pieces may end at one row: they all begin where the first of them does
    begin = before[np.searchsorted(ends, ends)]
    spans = np.column_stack([np.maximum(begin - 1, 0), np.minimum(ends + 2, len(engaged))])
    found: Floats = np.maximum.reduceat(np.append(engaged, 0.0), spans.ravel())[::2]
    return found
