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


def contact(edges: Floats, x: float, y: float, hx: float, hy: float, r: float) -> Contact | None:
    """What the leading half of a cutter at (x, y), heading along (hx, hy), meets; None in air.

    `edges` are 4 x n, material on their left, none much longer than a seventh of the radius.
    """
    crossings = _crossings(edges, x, y, hx, hy, r)
    if not crossings:
        return None
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


def _crossings(
    edges: Floats, x: float, y: float, hx: float, hy: float, r: float
) -> list[tuple[float, bool, float]]:
    """Angle from the heading, whether the rim enters material there, its turn; by angle."""
    ax, ay, bx, by = edges[0] - x, edges[1] - y, edges[2] - x, edges[3] - y
    rr = r * r
    leaves = bx * bx + by * by > rr
    found = []
    for i in np.flatnonzero((ax * ax + ay * ay > rr) != leaves).tolist():
        px, py = float(ax[i]), float(ay[i])
        tx, ty = float(bx[i]) - px, float(by[i]) - py
        length = math.hypot(tx, ty)
        if length < 1e-9:
            continue
        tx, ty = tx / length, ty / length
        b = px * tx + py * ty
        root = math.sqrt(max(b * b - px * px - py * py + rr, 0.0))
        # an edge with material on its left that leaves the disc: counter-clockwise the rim enters
        enters = bool(leaves[i])
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
