"""Ways at depth from where one stroke ended to where the next begins, and at which feeds.

Straight where that is free, with arcs tangent to it on from the one stroke and into the other where
these take no longer; else round what stands, along lines and arcs that keep off it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import LineString

from compiler.geometry import Arc, Line, Point, Segment
from compiler.paths.linking.detour import detour
from compiler.paths.linking.joins import Ways
from compiler.paths.linking.onto import onto
from compiler.paths.linking.pose import Pose
from compiler.paths.linking.rounded import rounded
from compiler.paths.linking.taut import taut
from compiler.paths.pen import Feeds
from compiler.paths.progress import Progress
from compiler.paths.run import polyline
from compiler.paths.sets import FINE
from compiler.paths.task import Area
from compiler.paths.timing import seconds, way_seconds

Floats = NDArray[np.float64]
Way = tuple[Segment, ...]
Rated = list[tuple[Segment, float]]  # with the feed of each, mm/min
BENDS = (1 / 2, 1 / 4, 1 / 10)  # radii of turns, of the cutter's; the widest that hardly costs
NEAR = 0.5  # of the radius: so near a stroke's start a link runs at the cutting feed
EVEN = (0.4, 3.5)  # times that: where a piece ends so near to it, the feed changes there
ASIDE = 0.5  # mm off the straight way, and twice that along it to come there and back
LEAST_ASIDE = 10.0  # mm: a shorter way is not worth it
ROOM = 0.05  # mm of air all round that a link at more than the cutting feed must have
SMOOTH = 1.15  # times: a way without corners may take so much longer than one with
AT_ONCE = 0.1  # s: and so much, however short it is
WIDER = 1.03  # times: a way may take so much longer for wider turns
SURELY = 0.8  # of the time given: a way that takes less needs no other beside it
WORTH = 0.05  # s that other feeds on the way must save
SHORT = 1e-6  # mm


@dataclass(frozen=True, slots=True)
class Ground:
    """Where ways may lie, what still stands there, and what they are weighed by."""

    allowed: Area
    progress: Progress
    feeds: Feeds
    acceleration: float  # mm/s2

    def free(self, path: Floats) -> bool:
        """Whether the cutter may go along a path (n x 2), and touches nothing there."""
        line = LineString(path)
        return bool(self.allowed.covers(line)) and self.progress.is_free(line)

    def seconds(self, rated: Rated) -> float:
        """How long a way takes, from rest to rest."""
        return way_seconds([s for s, _ in rated], [f for _, f in rated], self.acceleration)


def ways(ground: Ground, before: Pose, after: Pose, within: float) -> list[Rated]:
    """The free ways from a pose to another that may be the quickest in `within` s, if any is."""
    at, target = Point(*before[:2]), Point(*after[:2])
    longest = within * ground.feeds.link / 60
    straight = at.distance(target) <= longest and ground.free(np.array([at, target]))
    way = None
    if straight or not _shut(ground, at, target):
        way = _turning(ground, before, after, longest)
    found = [] if way is None else [_rated(way, ground)]
    if straight and (way is None or not _as_soon_as(ground, found[0], at, target)):
        found.append(_rated((Line(at, target),), ground))
    far = at.distance(target) > LEAST_ASIDE
    slow = all(_slow(rated, ground.feeds) for rated in found)
    if found and slow and far:  # along what stands beside it, so at the cutting feed
        found += _aside(ground, before, after, longest)
    least = min((ground.seconds(rated) for rated in found), default=math.inf)
    if least > SURELY * within or (slow and far):
        found += _round(ground, before, after, min(least, within))
    return found


def _shut(ground: Ground, at: Point, target: Point) -> bool:
    """Whether so much stands in the straight way that none with turns at its ends passes it."""
    ahead = target.minus(at)
    if ahead.norm() < 4 * ground.progress.radius:
        return False
    middle = LineString([at.plus(ahead, 0.3), at.plus(ahead, 0.7)])
    return not ground.progress.is_free(middle, slack=ground.progress.radius / 2)


def _as_soon_as(ground: Ground, rated: Rated, at: Point, target: Point) -> bool:
    """Whether a way is hardly slower than straight on could be."""
    least = seconds(at.distance(target), ground.feeds.link, ground.acceleration)
    return not _corners(rated) and ground.seconds(rated) <= max(SMOOTH * least, least + AT_ONCE)


def quickest(found: Sequence[Rated], ground: Ground, within: float) -> Rated | None:
    """The quickest of ways within `within` s, or one without corners that is hardly slower."""
    taken = [(round(ground.seconds(rated), 6), rated) for rated in found]
    taken = [(t, rated) for t, rated in taken if t <= within]
    if not taken:
        return None
    least, soonest = min(taken, key=lambda one: one[0])
    most = max(SMOOTH * least, least + AT_ONCE)
    smooth = [(t, rated) for t, rated in taken if t <= most and not _corners(rated)]
    return min(smooth, key=lambda one: one[0])[1] if smooth else soonest


def _corners(rated: Rated) -> bool:
    """Whether a way is more than a straight line between two strokes, and has a corner."""
    return len(rated) == 1 or any(
        a.tangent(1.0).dot(b.tangent(0.0)) < 0.99 for (a, _), (b, _) in pairwise(rated)
    )


def _slow(rated: Rated, feeds: Feeds) -> bool:
    """Whether all of it runs at the cutting feed."""
    return all(feed == feeds.cut for _, feed in rated)


def _turning(ground: Ground, before: Pose, after: Pose, longest: float) -> Way | None:
    """A turn, straight on, and a turn: the soonest that is free, rather with wide turns."""
    radii = _bends(ground)
    ways = Ways([before] * len(radii), [after] * len(radii), radii)
    found = [
        (ways.pair(number), ways.way(number))
        for number, length in ways.shortest(4)
        if length <= longest
    ]
    return next(
        (way for way in _in_turn(ground, found) if ground.free(polyline(way, FINE))),
        None,
    )


def _in_turn(ground: Ground, ways: Sequence[tuple[int, Way]]) -> list[Way]:
    """Ways by the time that they take about; so much more is let pass for each wider radius."""
    speed, a = ground.feeds.link / 60, ground.acceleration

    def taken(one: tuple[int, Way]) -> float:
        narrower, way = one
        time = sum(
            segment.length / (min(speed, math.sqrt(a * segment.radius)))
            if isinstance(segment, Arc)
            else segment.length / speed
            for segment in way
        )
        return time * WIDER**narrower

    return [way for _, way in sorted(ways, key=taken)]


def _aside(ground: Ground, before: Pose, after: Pose, longest: float) -> list[Rated]:
    """Ways beside the straight one, off the row that stands along it: there it runs free."""
    at, target = Point(*before[:2]), Point(*after[:2])
    along = target.minus(at).unit()
    found: list[Rated] = []
    for side in (along.left().times(ASIDE), along.left().times(-ASIDE)):
        corners = [
            at,
            at.plus(along, 2 * ASIDE).plus(side),
            target.plus(along, -2 * ASIDE).plus(side),
            target,
        ]
        found += _through(ground, before, after, corners, longest)
    return found


def _through(
    ground: Ground, before: Pose, after: Pose, corners: Sequence[Point], longest: float
) -> list[Rated]:
    """A way through places, with the bends rounded if there is room for that."""
    way = rounded(before, after, np.array(corners), _bends(ground), longest, ground.free)
    if way is None or not _on_walls(ground, way):
        if not ground.free(np.array(corners)):
            return []
        way = tuple(Line(a, b) for a, b in pairwise(corners) if a.distance(b) > SHORT)
    return [_rated(way, ground)]


def _round(ground: Ground, before: Pose, after: Pose, within: float) -> list[Rated]:
    """Ways round what stands."""
    at, target = Point(*before[:2]), Point(*after[:2])
    speed = ground.feeds.link / 60
    # at the least it speeds up and slows down once
    longest = (within - speed / ground.acceleration) * speed
    found = detour(at, target, ground.progress, ground.allowed, longest)
    if found is None:
        return []
    corners, clear = found
    middle = taut(corners, clear)
    rated: list[Rated] = []
    for bends in (_bends(ground), ()):  # with turns at both ends; where these take long, without
        way = _ended(ground, before, after, middle, longest, bends)
        if way is not None:
            rated.append(_rated(way, ground))
            if ground.seconds(rated[-1]) <= SURELY * within:
                return rated
    return rated or _through(ground, before, after, [at, *corners, target], longest)


def _ended(
    ground: Ground,
    before: Pose,
    after: Pose,
    middle: Way | None,
    longest: float,
    bends: tuple[float, ...],
) -> Way | None:
    """A way along the middle one, come to from a pose and left for another; None if not free."""
    begun = None if middle is None else _begun(ground, before, middle, longest, bends)
    if begun is None:
        return None
    back = tuple(segment.reversed() for segment in reversed(begun))
    whole = _begun(ground, _turned(after), back, longest, bends)
    if whole is None:
        return None
    way = tuple(segment.reversed() for segment in reversed(whole))
    return way if _on_walls(ground, way) else None


def _begun(
    ground: Ground, pose: Pose, way: Way, longest: float, bends: tuple[float, ...]
) -> Way | None:
    """The way gone on to from a pose: the soonest that is free, rather with a wide turn.

    With a corner where there is room for no turn, as where the pose heads for a wall.
    """
    for radii in (bends, (0.0,)):
        found = [(k, one) for k, radius in enumerate(radii) for one in onto(pose, way, radius)]
        for begun in _in_turn(ground, found):
            if sum(segment.length for segment in begun) > longest:
                continue
            new = [segment for segment in begun if segment not in way]
            if ground.free(polyline(new)):
                return begun
    return None


def _turned(pose: Pose) -> Pose:
    x, y, hx, hy = pose
    return (x, y, -hx, -hy)


def _bends(ground: Ground) -> tuple[float, ...]:
    return tuple(share * ground.progress.radius for share in BENDS)


def _on_walls(ground: Ground, way: Way) -> bool:
    """Whether a way keeps within the exact walls."""
    return bool(ground.allowed.covers(LineString(polyline(way, FINE))))


def _rated(way: Way, ground: Ground) -> Rated:
    """A way with its feeds: quick in the clear, at the cutting feed along what stands near, and
    near both ends if something stands there or is about to be met.
    """
    feeds, near = ground.feeds, NEAR * ground.progress.radius
    slow = [(segment, feeds.cut) for segment in way]
    total = sum(segment.length for segment in way)
    if total < 1.5 * near:
        return slow
    marks = [0.0, *accumulate(segment.length for segment in way)]
    tail = total - _even([total - mark for mark in marks], near)
    head = 0.0 if _clear(_part(way, marks, 0.0, near), ground) else _even(marks, near)
    if tail - head < near / 4:
        return slow
    quick = _part(way, marks, head, tail)
    whole = _clear(quick, ground)
    found = [
        *((segment, feeds.cut) for segment in _part(way, marks, 0.0, head)),
        *((s, feeds.link if whole or _clear([s], ground) else feeds.cut) for s in quick),
        *((segment, feeds.cut) for segment in _part(way, marks, tail, total)),
    ]
    return found if ground.seconds(slow) - ground.seconds(found) > WORTH else slow


def _even(marks: Sequence[float], near: float) -> float:
    """About how near an end the feed changes: where a piece ends, if one does thereabouts."""
    low, high = EVEN
    good = [mark for mark in marks if low * near <= mark <= high * near]
    return min(good, key=lambda mark: (round(abs(mark - near), 9), mark), default=near)


def _part(way: Way, marks: Sequence[float], start: float, end: float) -> list[Segment]:
    """What of a way lies between two lengths along it."""
    found: list[Segment] = []
    for segment, (a, b) in zip(way, pairwise(marks), strict=True):
        low, high = max(a, start), min(b, end)
        if high - low <= SHORT:
            continue
        whole = low - a <= SHORT and b - high <= SHORT
        found.append(segment if whole else segment.part((low - a) / (b - a), (high - a) / (b - a)))
    return found


def _clear(way: Sequence[Segment], ground: Ground) -> bool:
    """Whether there is air all round."""
    return not way or ground.progress.is_free(LineString(polyline(way)), slack=-ROOM)
