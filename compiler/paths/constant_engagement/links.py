"""Ways at depth from where a pass ended to where the next one begins."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Segment
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.field import Field
from compiler.paths.constant_engagement.left import Left
from compiler.paths.linking.joins import Way
from compiler.paths.linking.pose import Pose
from compiler.paths.linking.rounded import Trail, rounded, straight_on
from compiler.paths.task import Pace

Floats = NDArray[np.float64]
LINK = 12.0  # radii by which a link at depth may be longer than the straight way over a lift
BENDS = (1 / 2, 1 / 4, 1 / 10)  # radii of turns of links, of the cutter's
TIGHTEST = 1 / 28  # the same where a way goes round what stands
ASTRAY = 1.3  # times its ends' distance: a way straight on that is longer may be so for its bends
ACROSS = 0.4  # of a link's time, that a lift takes for the way across


class Links:
    """Links of a cutter among walls and what is left, to be told of each pass that is done."""

    def __init__(self, pace: Pace, safe: Grid, left: Left) -> None:
        self._pace, self._safe, self._left = pace, safe, left
        self._radius = left.radius
        self._bends = tuple(share * left.radius for share in BENDS)
        self._field = Field(safe, left)
        self._at: Pose | None = None
        self._trail: Trail | None = None  # the last pass

    def done(self, at: Pose, path: Sequence[Segment]) -> None:
        """A pass was cut along a path, and ended in a pose."""
        self._at, self._trail = at, Trail(at, path)

    def is_near(self, start: Pose, turn: float) -> bool:
        """Whether a pose is come to straight on, or back along the last pass."""
        at = self._at
        if at is None:
            return False
        longest = LINK * self._radius + math.hypot(start[0] - at[0], start[1] - at[1])
        if straight_on(at, start, self._bends[-1:], longest, self._free):
            return True
        return self._back(start, turn, longest) is not None

    def _back(self, start: Pose, turn: float, longest: float) -> Way | None:
        """A way back along the last pass."""
        if self._trail is None:
            return None
        ways = (
            self._trail.back(start, radius, longest, self._free)
            for radius in (0.5 * self._radius, turn)
        )
        return next((way for way in ways if way is not None), None)

    def way(self, start: Pose, turn: float) -> Way | None:
        """The way at depth to a pose: straight on, round all that stands, or back along the last
        pass; None where a lift is quicker.
        """
        at = self._at
        if at is None:
            return None
        here, there = np.array(at[:2]), np.array(start[:2])
        apart = math.dist(here, there)
        pace = self._pace
        longest = pace.lift * pace.link / 60 + ACROSS * apart
        straight = straight_on(at, start, self._bends, longest, self._free)
        if straight is not None:
            longest = sum(segment.length for segment in straight)
            if longest < ASTRAY * apart + self._bends[0]:
                return straight
        corners = self._field.way(here, there, longest, self._free)
        if corners is not None:
            radii = (*self._bends, TIGHTEST * self._radius)
            way = rounded(at, start, corners, radii, longest, self._free)
            if way is not None:
                return way
        return straight or self._back(start, turn, longest)

    def _free(self, path: Floats) -> bool:
        """Whether the cutter may go along a path (n x 2), and touches nothing there."""
        return self._safe.holds(path) and not self._left.touches(path)
