"""Where along a stroke the cutter is heavily engaged, and the feed lowered there.

The engaged angle is measured on the rim's leading half: the share of its points that lie in
material still there. Beyond half immersion (90 degrees) the operation's slot feed applies; below
that, what the cutter bears there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
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
    found: list[Piece] = []
    for piece in pieces:
        if piece.role is Role.LINK:
            found.append(piece)
        else:
            found += _eased_piece(piece, progress, task)
        progress.cut([piece.segment])
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


def _eased_piece(piece: Piece, progress: Progress, task: Task) -> list[Piece]:
    segment = piece.segment
    count = max(1, math.ceil(segment.length / (PITCH * progress.radius)))
    at = (np.arange(count) + 0.5) / count
    factors = np.minimum(_factors(engaged_angles(segment, at, progress), task), piece.feed_factor)
    if (factors == piece.feed_factor).all():
        return [piece]
    if segment.length < 2 * LEAST * progress.radius:
        return [replace(piece, feed_factor=float(factors.min()))]
    # one look's length of slow feed before and after: the load comes on between looks
    slow = factors.copy()
    slow[1:] = np.minimum(slow[1:], factors[:-1])
    slow[:-1] = np.minimum(slow[:-1], factors[1:])
    edges = [0, *(np.flatnonzero(np.diff(slow)) + 1).tolist(), count]
    return [
        Piece(segment.part(a / count, b / count), piece.role, float(slow[a]))
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
