"""What the walking cutter did, written down: lines and arcs with their roles and feeds."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Line, Point, Segment
from compiler.motion import Role
from compiler.paths.constant_engagement.arcs import arcs
from compiler.paths.constant_engagement.course import chords
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.room import Walls
from compiler.paths.constant_engagement.walk import TOUCH
from compiler.paths.stroke import Piece

Floats = NDArray[np.float64]
SPARE = math.radians(0.5)  # over the limit that is borne at full feed
BETWEEN = math.radians(3.0)  # by which the angle may be greater between two rows, where it changes
AT_WALL = 0.03  # mm: a row so near a wall is set on it
BY_WALL = 0.2  # mm: nearer, it is drawn towards it
SEEN = 0.3  # of the radius, farther: no row beside one that is by a wall is beyond it
ALONG = 0.06  # slope against the wall up to which a run goes along it
ABREAST = 3  # rows before and after, from which a direction along a wall is taken
ON_WALL = 0.02  # of the way to where it was: a row moved nearer is on the wall
CORNER = 0.15  # rad: a wall that turns more at one place has a corner there
LOOK = 0.15  # rad of an arc between looks at whether it keeps to the centres
LOOKS = 0.05  # of the radius: the same along any piece
NARROWED = 6  # times that bounds are narrowed where pieces leave the centres
NARROWER = 0.4  # of what they were
TIGHT = 0.006  # mm: how far a piece on a wall may be nearer to it than the run
OFF_WALL = 0.012  # mm: how much farther off it, so that hardly a film stays
INWARDS = 0.015  # of the radius: how far a piece may leave the run on the side of the material
OUTWARDS = 0.008  # the same on the other side, where what it leaves is met by the next pass
IN_AIR = 0.05  # the same where nothing is cut
IN_HAND = math.radians(0.3)  # of the limit: what the pass before may have left
LEAST_TURN = 0.012  # rad that a piece may be turned towards the material, and what else it may
TURN_AWAY = 0.03  # rad: the same away from it
MOST_TURN = 0.25  # rad: the same where the limit is far
LEAST_SINE = 0.3  # of the engaged angle: contact that begins comes on no faster for each mm
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
        smooth[1:, 2:] = _directions(smooth[:, :2])[1:]
        segments, ends = self._fitted(smooth, self._bounds(rows, smooth, hand), hand)
        return self._told(segments, ends, rows[:, 4])

    def _fitted(self, rows: Floats, bounds: Floats, hand: int) -> tuple[list[Segment], list[int]]:
        """The pieces that `arcs` finds, all of which keep to the centres.

        Where some do not, the bounds of place and heading are narrowed there, and there only:
        between two rows a piece bulges by as much as it is turned. What is then still out is
        gone straight from row to row.
        """
        bounds = bounds.copy()
        for _ in range(NARROWED):
            segments, ends = arcs(rows, bounds, hand)
            out = self._out(segments)
            if not out:
                return segments, ends
            there = np.zeros(len(rows), dtype=np.bool_)
            for k in out:
                there[(ends[k - 1] if k else 0) : ends[k] + 1] = True
            bounds[there, :4] *= NARROWER
        return _lines(rows)

    def _bounds(self, rows: Floats, smooth: Floats, hand: int) -> Floats:
        """What pieces may be off at each row, the material on the right, as `arcs` takes it.

        A piece that is turned to the right by an angle engages so much more; one that is off to
        the right by e does by e / (r sin phi) (by derivation from ae = r (1 - cos phi)). Both
        together are to stay within what the row has in hand of the limit. A wall may be on either
        side; towards it a piece is turned no more than it may come nearer before the next row.
        """
        r, engaged = self._radius, rows[:, 4]
        _, room = self._at_wall(rows)
        room = np.maximum(room, 0.0)
        nearer, farther = TIGHT + room, OFF_WALL + 0.5 * room
        on_right, on_left = (self._beyond(smooth, side * hand * nearer) for side in (1, -1))
        inwards = np.where(on_right, nearer, np.where(on_left, farther, math.inf))
        outwards = np.where(on_left & ~on_right, nearer, farther)
        outwards[(engaged <= TOUCH) & ~on_left] = IN_AIR * r
        inwards = np.minimum(inwards, INWARDS * r)
        outwards = np.minimum(outwards, np.where(engaged > TOUCH, OUTWARDS, IN_AIR) * r)
        spare = np.clip(self._limit - IN_HAND - engaged, LEAST_TURN, MOST_TURN)
        away = np.maximum(spare, TURN_AWAY)
        # over a step that it leaves its chord at an angle to, an arc bulges by a quarter of both
        most = np.full(len(rows), MOST_TURN)
        most[:-1] = np.maximum(4 * nearer[:-1] / np.diff(_marks(rows)), LEAST_TURN)
        spare[on_right] = np.minimum(spare, most)[on_right]
        away[on_left] = np.minimum(away, most)[on_left]
        sine = np.maximum(np.sin(np.minimum(engaged, math.pi / 2)), LEAST_SINE)
        return np.column_stack([inwards, outwards, spare, away, 1 / (r * sine)])

    def _beyond(self, rows: Floats, right: Floats) -> NDArray[np.bool_]:
        """Whether a wall is passed so far to the right of each row, mm; to the left: negative."""
        x, y = rows[:, 0] + right * rows[:, 3], rows[:, 1] - right * rows[:, 2]
        return ~self._walls.grid.inside(np.column_stack([x, y]))

    def through_corners(self, rows: Floats) -> list[Piece]:
        """Pieces along rows on a wall, whose corners stay."""
        # a row's heading is that of the way on: at a corner, the way there has another
        (ax, ay), (bx, by) = rows[:-1, 2:4].T, rows[1:, 2:4].T
        turn = np.abs(ax * by - ay * bx)
        corners = np.flatnonzero(turn > CORNER) + 1
        ends = np.unique([0, *corners, len(rows) - 1]).tolist()
        segments, until = list[Segment](), list[int]()
        for a, b in pairwise(ends):
            smooth = rows[a : b + 1].copy()
            smooth[:, 2:4] = _directions(smooth[:, :2])
            bounds = np.tile([TIGHT, TIGHT, AT_CORNERS, AT_CORNERS, 0.0], (len(smooth), 1))
            found, last = self._fitted(smooth, bounds, 1)
            segments += found
            until += [a + k for k in last]
        return self._told(segments, until, rows[:, 4])

    def set_on_walls(self, rows: Floats) -> Floats:
        """The rows, those that run along next to a wall moved on to it."""
        at_wall, room = self._at_wall(rows)
        near = room < BY_WALL
        if near.any():
            before, rows, at_wall = rows[:, :2], rows.copy(), at_wall[near]
            share = np.clip((room[near] - AT_WALL) / (BY_WALL - AT_WALL), 0.0, 1.0)
            # what runs at an angle to the wall is on its way on to it or off it
            slope = np.abs(np.gradient(room, _marks(rows))) if len(rows) > 1 else 0 * room
            share = np.maximum(share, np.clip((slope[near] - ALONG) / ALONG, 0.0, 1.0))
            share[room[near] < 0] = 0.0
            share = share * share * (3 - 2 * share)
            rows[near, :2] = at_wall + share[:, None] * (rows[near, :2] - at_wall)
            if len(rows) > 1:
                rows[:, 2:4] = _turned(rows, before)
                on_wall = np.zeros(len(rows), dtype=np.bool_)
                on_wall[near] = share < ON_WALL
                rows[on_wall, 2:4] = _along_wall(rows[:, :2], on_wall)[on_wall]
                far = math.dist(rows[1, :2], rows[0, :2])
                if on_wall[0] and far > 1e-9:  # as the circle through the first two has it
                    chord = (rows[1, :2] - rows[0, :2]) / far
                    rows[0, 2:4] = 2 * (chord @ rows[1, 2:4]) * chord - rows[1, 2:4]
        return rows

    def _at_wall(self, rows: Floats) -> tuple[Floats, Floats]:
        """The nearest place on a wall for each row, and how far it is; negative beyond the wall.

        Where none is near: the row's own, and as far as is looked.
        """
        nearest = self._walls.grid.nearest(np.ascontiguousarray(rows[:, :2]), self._seen)
        return nearest[:, :2], nearest[:, 2]

    def _out(self, segments: Sequence[Segment]) -> list[int]:
        """Those of the pieces that do not keep to the centres."""
        if self._stays(segments):
            return []
        return [k for k, segment in enumerate(segments) if not self._stays([segment])]

    def _stays(self, segments: Sequence[Segment]) -> bool:
        """Whether the pieces keep to the centres."""
        places = chords(segments, LOOK, LOOKS * self._radius)
        return bool(self._safe.inside(places).all())

    def _told(
        self, segments: Sequence[Segment], ends: Sequence[int], engaged: Floats
    ) -> list[Piece]:
        """The pieces with roles, and slower where they take more than the limit."""
        cutting = np.flatnonzero(engaged > TOUCH)
        first, last = (int(cutting[0]), int(cutting[-1])) if len(cutting) else (len(engaged), -1)
        found, begin = [], 0
        for k, (segment, end) in enumerate(zip(segments, ends, strict=True)):
            # a row more at both ends: contact comes on between two of them
            worst = float(engaged[max(begin - 1, 0) : end + 2].max())
            factor, role = 1.0, Role.CUT
            if worst > self._limit + SPARE:
                most = min(worst + BETWEEN, math.pi)
                factor = (1 - math.cos(self._limit)) / (1 - math.cos(most))
            if end < first or begin > last:
                role = Role.LEAD
            elif worst <= TOUCH:
                role = Role.LINK
            if segment.length > 1e-6:
                found.append(Piece(segment, role, factor))
            if k + 1 < len(ends) and ends[k + 1] != end:
                begin = end
        return found


def _turned(rows: Floats, before: Floats) -> Floats:
    """The rows' headings, turned as much as moving the rows (n x 2 before) turned the run."""
    was, now = _directions(before), _directions(rows[:, :2])
    cross = was[:, 0] * now[:, 1] - was[:, 1] * now[:, 0]
    dot = (was * now).sum(axis=1)
    hx, hy = rows[:, 2], rows[:, 3]
    found: Floats = np.column_stack([hx * dot - hy * cross, hx * cross + hy * dot])
    size = np.hypot(found[:, 0], found[:, 1])[:, None]
    lost = size[:, 0] < 1e-6
    found[lost], size[lost] = rows[lost, 2:4], 1.0
    return found / size


def _along_wall(places: Floats, on_wall: NDArray[np.bool_]) -> Floats:
    """Unit directions along a wall of chords, each from as many places round it as lie on it too.

    The straight line through them by least squares: on a circle, too, it has the right direction.
    """
    n = len(places)
    here = np.arange(n)
    off = np.flatnonzero(~on_wall)
    edges = np.concatenate([[-1], off, [n]])
    k = np.searchsorted(edges, here)
    reach = np.minimum(
        here - edges[np.maximum(k - 1, 0)], edges[np.minimum(k, len(edges) - 1)] - here
    )
    reach = np.clip(reach - 1, 1, ABREAST)
    low, high = np.maximum(here - reach, 0), np.minimum(here + reach, n - 1) + 1
    marks = _marks(places)
    count = (high - low)[:, None]

    def summed(values: Floats) -> Floats:
        total = np.vstack([np.zeros((1, values.shape[1])), np.cumsum(values, axis=0)])
        found: Floats = total[high] - total[low]
        return found

    x = summed(marks[:, None])
    slope = summed(marks[:, None] * places) - x * summed(places) / count
    found: Floats = slope / np.maximum(np.hypot(slope[:, 0], slope[:, 1]), 1e-12)[:, None]
    return found


def _lines(rows: Floats) -> tuple[list[Segment], list[int]]:
    """Straight from row to row, and the row at which each line ends."""
    points = [Point(*row) for row in rows[:, :2].tolist()]
    return [Line(a, b) for a, b in pairwise(points)], list(range(1, len(points)))


def _directions(points: Floats) -> Floats:
    """Unit directions at places along a run: of the circle through each and its neighbours."""
    step = np.diff(points, axis=0)
    length = np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-9)[:, None]
    unit = step / length
    way = np.vstack([unit[:1], unit[:-1] * length[1:] + unit[1:] * length[:-1], unit[-1:]])
    found: Floats = way / np.maximum(np.hypot(way[:, 0], way[:, 1]), 1e-9)[:, None]
    return found


def _marks(rows: Floats) -> Floats:
    """Length of the run up to each row, mm."""
    steps = np.hypot(*np.diff(rows[:, :2], axis=0).T)
    found: Floats = np.concatenate([[0.0], np.cumsum(np.maximum(steps, 1e-6))])
    return found
