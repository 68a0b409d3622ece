"""Where along a stroke the cutter is heavily engaged, and the feed lowered there.

The engaged angle is measured on the rim's leading half: the share of its points that lie in
material still there. Beyond half immersion (90 degrees) the operation's slot feed applies; below
that, what the cutter bears there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from compiler.geometry import Segment
from compiler.motion import Role
from compiler.paths.progress import Progress
from compiler.paths.run import directions, places
from compiler.paths.stroke import Piece
from compiler.paths.task import Task

RIM = 24  # points on the leading half
HEAVY = math.radians(95)  # half immersion, and what the rim's points resolve
PITCH = 0.4  # of the radius, between looks
COARSE = 0.2  # steps of the feed below the full one
LEAST = 0.5  # of the radius: shorter stretches at one feed join their neighbours


def eased(pieces: Iterable[Piece], progress: Progress, task: Task) -> tuple[Piece, ...]:
    """The pieces, split and slowed where they are heavily engaged; the progress cuts along.

    Heavily is over half immersion, or over the limit where the operation promises one.
    """
    given, looks = list(pieces), list[NDArray[np.float64]]()
    for piece in given:
        looks.append(_borne_along(piece, progress, task))
        progress.cut([piece.segment])
    found: list[Piece] = []
    for piece, factors in zip(given, _spread(given, looks, progress.radius), strict=True):
        found += _parted(piece, factors, progress.radius)
    return tuple(found)


def engaged_angles(
    segment: Segment, at: NDArray[np.float64], progress: Progress
) -> NDArray[np.float64]:
    """Engaged angle, rad, at fractions along the segment, in what the progress has left."""
    centres, ahead = places(segment, at), directions(segment, at)
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
    inside = progress.loaded(rim.reshape(-1, 2)).reshape(len(at), RIM)
    angles: NDArray[np.float64] = inside.sum(axis=1) * (math.pi / RIM)
    return angles


def _borne_along(piece: Piece, progress: Progress, task: Task) -> NDArray[np.float64]:
    """Part of the feed that is borne at even places along a piece, and at its end.

    An inner corner's spike comes in the last hundredths before the turn. A link bears all.
    """
    if piece.role is Role.LINK:
        return np.ones(1)
    count = max(1, math.ceil(piece.segment.length / (PITCH * progress.radius)))
    at = np.append((np.arange(count) + 0.5) / count, 1.0)
    factors = _factors(engaged_angles(piece.segment, at, progress), task)
    return np.append(factors[:-2], factors[-2:].min())


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
