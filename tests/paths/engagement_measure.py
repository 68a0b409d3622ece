"""Engaged angle of an emitted path, measured without any polygon of the planner's.

The area cleared so far is the union of discs of the tool's radius on the densely sampled path.
Seen from the tool's present place, an earlier place at distance d covers the arc of the rim of half
angle acos(d / 2r) about the direction towards it. What stays uncovered of the leading half, inside
the stock, is the engaged angle. Plane geometry, derived; exact but for the spacing of the samples.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from compiler.paths.stroke import Stroke

Floats = NDArray[np.float64]
CUTTING = math.radians(5)  # less is rubbing on what chords leave: 0.02 mm for a radius of 6 mm


@dataclass(frozen=True)
class Measured:
    """Places along the path, engaged angle at each (rad), its length and feed factor."""

    places: Floats
    angle: Floats
    length: Floats
    feed_factor: Floats
    stroke: NDArray[np.int64]

    def cutting_length(self) -> float:
        return float(self.length[self.angle > CUTTING].sum())

    def over(self, limit: float, slack: float = math.radians(0.5)) -> float:
        """Share of cutting length over a limit (rad)."""
        return float(self.length[self.angle > limit + slack].sum()) / self.cutting_length()

    def quantile(self, share: float) -> float:
        """The angle that `share` of the cutting length stays within, rad."""
        cutting = self.angle > CUTTING
        order = np.argsort(self.angle[cutting])
        run = np.cumsum(self.length[cutting][order])
        return float(self.angle[cutting][order][np.searchsorted(run, share * run[-1])])


def samples(
    strokes: Sequence[Stroke], spacing: float
) -> tuple[Floats, Floats, Floats, Floats, NDArray[np.int64]]:
    """Places, directions, lengths, feed factors and stroke numbers along all strokes."""
    places, headings, lengths, factors, owner = [], [], [], [], []
    for number, stroke in enumerate(strokes):
        for piece in stroke.pieces:
            segment = piece.segment
            count = max(1, math.ceil(segment.length / spacing))
            for k in range(count):
                t = (k + 0.5) / count
                places.append(segment.at(t))
                headings.append(segment.tangent(t))
                lengths.append(segment.length / count)
                factors.append(piece.feed_factor)
                owner.append(number)
    return (
        np.array(places),
        np.array(headings),
        np.array(lengths),
        np.array(factors),
        np.array(owner),
    )


def measure(
    strokes: Sequence[Stroke],
    *,
    radius: float,
    stock: shapely.Geometry,
    spacing: float = 0.1,
    rim: int = 720,
) -> Measured:
    """Engaged angle along the strokes in their order; `stock` is the material at the start.

    The rim is looked at in `rim` places. A helix (way BORE) is taken as cutting nothing itself:
    it comes down there by steps that are not seen in the plane.
    """
    places, headings, lengths, factors, owner = samples(strokes, spacing)
    half = rim // 2
    theta = (np.arange(half) + 0.5) / half * math.pi - math.pi / 2
    cos, sin = np.cos(theta), np.sin(theta)
    boring = np.array([stroke.way.value == "bore" for stroke in strokes])
    tree = cKDTree(places)
    shapely.prepare(stock)
    angle = np.zeros(len(places))
    for i, ((x, y), (u, v)) in enumerate(zip(places, headings, strict=True)):
        if boring[owner[i]]:
            continue
        near = tree.query_ball_point((x, y), 2 * radius, return_sorted=True)
        old = places[near[: bisect_left(near, i)]] - (x, y)
        towards = np.arctan2(old @ (-v, u), old @ (u, v))
        reach = np.arccos(np.minimum(np.hypot(*old.T) / (2 * radius), 1.0))
        free = _uncovered(towards - reach, towards + reach, theta)
        rx, ry = x + radius * (cos * u - sin * v)[free], y + radius * (cos * v + sin * u)[free]
        angle[i] = shapely.contains_xy(stock, rx, ry).sum() * math.pi / half
    return Measured(places, angle, lengths, factors, owner)


def _uncovered(low: Floats, high: Floats, theta: Floats) -> NDArray[np.bool_]:
    """Which of the rim's places no arc low..high covers (arcs at most half a turn wide)."""
    step, count = theta[1] - theta[0], len(theta)
    turns = np.array([[-math.tau], [0.0], [math.tau]])
    first = np.ceil((low + turns - theta[0]) / step).clip(0, count).astype(int)
    last = (np.floor((high + turns - theta[0]) / step) + 1).clip(0, count).astype(int)
    wide = last > first
    begun = np.bincount(first[wide], minlength=count + 1)
    ended = np.bincount(last[wide], minlength=count + 1)
    free: NDArray[np.bool_] = np.cumsum(begun - ended)[:-1] == 0
    return free
