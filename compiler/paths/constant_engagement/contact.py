"""Where the rim of the walking cutter meets the edge of the material, and how that moves on.

The cutter's leading half runs from -90 degrees (at its right) to +90 (at its left) of the heading.
A point Q where the edge crosses the rim stays on the edge and on the rim as the centre goes on. So
with the unit vector u from the centre to Q, the edge's direction T and the heading h, per length of
path: Q goes (h.u)/(T.u) along the edge, and the direction of u turns by (n.T (h.u)/(T.u) - n.h)/r,
where n is u turned by 90 degrees. (Plane kinematics of the chord; no source but the derivation.)
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
HALF = math.pi / 2
PITCH = 0.15  # of the radius: the longest piece of edge, so that the rim crosses each but once
BEHIND = -0.2  # of the radius, ahead: an edge that begins farther back is not on the leading half
GRAZING = 0.05  # the least T.u that is reckoned with: a tangent edge moves on at once


@dataclass(frozen=True, slots=True)
class Contact:
    """The arc of the rim that is in material.

    Attributes:
        engaged: The angle of it all, rad.
        first: Where it begins, rad from the heading; -90 degrees where the right side is in it.
        first_turn: How fast that end turns, rad per mm of path.
        last: Where it ends, counter-clockwise.
        last_turn: How fast that end turns.
        whole: Whether it is one arc.
    """

    engaged: float
    first: float
    first_turn: float
    last: float
    last_turn: float
    whole: bool


class Edges:
    """The edges of the material round a place, to be asked for the contact from places near it."""

    def __init__(self, edges: Floats, x: float, y: float, radius: float) -> None:
        """`edges` are 4 x n, material on their left, none longer than a seventh of the radius."""
        self._x, self._y, self._radius = x, y, radius
        self._count = edges.shape[1]
        ax, ay, bx, by = edges[0] - x, edges[1] - y, edges[2] - x, edges[3] - y
        self._coordinates = (ax.tolist(), ay.tolist(), bx.tolist(), by.tolist())
        ends = np.array([np.concatenate([ax, bx]), np.concatenate([ay, by])])
        self._square: Floats = (ends * ends).sum(axis=0)
        self._twice: Floats = np.ascontiguousarray(2 * ends.T)
        self._free = 0.0  # mm of path that the rim is sure to meet nothing on

    def contact(self, x: float, y: float, hx: float, hy: float, step: float) -> Contact | None:
        """What the leading half of a cutter at (x, y), heading along (hx, hy), meets; None in air.

        To be asked at places a step, mm, apart from each other.
        """
        self._free -= step
        if self._free > 0 or not self._count:
            return None
        crossings = self._crossings(x - self._x, y - self._y, hx, hy)
        return _told(crossings) if crossings else None

    def _crossings(
        self, x: float, y: float, hx: float, hy: float
    ) -> list[tuple[float, bool, float]]:
        """Angle from the heading, whether the rim enters material there, its turn; by angle."""
        r, n = self._radius, self._count
        # of each end, the square of its distance from the centre, but for that of the centre itself
        square = self._square - self._twice @ (x, y)
        within = r * r - x * x - y * y
        outside = square > within
        crossed = (outside[:n] != outside[n:]).nonzero()[0].tolist()
        if not crossed:
            nearest = math.sqrt(max(float(square.min()) - within + r * r, 0.0))
            self._free = nearest - (1 + PITCH) * r
        found = []
        starts_x, starts_y, ends_x, ends_y = self._coordinates
        for i in crossed:
            px, py = starts_x[i] - x, starts_y[i] - y
            tx, ty = ends_x[i] - starts_x[i], ends_y[i] - starts_y[i]
            if px * hx + py * hy < BEHIND * r:
                continue
            length = math.sqrt(tx * tx + ty * ty)
            if length < 1e-9:
                continue
            tx, ty = tx / length, ty / length
            b = px * tx + py * ty
            root = math.sqrt(max(b * b - px * px - py * py + r * r, 0.0))
            # an edge with material on its left that leaves the disc: counter-clockwise, the rim
            # enters there
            enters = px * px + py * py <= r * r
            s = -b + root if enters else -b - root
            ux, uy = (px + s * tx) / r, (py + s * ty) / r
            ahead = ux * hx + uy * hy
            if ahead < -0.02:
                continue
            along = ux * tx + uy * ty
            if abs(along) < GRAZING:
                along = math.copysign(GRAZING, along)
            turn = ((ux * ty - uy * tx) * ahead / along - (ux * hy - uy * hx)) / r
            found.append((math.atan2(hx * uy - hy * ux, ahead), enters, turn))
        found.sort()
        return found


def _told(crossings: list[tuple[float, bool, float]]) -> Contact:
    engaged, first, last = 0.0, None, (-HALF, 0.0)
    since = -HALF if not crossings[0][1] else None  # the rim is in material since this angle
    if since is not None:
        first = (-HALF, 0.0)
    for angle, enters, turn in crossings:
        if enters:
            since = angle
            first = first or (angle, turn)
        elif since is not None:
            engaged += angle - since
            since, last = None, (angle, turn)
    if since is not None:
        engaged += HALF - since
        last = (HALF, 0.0)
    assert first is not None, "a rim that meets an edge is in material on one side of it"
    return Contact(engaged, *first, *last, len(crossings) <= 2)
