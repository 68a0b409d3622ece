"""Engaged angle of an emitted path, measured without any polygon of the planner's.

The area cleared so far is the union of discs of the tool's radius on the densely sampled path.
Seen from the tool's present place, an earlier place at distance d covers the arc of the rim of half
angle acos(d / 2r) about the direction towards it. What stays uncovered of the leading half, inside
the stock, is the engaged angle. Plane geometry, derived; exact but for the spacing of the samples.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

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
    cleared: Sequence[tuple[float, float]] = (),
    spacing: float = 0.1,
    rim: int = 720,
) -> Measured:
    """Engaged angle along the strokes in their order; `stock` is the material at the start.

    The rim is looked at in `rim` places. A helix (way BORE) is taken as cutting nothing itself:
    it comes down there by steps that are not seen in the plane.
    """
    places, headings, lengths, factors, owner = samples(strokes, spacing)
    n = len(places)
    half = rim // 2
    theta = (np.arange(half) + 0.5) / half * math.pi - math.pi / 2
    cos, sin = np.cos(theta), np.sin(theta)
    cell = 2 * radius
    grid: dict[tuple[int, int], list[int]] = {}
    shapely.prepare(stock)
    angle = np.zeros(n)
    boring = np.array([stroke.way.value == "bore" for stroke in strokes])
    keep_gap = spacing * 0.9
    for i in range(n):
        x, y = places[i]
        u, v = headings[i]
        ci, cj = math.floor(x / cell), math.floor(y / cell)
        near: list[int] = []
        for a in (-1, 0, 1):
            for b in (-1, 0, 1):
                near += grid.get((ci + a, cj + b), ())
        rx, ry = x + radius * (cos * u - sin * v), y + radius * (cos * v + sin * u)
        if not boring[owner[i]]:
            old = places[near]
            if len(old):
                d2 = (old[:, 0] - x) ** 2 + (old[:, 1] - y) ** 2
                old = old[d2 < 4 * radius * radius]
            free = np.ones(half, dtype=bool)
            if len(old):
                d = np.hypot(old[:, 0] - x, old[:, 1] - y)
                towards = np.arctan2(
                    u * (old[:, 1] - y) - v * (old[:, 0] - x),
                    u * (old[:, 0] - x) + v * (old[:, 1] - y),
                )
                reach = np.arccos(np.minimum(d / (2 * radius), 1.0))
                free = _uncovered(towards - reach, towards + reach, theta)
            if free.any():
                inside = shapely.contains_xy(stock, rx[free], ry[free])
                angle[i] = inside.sum() * math.pi / half
        # a place that stands within a hair of a neighbour in the same cell adds nothing
        grid.setdefault((ci, cj), []).append(i)
    del keep_gap, cleared
    return Measured(places, angle, lengths, factors, owner)


def _uncovered(low: Floats, high: Floats, theta: Floats) -> NDArray[np.bool_]:
    """Which of the rim's places no arc low..high covers (arcs at most half a turn wide)."""
    step = theta[1] - theta[0]
    count = len(theta)
    cover = np.zeros(count + 1)
    for turn in (-2 * math.pi, 0.0, 2 * math.pi):
        first = np.ceil((low + turn - theta[0]) / step).clip(0, count).astype(int)
        last = (np.floor((high + turn - theta[0]) / step) + 1).clip(0, count).astype(int)
        wide = last > first
        np.add.at(cover, first[wide], 1)
        np.add.at(cover, last[wide], -1)
    free: NDArray[np.bool_] = np.cumsum(cover[:-1]) == 0
    return free
