"""The walking cutter: at each step as far to the right as limit, walls and its own turns allow.

The material lies on the right. How fast the path must turn to the left, rad per mm, is the largest
of four demands:

- the contact's left end is to stay at the limit: it turns as it must, and what it is off is made
  good over `SETTLE` radii;
- the contact's right end is to stay at the right side, so that a strip between two open places is
  taken whole and not crossed;
- there must stay room to turn away to the left in a circle: its centre, a turning radius to the
  left, keeps that far from the walls; it may near them only as fast as it can settle there;
- never more to the right than in a circle of `RIGHT` times the cutter's radius.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum

import numpy as np
from numpy.typing import NDArray

from compiler.paths.constant_engagement.contact import HALF, Contact, Edges
from compiler.paths.constant_engagement.left import Left
from compiler.paths.constant_engagement.room import Room

Floats = NDArray[np.float64]
SETTLE = 0.35  # radii of path over which the contact comes to the limit
GATHER = 0.5  # radii of path over which its right end comes to the right side
SIDE = -HALF + math.radians(20)  # there the right end is wanted where it is free
TOUCH = math.radians(2)  # less is no contact
RIGHT = 0.8  # of the radius: the tightest turn to the right
BURIED = math.radians(120)  # more at one step, and no edge at the next, is no way out
STRIDE = 0.1  # of the radius: a step
SIGHT = 4.0  # radii: what is fetched round the cutter
SLOWING = 0.3  # turning radii of gap for each rad by which walls are neared
FAR = 9.0  # radii of path after which what was cut is taken away
TURNED = 5.0  # rad, the same: before the path meets itself
BLIND = 1.0  # turning radii of air after which there is nothing more to come, away from walls
ALONG = 4.0  # the same along a wall
BEFORE = 8.0  # the same before the first contact

Pose = tuple[float, float, float, float]  # place and unit heading


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
        r = self._radius
        x, y, hx, hy = pose
        step = min(STRIDE * r, 0.3 * turning.left)
        air = far = turned = 0.0
        met, engaged = False, 0.0
        centre = (math.inf, math.inf)
        rows: list[tuple[float, float, float, float, float]] = []
        unwalled = 0  # steps for which no wall can come near
        while far < FAR * r and turned < TURNED:
            if math.hypot(x - centre[0], y - centre[1]) > (SIGHT - 1.2) * r:
                centre = (x, y)
                near = SIGHT * r
                box = (x - near, y - near, x + near, y + near)
                edges = Edges(self._left.edges(box, self._hand), x, y, r)
            found = edges.contact(x, y, hx, hy, step)
            k = self._wanted(found) if found or engaged < BURIED else 1 / turning.left
            if far < turning.forced * turning.left:
                k = 1 / turning.left
            k = min(k, 1 / turning.left)
            held = -math.inf
            if unwalled > 0:
                unwalled -= 1
            else:
                ahead = (x + hx * step, y + hy * step, hx, hy)
                held, unwalled = self._held(ahead, turning.left, step)
            walled = held > k
            k = min(max(k, held), 1 / turning.left)
            engaged = found.engaged if found is not None else _unmet(engaged)
            rows.append((x, y, hx, hy, engaged))
            if engaged > TOUCH:
                air, met = 0.0, True
            else:
                air += step
                if air > (BEFORE if not met else ALONG if walled else BLIND) * turning.left:
                    return Stretch(np.array(rows), (x, y, hx, hy), Ended.AIR, step)
            x, y, hx, hy = _on(x, y, hx, hy, k, step)
            far += step
            turned += abs(k) * step
        return Stretch(np.array(rows), (x, y, hx, hy), Ended.PAUSE, step)

    def _wanted(self, found: Contact | None) -> float:
        """How fast to turn for the contact's sake; negative to the right."""
        r = self._radius
        k = -1 / (RIGHT * r)
        if found is None:
            return k
        over = found.engaged - self._limit
        if found.whole and over < 0:
            over = found.last + HALF - self._limit
        k = max(k, found.last_turn + over / (SETTLE * r))
        if -HALF + 0.1 < found.first < HALF - 0.1:
            k = max(k, found.first_turn + (found.first - SIDE) / (GATHER * r))
        return k

    def _held(self, pose: Pose, radius: float, step: float) -> tuple[float, int]:
        """The turn that the walls demand, seen from a step ahead; and for how many steps none.

        The circle in which the path could turn away to the left may near them at an angle in
        proportion to the gap that it still has.
        """
        x, y, hx, hy = pose
        ox, oy = x - radius * hy, y + radius * hx
        gap = self._room.at(ox * self._hand, oy) - radius
        spare = gap - 1.6 * SLOWING * radius
        if spare > 0:
            # the circle's middle goes fastest where the path turns to the right
            nearing = 1.42 * step * (1.3 + radius / (RIGHT * self._radius))
            return -math.inf, int(spare / nearing)
        ahead = self._room.at((ox + 2 * step * hx) * self._hand, oy + 2 * step * hy) - radius
        nearing = math.asin(min(max((gap - ahead) / (2 * step), -1.0), 1.0))
        wanted = max(gap / (SLOWING * radius), -0.3)
        return (nearing - wanted) / (1.5 * step), 0


def _unmet(before: float) -> float:
    """What a rim that no edge crosses engages: nothing, or all where it dived into the material."""
    return math.pi if before > BURIED else 0.0


def _on(x: float, y: float, hx: float, hy: float, k: float, step: float) -> Pose:
    """One step along an arc of curvature k."""
    a = k * step
    if abs(a) < 1e-9:
        return x + hx * step, y + hy * step, hx, hy
    s, c = math.sin(a), math.cos(a)
    nx, ny = hx * c - hy * s, hx * s + hy * c
    size = math.hypot(nx, ny)
    return x + (hx * s - hy * (1 - c)) / k, y + (hy * s + hx * (1 - c)) / k, nx / size, ny / size
