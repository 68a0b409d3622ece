"""Where along a stroke the cutter is heavily engaged, and the feed lowered there.

The engaged angle is measured on the rim's leading half: the share of its points that lie in
material still there. Beyond half immersion (90 degrees) the operation's slot feed applies; below
that, what the cutter bears there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Arc, Segment
from compiler.motion import Role
from compiler.paths.progress import Progress
from compiler.paths.run import directions, places
from compiler.paths.stroke import Piece
from compiler.paths.task import Task

RIM = 24  # points on the leading half
HEAVY = math.radians(95)  # half immersion, and what the rim's points resolve
PITCH = 0.4  # of the radius, between looks
COARSE = 0.2  # steps of the feed below the full one
ONWARD = math.cos(math.radians(1))  # of the turn between pieces that go on without a corner
TURNING = math.radians(120)  # in which no way comes back to where it was
LEAST = 0.5  # of the radius: shorter stretches at one feed join their neighbours


def eased(pieces: Iterable[Piece], progress: Progress, task: Task) -> tuple[Piece, ...]:
    """The pieces, split and slowed where they are heavily engaged; the progress cuts along.

    Heavily is over half immersion, or over the limit where the operation promises one.
    """
    given, looks = list(pieces), list[NDArray[np.float64]]()
    for first, last in _smooth(given, progress.radius):
        group = given[first:last]
        looks += _borne_along(group, progress, task)
        progress.cut(piece.segment for piece in group)
    found: list[Piece] = []
    for piece, factors in zip(given, _spread(given, looks, progress.radius), strict=True):
        found += _parted(piece, factors, progress.radius)
    return tuple(found)


def _smooth(pieces: Sequence[Piece], radius: float) -> Iterator[tuple[int, int]]:
    """From where to where pieces follow each other smoothly: these can be looked at together.

    Going on without a corner, by arcs no narrower than the cutter and through no more than
    `TURNING` in all, its leading half meets nothing that it took on the way (plane geometry).
    """
    first, turned = 0, 0.0
    for k, piece in enumerate(pieces):
        segment = piece.segment
        bend = abs(segment.sweep) if isinstance(segment, Arc) else 0.0
        narrow = isinstance(segment, Arc) and segment.radius < radius
        if k > first:
            before = pieces[k - 1].segment.tangent(1.0)
            corner = before.dot(segment.tangent(0.0)) < ONWARD
            if corner or narrow or math.isinf(turned) or turned + bend > TURNING:
                yield first, k
                first, turned = k, 0.0
        turned += math.inf if narrow else bend
    if pieces:
        yield first, len(pieces)


def engaged_angles(
    segment: Segment, at: NDArray[np.float64], progress: Progress
) -> NDArray[np.float64]:
    """Engaged angle, rad, at fractions along the segment, in what the progress has left."""
    return _engaged(places(segment, at), directions(segment, at), progress)


def _engaged(
    centres: NDArray[np.float64], ahead: NDArray[np.float64], progress: Progress
) -> NDArray[np.float64]:
    """The same at centres (n x 2), by the direction of travel there (n), rad."""
    turn = (np.arange(RIM) + 0.5) / RIM * math.pi - math.pi / 2
    angle = ahead[:, None] + turn[None, :]
    # a hair inside the rim: the material just left standing at the wall does not count
    reach = 0.995 * progress.radius
    rim = np.stack(
        [
            centres[:, 0, None] + reach * np.cos(angle),
            centres[:, 1, None] + reach * np.sin(angle),
        ],
        axis=-1,
    )
    inside = progress.loaded(rim.reshape(-1, 2)).reshape(len(centres), RIM)
    angles: NDArray[np.float64] = inside.sum(axis=1) * (math.pi / RIM)
    return angles


def _borne_along(
    pieces: Sequence[Piece], progress: Progress, task: Task
) -> list[NDArray[np.float64]]:
    """Part of the feed that is borne at even places along each piece, and at its end.

    An inner corner's spike comes in the last hundredths before the turn. A link bears all.
    """
    spots: list[NDArray[np.float64]] = []
    for piece in pieces:
        count = max(1, math.ceil(piece.segment.length / (PITCH * progress.radius)))
        at = np.append((np.arange(count) + 0.5) / count, 1.0)
        spots.append(at[:0] if piece.role is Role.LINK else at)
    angles = np.empty(0)
    if any(len(at) for at in spots):
        pairs = [(p.segment, at) for p, at in zip(pieces, spots, strict=True) if len(at)]
        centres = np.concatenate([places(segment, at) for segment, at in pairs])
        ahead = np.concatenate([directions(segment, at) for segment, at in pairs])
        angles = _engaged(centres, ahead, progress)
    factors = np.split(_factors(angles, task), np.cumsum([len(at) for at in spots])[:-1])
    return [
        np.append(found[:-2], found[-2:].min()) if len(found) else np.ones(1) for found in factors
    ]


def _spread(
    pieces: Sequence[Piece], looks: Sequence[NDArray[np.float64]], radius: float
) -> list[NDArray[np.float64]]:
    """The least factor near each look along the pieces: the load comes on between looks.

    From one piece over to the next as well, for a corner is where a slot often begins.
    """
    if not pieces:
        return []
    counts = [len(factors) for factors in looks]
    lengths = np.array([piece.segment.length for piece in pieces])
    pitch = np.repeat(lengths / counts, counts)
    run = np.cumsum(pitch)
    whole = np.concatenate(looks)
    slow = whole.copy()
    reach = PITCH * radius
    for k in np.flatnonzero(whole < 1.0):
        # a look's length before its own stretch, and after
        first = int(np.searchsorted(run, run[k] - pitch[k] - reach, side="right"))
        last = int(np.searchsorted(run - pitch, run[k] + reach))
        slow[first:last] = np.minimum(slow[first:last], whole[k])
    return np.split(slow, np.cumsum(counts)[:-1])


def _parted(piece: Piece, factors: NDArray[np.float64], radius: float) -> list[Piece]:
    """A piece in stretches of one feed each."""
    if piece.role is Role.LINK:
        return [piece]
    slow = np.minimum(factors, piece.feed_factor)
    if (slow == piece.feed_factor).all():
        return [piece]
    if piece.segment.length < 2 * LEAST * radius:
        return [replace(piece, feed_factor=float(slow.min()))]
    edges = [0, *(np.flatnonzero(np.diff(slow)) + 1).tolist(), len(slow)]
    return [
        Piece(piece.segment.part(a / len(slow), b / len(slow)), piece.role, float(slow[a]))
        for a, b in pairwise(edges)
    ]


def _factors(angles: NDArray[np.float64], task: Task) -> NDArray[np.float64]:
    """Part of the feed at each engaged angle, in few steps: a feed word for each look is noise."""
    heavy = HEAVY if task.engagement is None else min(HEAVY, task.engagement)
    factors = np.ones(len(angles))
    if task.borne:
        steps = np.linspace(0.0, math.pi, len(task.borne))
        borne = np.interp(angles, steps, task.borne)
        factors = np.where(borne < 1.0, np.floor(borne / COARSE) * COARSE, 1.0)
    factors[angles > heavy] = task.slot_factor
    found: NDArray[np.float64] = np.maximum(factors, task.slot_factor)
    return found
