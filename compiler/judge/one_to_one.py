"""Planned moves that stand in the text as one motion each, found many at a time.

Nearly all do. The conditions are those of `judge.match`, on columns and a hair stricter: whatever
is not surely met here is weighed there, move by move.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import numpy.typing as npt

from compiler.judge.case import Case
from compiler.judge.match import Digits, Step
from compiler.motion import OperationPath, Rapid, Straight, Turn
from compiler.read import State

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

RPM = 1.0  # spindle speeds are written in whole turns
_SURE = 1 - 1e-9  # of what is granted: sums come out otherwise by less than the rest
_FEWEST, _MOST = 32, 2048  # moves that are looked at together
_RAPID, _LINE, _ARC, _OTHER = 0.0, 1.0, 2.0, 3.0


class OneToOne:
    """The planned moves and the motions read, side by side."""

    def __init__(self, case: Case, steps: Sequence[Step], digits: Digits) -> None:
        self._digits = digits
        self._count = _FEWEST
        self._plan = _planned(case, steps)
        self._read = _read(case)

    def run(self, step: int, motion: int) -> tuple[int, float, int]:
        """How many moves from a step on are met by one motion each from `motion` on; the greatest
        distance in an axis between the two, mm, and at which motion.
        """
        count = min(self._count, self._plan.shape[1] - step, self._read.shape[1] - motion)
        if count <= 0:
            return 0, 0.0, -1
        met, off = self._met(
            self._plan[:, step : step + count], self._read[:, motion : motion + count]
        )
        length = count if met.all() else int(np.argmin(met))
        self._count = min(_MOST, 2 * self._count) if length == count else _FEWEST
        if not length:
            return 0, 0.0, -1
        worst = int(np.argmax(off[:length]))
        return length, float(off[worst]), motion + worst

    def _met(self, plan: Floats, read: Floats) -> tuple[Flags, Floats]:
        kind, sx, sy, tx, ty, tz, feed, cx, cy, ccw, *state = plan
        is_kind, ax, ay, ex, ey, ez, fed, mx, my, is_ccw, radius, turned, *is_state = read
        d = self._digits
        dx, dy, dz = np.abs(ex - tx), np.abs(ey - ty), np.abs(ez - tz)
        level = np.maximum(dx, dy)
        near = (level <= d.line * _SURE) & (dz <= d.line * _SURE)
        true_feed = np.abs(fed - feed) <= 2 * d.feed * _SURE
        met = (kind == is_kind) & np.where(kind == _ARC, True, near)
        met &= (kind == _RAPID) | true_feed
        tool, rpm, coolant = state
        is_tool, is_rpm, is_coolant = is_state
        fits = (np.abs(is_rpm - rpm) <= RPM * _SURE) & (is_coolant == coolant)
        met &= (tool == is_tool) & ((kind == _RAPID) | fits)
        # arcs as in `match_turn`: on the circle, in its sense, as far round, and ending in place
        off_circle = 5 * d.arc * math.sqrt(2) + d.line
        wide = np.hypot(sx - cx, sy - cy)
        on = np.abs(np.hypot(ex - cx, ey - cy) - wide) <= off_circle * _SURE
        middle = np.arctan2(ay - my, ax - mx) + turned / 2
        half_x, half_y = mx + radius * np.cos(middle), my + radius * np.sin(middle)
        on &= np.abs(np.hypot(half_x - cx, half_y - cy) - wide) <= off_circle * _SURE
        slack = 4 * off_circle / np.maximum(wide, 1e-6) + 1e-6
        round_ = np.abs(turned - _sweeps(sx, sy, tx, ty, cx, cy, ccw)) <= slack * _SURE
        ends = (level <= d.arc * _SURE) & (dz <= d.line * _SURE)
        met &= (kind != _ARC) | (on & round_ & ends & (ccw == is_ccw))
        return met, np.maximum(level, dz)


def _sweeps(
    sx: Floats, sy: Floats, tx: Floats, ty: Floats, cx: Floats, cy: Floats, ccw: Floats
) -> Floats:
    """Of planned arcs, rad, signed."""
    ax, ay, bx, by = sx - cx, sy - cy, tx - cx, ty - cy
    closed = np.hypot(tx - sx, ty - sy) < 1e-9
    turn = np.where(closed, math.tau, np.arctan2(ax * by - ay * bx, ax * bx + ay * by) % math.tau)
    back = np.where(closed, -math.tau, turn - math.tau)
    found: Floats = np.where(ccw > 0, turn, back)
    return found


def _planned(case: Case, steps: Sequence[Step]) -> Floats:
    """(13, n): kind, start, end, feed, centre and sense, tool, speed and coolant.

    Of another kind is what asks for more than a motion: the first move of an operation, one that
    the control compensates, a stay.
    """
    top = case.job.machine.max_feed
    paths: dict[int, tuple[float, float, float]] = {}
    rows: list[tuple[float, ...]] = []
    for step in steps:
        move, start, to = step.move, step.start, step.move.to
        state = paths.get(id(step.path)) or paths.setdefault(id(step.path), _asked(case, step.path))
        ends = (start.x, start.y, to.x, to.y, to.z)
        match move:
            case Rapid():
                kind = _OTHER if step.first else _RAPID
                rows.append((kind, *ends, 0.0, 0.0, 0.0, 0.0, *state))
            case Straight():
                kind = _OTHER if step.first or move.side or move.dwell else _LINE
                rows.append((kind, *ends, min(move.feed, top), 0.0, 0.0, 0.0, *state))
            case Turn():
                kind = _OTHER if step.first or move.side else _ARC
                centre = move.centre
                feed, sense = min(move.feed, top), float(move.ccw)
                rows.append((kind, *ends, feed, centre.x, centre.y, sense, *state))
    return np.ascontiguousarray(np.array(rows, dtype=np.float64).reshape(len(rows), 13).T)


def _asked(case: Case, path: OperationPath) -> tuple[float, float, float]:
    """Tool, speed, and coolant as `_coolant` has it, of an operation's moves."""
    flood, mist = path.coolant == "flood", path.coolant in ("mist", "air")
    tool = float(case.job.tool(path.tool).number)
    return tool, min(path.rpm, case.job.machine.max_rpm), _coolant(flood, mist)


def _coolant(flood: bool, mist: bool) -> float:
    return 2.0 * flood + mist


def _read(case: Case) -> Floats:
    """(15, n): of the motions the same, with radius and turned angle after the sense."""
    m = case.columns
    states: dict[int, tuple[float, float, float]] = {}

    def told(state: State) -> tuple[float, float, float]:
        bare = state.compensation == "off" and state.diameter_offset is None
        tool = math.nan if state.tool is None or not bare else float(state.tool)
        return tool, state.rpm, _coolant(state.flood, state.mist)

    for motion in case.motions:
        if id(motion.state) not in states:
            states[id(motion.state)] = told(motion.state)
    in_force = np.array([states[id(k.state)] for k in case.motions], dtype=np.float64)
    kind = np.where(m.rapid, _RAPID, np.where(m.radius > 0, _ARC, _LINE))
    sense = np.where(m.radius > 0, m.ccw, False)
    columns = (kind, m.ax, m.ay, m.bx, m.by, m.bz, m.feed, m.cx, m.cy, sense, m.radius, m.sweep)
    return np.vstack([*columns, *in_force.reshape(len(case.motions), 3).T])
