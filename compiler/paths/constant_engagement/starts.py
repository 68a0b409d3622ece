"""Where a pass may begin: in the air beside a wall, or beside an edge that has no wall."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from compiler.paths.constant_engagement.left import Left
from compiler.paths.constant_engagement.walls import Walls
from compiler.paths.linking.pose import Pose

Floats = NDArray[np.float64]
ASIDE = 0.02  # mm of air between the rim and the edge that a pass begins beside
LOOKS = 40  # places along an edge that are tried


@dataclass(frozen=True, slots=True)
class Front:
    """Where a front meets a wall, and its unit direction away from there."""

    x: float
    y: float
    dx: float
    dy: float

    def seen_by(self, hand: int) -> Front:
        """As it is, or in the mirror (hand -1)."""
        return Front(self.x * hand, self.y, self.dx * hand, self.dy)


class Starts:
    """Poses from which a pass may begin, in one hand (-1: in the mirror, x negated)."""

    def __init__(self, walls: Walls, left: Left, hand: int) -> None:
        self._walls, self._left, self._hand = walls, left, hand

    def along_wall(self, front: Front, leads: tuple[float, ...]) -> Pose | None:
        """A pose at the wall (on the right) before the place where a front begins there.

        The first lead, mm, after which nothing is touched is taken.
        """
        hand = self._hand
        for x, y, hx, hy in self._walls.before(front.x, front.y, leads, hand):
            if (hx, hy) != (0.0, 0.0) and not self._touches(x * hand, y):
                return (x * hand, y, hx * hand, hy)
        return None

    def beside(self, edge: Floats, near: Floats) -> Pose | None:
        """A pose beside an edge without walls (n x 2, material on its left), nearest to a place."""
        xy = edge if self._hand > 0 else edge[::-1] * (-1.0, 1.0)
        middles = (xy[:-1] + xy[1:]) / 2
        order = np.argsort(np.hypot(*(middles - near * (self._hand, 1.0)).T), kind="stable")
        for i in order[:: max(1, len(order) // LOOKS)].tolist():
            way = xy[i] - xy[i + 1]
            way = way / max(math.hypot(*way), 1e-12)
            off = self._left.radius + ASIDE
            x, y = (middles[i] + off * np.array([-way[1], way[0]])).tolist()
            inside = self._walls.grid.inside(np.array([[x * self._hand, y]]))[0]
            if inside and not self._touches(x, y):
                return (x, y, float(way[0]), float(way[1]))
        return None

    def _touches(self, x: float, y: float) -> bool:
        return self._left.touches(np.array([[x * self._hand, y]]))
