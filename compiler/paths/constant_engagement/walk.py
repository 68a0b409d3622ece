"""The walking cutter at work: `steps` given what it asks for, from one pause to the next."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from compiler.paths.constant_engagement import steps
from compiler.paths.constant_engagement.left import Left
from compiler.paths.constant_engagement.room import Room
from compiler.paths.linking.pose import Pose

Floats = NDArray[np.float64]
TOUCH = steps.TOUCH
STRIDE = 0.1  # of the radius: a step


class Ended(Enum):
    """Why a stretch of the walk ended."""

    PAUSE = "what was cut has to be taken away"
    AIR = "nothing more to cut"


@dataclass(frozen=True, slots=True)
class Turning:
    """How sharply the path may turn, and where it is told to.

    `left` is the radius to the left, mm; `forced` the angle by which it first turns in that circle,
    whatever else would do, rad.
    """

    left: float
    forced: float = 0.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of a walk.

    `rows` are x, y, heading x, heading y, engaged angle, a `step` (mm) apart; `pose` is where it
    goes on.
    """

    rows: Floats
    pose: Pose
    ended: Ended
    step: float


class Walker:
    """A cutter of one radius and limit, in one hand: -1 sees everything in a mirror (x negated)."""

    def __init__(self, left: Left, room: Room, radius: float, limit: float, hand: int) -> None:
        self._left, self._room, self._hand = left, room, hand
        self._radius, self._limit = radius, limit

    def stretch(self, pose: Pose, turning: Turning) -> Stretch:
        """Walk on from a pose until something has to be taken away, or there is but air."""
        r, room = self._radius, self._room
        step = min(STRIDE * r, 0.3 * turning.left)
        forced = turning.forced * turning.left
        law = np.array([r, self._limit, turning.left, forced, step, self._hand])
        state = np.array([*pose, *[0.0] * 9])
        rows = np.empty((math.ceil(steps.FAR * r / step) + 2, 5))
        edges = self._edges(state)
        while True:
            why, column, row = steps.steps(
                state, rows, edges, room.numbers, room.blocks, room.grid, law
            )
            if why == steps.NO_ROOM_KNOWN:
                room.work_out(column, row)
            elif why == steps.OUT_OF_SIGHT:
                edges = self._edges(state)
            else:
                break
        x, y, hx, hy = state[:4].tolist()
        ended = Ended.AIR if why == steps.AIR else Ended.PAUSE
        return Stretch(rows[: int(state[10])].copy(), (x, y, hx, hy), ended, step)

    def _edges(self, state: Floats) -> Floats:
        """The edges round the cutter, of which the state keeps where they were looked up."""
        state[11:13] = state[:2]
        x, y = state[:2].tolist()
        near = steps.SIGHT * self._radius
        return self._left.edges((x - near, y - near, x + near, y + near), self._hand)
