"""What the walking cutter did, written down: lines and arcs with their roles and feeds."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.motion import Role
from compiler.paths.constant_engagement.arcs import arcs
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.margins import TIGHT, beside, margins, worst
from compiler.paths.constant_engagement.on_walls import BY_WALL, directions, set_on_walls
from compiler.paths.constant_engagement.walk import TOUCH
from compiler.paths.constant_engagement.walls import Walls
from compiler.paths.course import places, segments
from compiler.paths.stroke import Piece

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
SPARE = math.radians(0.5)  # over the limit that is borne at full feed
BETWEEN = math.radians(3.0)  # by which the angle may be greater between two rows, where it changes
SEEN = 0.3  # of the radius, farther: no row beside one that is by a wall is beyond it
CORNER = 0.15  # rad: a wall that turns more at one place has a corner there
LOOK = 0.15  # rad of an arc between looks at whether it keeps to the centres
LOOKS = 0.05  # of the radius: the same along any piece
NARROWED = 6  # times that bounds are narrowed where pieces leave the centres
NARROWER = 0.4  # of what they were
EXACT = 1e-6  # mm: how far a piece into a corner may end off it
AT_CORNERS = 0.2  # rad: how far pieces along a wall may be turned between its corners


class Tracer:
    """Writes rows of walks down as pieces that keep to the centres."""

    def __init__(self, walls: Walls, safe: Grid, radius: float, limit: float) -> None:
        self._walls, self._safe = walls, safe
        self._radius, self._limit = radius, limit
        self._seen = BY_WALL + SEEN * radius

    def pieces(self, rows: Floats, hand: int) -> list[Piece]:
        """Pieces along rows x, y, hx, hy, engaged, as `set_on_walls` left them."""
        smooth = rows[:, :4].copy()
        smooth[1:, 2:] = directions(rows)[1:]
        nearest = self._nearest(smooth)
        inside = self._walls.grid.inside(beside(smooth, nearest, hand))
        bounds = margins(rows, nearest, inside, self._limit, self._radius)
        return self._told(*self._fitted(smooth, bounds, hand), rows[:, 4])

    def _fitted(self, rows: Floats, bounds: Floats, hand: int) -> tuple[Floats, Ints]:
        """The pieces that `arcs` finds, all of which keep to the centres; the rows they end at.

        Where some do not, the bounds of place and heading are narrowed there, and there only:
        between two rows a piece bulges by as much as it is turned. What is then still out is
        gone straight from row to row.
        """
        bounds = bounds.copy()
        for _ in range(NARROWED):
            table, ends = arcs(rows, bounds, hand)
            out = self._out(table)
            if not out:
                return table, ends
            there = np.zeros(len(rows), dtype=np.bool_)
            for k in out:
                there[(ends[k - 1] if k else 0) : ends[k] + 1] = True
            bounds[there, :4] *= NARROWER
        return _lines(rows)

    def through_corners(self, rows: Floats) -> list[Piece]:
        """Pieces along rows on a wall, whose corners stay."""
        # a row's heading is that of the way on: at a corner, the way there has another
        (ax, ay), (bx, by) = rows[:-1, 2:4].T, rows[1:, 2:4].T
        turn = np.abs(ax * by - ay * bx)
        corners = np.flatnonzero(turn > CORNER) + 1
        ends = np.unique([0, *corners, len(rows) - 1]).tolist()
        tables, until = list[Floats](), list[Ints]()
        for a, b in pairwise(ends):
            smooth = rows[a : b + 1].copy()
            if tables:  # the fit may have ended a hair beside the corner
                smooth[0, :2] = tables[-1][-1, 2:4]
            smooth[:, 2:4] = directions(smooth)
            bounds = np.tile([TIGHT, TIGHT, AT_CORNERS, AT_CORNERS, 0.0], (len(smooth), 1))
            bounds[-1, :2] = EXACT  # into the corner itself, and on from there
            if tables:
                smooth[0, :2] = tables[-1][-1, 2:4]
            found, last = self._fitted(smooth, bounds, 1)
            tables.append(found)
            until.append(a + last)
        return self._told(np.concatenate(tables), np.concatenate(until), rows[:, 4])

    def set_on_walls(self, rows: Floats) -> Floats:
        """The rows, those that run along next to a wall moved on to it."""
        return set_on_walls(rows, self._nearest(rows))

    def _nearest(self, rows: Floats) -> Floats:
        """The nearest place on a wall for each row, and how far it is; negative beyond the wall.

        Where none is near: the row's own, and as far as is looked.
        """
        return self._walls.grid.nearest(np.ascontiguousarray(rows[:, :2]), self._seen)

    def _out(self, table: Floats) -> list[int]:
        """Those of the pieces that do not keep to the centres."""
        if self._stays(table):
            return []
        return [k for k in range(len(table)) if not self._stays(table[k : k + 1])]

    def _stays(self, table: Floats) -> bool:
        """Whether the pieces keep to the centres."""
        return bool(self._safe.inside(places(table, LOOK, LOOKS * self._radius)).all())

    def _told(self, table: Floats, ends: Ints, engaged: Floats) -> list[Piece]:
        """The pieces with roles, and slower where they take more than the limit."""
        cutting = np.flatnonzero(engaged > TOUCH)
        first, last = (int(cutting[0]), int(cutting[-1])) if len(cutting) else (len(engaged), -1)
        found, begin, previous = [], 0, 0
        most = worst(engaged, ends).tolist()
        long = (np.hypot(*(table[:, 2:4] - table[:, :2]).T) > 1e-6).tolist()
        for segment, end, angle, kept in zip(
            segments(table), ends.tolist(), most, long, strict=True
        ):
            if end != previous:
                begin = previous
            factor, role = 1.0, Role.CUT
            if angle > self._limit + SPARE:
                factor = (1 - math.cos(self._limit)) / (1 - math.cos(min(angle + BETWEEN, math.pi)))
            if end < first or begin > last:
                role = Role.LEAD
            elif angle <= TOUCH:
                role = Role.LINK
            if kept:
                found.append(Piece(segment, role, factor))
            previous = end
        return found


def _lines(rows: Floats) -> tuple[Floats, Ints]:
    """Straight from row to row, and the row at which each line ends."""
    places = rows[:, :2]
    table = np.hstack([places[:-1], places[1:], places[:-1], np.zeros((len(rows) - 1, 1))])
    return table, np.arange(1, len(rows))
