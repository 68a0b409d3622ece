"""Links at depth back along the pass that was just cut: there it is free, whatever stands beside.

A pass goes round what is left, so the straight way back to where the next begins leads through it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Segment
from compiler.paths.course import places
from compiler.paths.linking.joins import Way, Ways
from compiler.paths.linking.pose import Pose

Floats = NDArray[np.float64]
TURN = 5.0  # radii of the pass within which the cutter turns round on to it
TRIED = 9  # places at which it may come on to the pass, and as many at which it may leave it
MOST_WAYS = 4  # between two poses
LONGER = 1.15  # times: by which a way may be longer for wider turns
CHORD = 0.05  # rad: arcs of links as chords

Free = Callable[[Floats], bool]


class Trail:
    """A pass that was just cut, to go back along from where it ended."""

    def __init__(self, at: Pose, done: Sequence[Segment]) -> None:
        self._at = at
        self._reverse = [segment.reversed() for segment in reversed(done)]
        # by the radius of turns: the way on to it, and where; that hangs on no next pass
        self._on: dict[float, tuple[Way, int] | None] = {}

    @cached_property
    def _marks(self) -> Floats:
        """How far back along the pass each piece begins, mm, and the end of the last."""
        lengths = [segment.length for segment in self._reverse]
        found: Floats = np.concatenate([[0.0], np.cumsum(lengths)])
        return found

    @cached_property
    def _places(self) -> Floats:
        """Where each piece begins, n x 2."""
        return np.array([segment.start for segment in self._reverse]).reshape(-1, 2)

    def back(self, start: Pose, radius: float, longest: float, free: Free) -> Way | None:
        """A way without corners from the pass's end to where the next one starts.

        `radius` is that of its turns, mm; it is no longer than `longest`, mm. `free` tells whether
        the cutter may go along a path (n x 2).
        """
        if radius not in self._on:
            near = np.flatnonzero(self._marks[:-1] < TURN * 2 * radius).tolist()
            self._on[radius] = self._turning(_some(near), radius, free)
        on = self._on[radius]
        if on is None:
            return None
        first, k = on
        rest = np.arange(k, len(self._reverse))
        further = self._marks[rest] - self._marks[k]
        length = further + np.hypot(*(self._places[rest] - start[:2]).T)
        best = _some(rest[length < longest].tolist())
        if not best:
            return None
        ways = Ways(
            [_begin(self._reverse[j]) for j in best], [start] * len(best), [radius] * len(best)
        )
        begun = sum(segment.length for segment in first)
        for number, whole in ways.shortest(2, self._marks[best] - self._marks[k]):
            if begun + whole > longest:
                return None
            if _is_free(ways, number, free):
                return (*first, *self._reverse[k : best[ways.pair(number)]], *ways.way(number))
        return None

    def _turning(self, near: list[int], radius: float, free: Free) -> tuple[Way, int] | None:
        """The shortest free way on to the pass, and the number of the piece where it comes on."""
        if not near:
            return None
        ways = Ways(
            [self._at] * len(near), [_begin(self._reverse[k]) for k in near], [radius] * len(near)
        )
        for number, _ in ways.shortest(2, self._marks[near]):
            if _is_free(ways, number, free):
                return ways.way(number), near[ways.pair(number)]
        return None


def straight_on(
    at: Pose, start: Pose, radii: Sequence[float], longest: float, free: Free
) -> Way | None:
    """A short free way from pose to pose that is no longer than `longest`, mm.

    Of the radii of its turns, the widest first, one is taken that makes it hardly longer than any
    other.
    """
    count = len(radii)
    ways = Ways([at] * count, [start] * count, radii)
    # of each radius the ways that may be free, the shortest last
    left: list[list[tuple[float, int]]] = [[] for _ in radii]
    for number, length in ways.shortest(MOST_WAYS):
        if length <= longest:
            left[ways.pair(number)].insert(0, (length, number))
    known = [False] * count  # whether the shortest is free

    def least(k: int) -> float:
        """No way of a radius is shorter."""
        return left[k][-1][0] if left[k] else math.inf

    def look(k: int) -> None:
        known[k] = _is_free(ways, left[k][-1][1], free)
        if not known[k]:
            left[k].pop()

    for k in range(count):
        while left[k] and not known[k]:
            look(k)
        while left[k]:
            shortest = min(range(count), key=least)
            if least(k) <= LONGER * least(shortest):
                return ways.way(left[k][-1][1])
            if known[shortest]:
                break
            look(shortest)
    return None


def rounded(
    at: Pose,
    start: Pose,
    corners: Floats,
    radii: Sequence[float],
    longest: float,
    free: Free,
) -> Way | None:
    """A way from pose to pose through corners (n x 2, with both ends), each of them rounded.

    A corner is passed midway between its legs' directions: the bend is on its outer side.
    """
    legs = np.diff(corners, axis=0)
    legs = legs / np.maximum(np.hypot(legs[:, 0], legs[:, 1]), 1e-9)[:, None]
    ahead = legs[:-1] + legs[1:]
    ahead = ahead / np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    inner = np.hstack([corners[1:-1], ahead]).tolist()
    found: list[Segment] = []
    left = longest
    for a, b in pairwise([at, *((x, y, hx, hy) for x, y, hx, hy in inner), start]):
        part = straight_on(a, b, radii, left, free)
        if part is None:
            return None
        found += part
        left -= _length(part)
    return tuple(found)


def _length(way: Way) -> float:
    return sum(segment.length for segment in way)


def _is_free(ways: Ways, number: int, free: Free) -> bool:
    return free(places(ways.table(number), CHORD, math.inf))


def _some(numbers: list[int]) -> list[int]:
    """A few of them, evenly."""
    return numbers[:: -(-len(numbers) // TRIED)] if numbers else []


def _begin(segment: Segment) -> Pose:
    way = segment.tangent(0.0)
    return (segment.start.x, segment.start.y, way.x, way.y)
