"""Engaged angles against exact coverage of the rim by discs on the densely sampled path.

An earlier place at distance d covers the arc of the rim of half angle acos(d / 2r) about the
direction towards it; what stays of the leading half, inside the stock, is engaged (plane geometry,
derived). No raster, no field: a second method, exact but for the spacing of its discs.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from stock import block, cut, cutter, line, turn

from compiler.read import Motion
from compiler.simulate import Cut

RADIUS = 5.0
SPACING = 0.02  # mm: a cusp of 1e-5 mm between discs


def dense(motions: list[Motion]) -> np.ndarray:
    rows = []
    for m in motions:
        count = max(1, math.ceil(m.plan_length / SPACING))
        t = np.linspace(0, 1, count + 1)[1:]
        if m.centre is None:
            x = m.start.x + t * (m.end.x - m.start.x)
            y = m.start.y + t * (m.end.y - m.start.y)
            heading = np.full(count, math.atan2(m.end.y - m.start.y, m.end.x - m.start.x))
        else:
            first = math.atan2(m.start.y - m.centre.y, m.start.x - m.centre.x)
            angle = first + t * m.sweep
            x, y = m.centre.x + m.radius * np.cos(angle), m.centre.y + m.radius * np.sin(angle)
            heading = angle + math.copysign(math.pi / 2, m.sweep)
        rows.append(np.stack([x, y, heading], axis=1))
    return np.concatenate(rows)


def covered(places: np.ndarray, k: int, box: tuple[float, float, float, float]) -> float:
    """Engaged angle at place k, rad, on a rim of a tenth of a degree."""
    x, y, heading = places[k]
    rim = heading + np.radians(np.arange(-90, 90, 0.1) + 0.05)
    px, py = x + RADIUS * np.cos(rim), y + RADIUS * np.sin(rim)
    free = (px > box[0]) & (px < box[2]) & (py > box[1]) & (py < box[3])
    earlier = places[:k, :2]
    near = earlier[np.hypot(earlier[:, 0] - x, earlier[:, 1] - y) < 2 * RADIUS]
    at = np.flatnonzero(free)
    for start in range(0, len(near), 4000):
        part = near[start : start + 4000]
        d2 = (px[at, None] - part[:, 0]) ** 2 + (py[at, None] - part[:, 1]) ** 2
        at = at[~(d2 < (RADIUS - 1e-4) ** 2).any(axis=1)]
    return math.radians(0.1) * at.size


def compare(motions: list[Motion], box: tuple[float, float, float, float]) -> np.ndarray:
    """Degrees by which the simulation reads more than the discs, at its samples."""
    found: Cut = cut(motions, cutter(2 * RADIUS), stock=block(*box), pitch=0.2)
    places = dense(motions)
    s = found.samples
    off = []
    for k in range(7, s.x.size, max(1, s.x.size // 25)):
        at = int(np.argmin(np.hypot(places[:, 0] - s.x[k], places[:, 1] - s.y[k])))
        off.append(math.degrees(s.angle[k] - covered(places, at, box)))
    return np.array(off)


def spiral() -> list[Motion]:
    """Half circles inwards from air, the step of each growing."""
    x, y = 58.0, 20.0
    motions, side, radius = [], 1, 36.0
    for k in range(12):
        radius -= 0.8 + 0.08 * k
        end = x - side * 2 * radius
        centre = ((x + end) / 2, y)
        motions.append(turn((x, y, -2), (end, y, -2), centre, ccw=True))
        x, side = end, -side
    return motions


def loops(rho: float) -> list[Motion]:
    """A trochoid-like way into a block: half circles forward, half circles back, 1 mm on a loop."""
    motions = []
    x = -9.0
    for _ in range(14):
        top, low = (x, 20 + rho, -2.0), (x + 1, 20 - rho, -2.0)
        centre = (x + 0.5, 20.0)
        motions.append(turn(low_before(x, rho), top, (x, 20.0), ccw=False))
        motions.append(turn(top, low, centre, ccw=False))
        x += 1.0
    return motions


def low_before(x: float, rho: float) -> tuple[float, float, float]:
    return (x, 20 - rho, -2.0)


def rows() -> list[Motion]:
    """To and fro with square turns: corners, links, material on either side."""
    motions, y, here = [], 1.0, (-8.0, 1.0, -2.0)
    for k in range(6):
        there = (48.0 if k % 2 == 0 else -8.0, y, -2.0)
        motions.append(line(here, there))
        y += 3.3
        here = (there[0], y, -2.0)
        motions.append(line(there, here))
    return motions


@pytest.mark.parametrize(
    "motions",
    [spiral(), rows(), loops(8.0), loops(3.0)],
    ids=["spiral", "rows", "wide loops", "tight loops"],
)
def test_against_disc_coverage(motions: list[Motion]) -> None:
    off = compare(motions, (0.0, 0.0, 40.0, 40.0))
    assert off.size > 15
    assert np.median(np.abs(off)) < 0.25
    assert np.abs(off).max() < 1.25
