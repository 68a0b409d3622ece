"""Rows of a walk that run along next to a wall, moved on to it; and which way a run of places goes.

The walk knows the walls from a grid, a little off what they are.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from compiler.compiled import compiled

Floats = NDArray[np.float64]
Flags = NDArray[np.bool_]
AT_WALL = 0.03  # mm: a row so near a wall is set on it
BY_WALL = 0.2  # mm: nearer, it is drawn towards it
ALONG = 0.06  # slope against the wall up to which a run goes along it
ABREAST = 3  # rows before and after, from which a direction along a wall is taken
ON_WALL = 0.02  # of the way to where it was: a row moved nearer is on the wall


@compiled
def set_on_walls(rows: Floats, nearest: Floats) -> Floats:
    """The rows x, y, hx, hy, engaged, those that run along next to a wall moved on to it.

    `nearest` has for each the nearest place on a wall, and how far that is, mm, negative for a row
    beyond the wall.
    """
    n = len(rows)
    shares = np.empty(n)
    shares[:] = 1.0
    marks = marked(rows)
    any_near = False
    for i in range(n):
        room = nearest[i, 2]
        if room < BY_WALL:
            any_near = True
            share = min(max((room - AT_WALL) / (BY_WALL - AT_WALL), 0.0), 1.0)
            # what runs at an angle to the wall is on its way on to it or off it
            slope = abs(_slope(nearest, marks, i))
            share = max(share, min(max((slope - ALONG) / ALONG, 0.0), 1.0))
            if room < 0:
                share = 0.0
            shares[i] = share * share * (3 - 2 * share)
    if not any_near:
        return rows
    found = rows.copy()
    on_wall = np.empty(n, np.bool_)
    on_wall[:] = False
    for i in range(n):
        if nearest[i, 2] < BY_WALL:
            for k in range(2):
                found[i, k] = nearest[i, k] + shares[i] * (rows[i, k] - nearest[i, k])
            on_wall[i] = shares[i] < ON_WALL
    if n > 1:
        _turn(found, rows)
        _turn_along(found, on_wall)
        cx, cy = found[1, 0] - found[0, 0], found[1, 1] - found[0, 1]
        far = math.hypot(cx, cy)
        if on_wall[0] and far > 1e-9:  # as the circle through the first two has it
            cx, cy = cx / far, cy / far
            along = 2 * (cx * found[1, 2] + cy * found[1, 3])
            found[0, 2], found[0, 3] = along * cx - found[1, 2], along * cy - found[1, 3]
    return found


@compiled
def _slope(nearest: Floats, marks: Floats, i: int) -> float:
    """How fast the room grows along the run, by a parabola through three rows."""
    n = len(marks)
    if n == 1:
        return 0.0
    if i == 0 or i == n - 1:
        k = min(i, n - 2)
        ended: float = (nearest[k + 1, 2] - nearest[k, 2]) / (marks[k + 1] - marks[k])
        return ended
    before, after = marks[i] - marks[i - 1], marks[i + 1] - marks[i]
    found: float = (
        -after / (before * (before + after)) * nearest[i - 1, 2]
        + (after - before) / (before * after) * nearest[i, 2]
        + before / (after * (before + after)) * nearest[i + 1, 2]
    )
    return found


@compiled
def _turn(rows: Floats, before: Floats) -> None:
    """The rows' headings turned as much as moving the rows from `before` turned the run."""
    was, now = directions(before), directions(rows)
    for i in range(len(rows)):
        cross = was[i, 0] * now[i, 1] - was[i, 1] * now[i, 0]
        dot = was[i, 0] * now[i, 0] + was[i, 1] * now[i, 1]
        hx, hy = rows[i, 2] * dot - rows[i, 3] * cross, rows[i, 2] * cross + rows[i, 3] * dot
        size = math.hypot(hx, hy)
        if size >= 1e-6:
            rows[i, 2], rows[i, 3] = hx / size, hy / size


@compiled
def _turn_along(rows: Floats, on_wall: Flags) -> None:
    """Headings of rows on a wall of chords, each from as many places round it as lie on it too.

    The straight line through them by least squares: on a circle, too, it has the right direction.
    """
    n = len(rows)
    marks = marked(rows)
    first = 0  # of the rows on the wall that this one is among
    last = -1
    for i in range(n):
        if not on_wall[i]:
            continue
        if i > last:
            first, last = i, i
            while last + 1 < n and on_wall[last + 1]:
                last += 1
        reach = min(max(min(i - first, last - i), 1), ABREAST)
        low, high = max(i - reach, 0), min(i + reach, n - 1) + 1
        m = x = y = mx = my = 0.0
        for k in range(low, high):
            mark = marks[k] - marks[low]
            m, x, y = m + mark, x + rows[k, 0] - rows[low, 0], y + rows[k, 1] - rows[low, 1]
            mx += mark * (rows[k, 0] - rows[low, 0])
            my += mark * (rows[k, 1] - rows[low, 1])
        hx, hy = mx - m * x / (high - low), my - m * y / (high - low)
        size = max(math.hypot(hx, hy), 1e-12)
        rows[i, 2], rows[i, 3] = hx / size, hy / size


@compiled
def directions(places: Floats) -> Floats:
    """Unit directions at places along a run: of the circle through each and its neighbours."""
    n = len(places)
    found = np.empty((n, 2))
    found[:] = 0.0
    ux = uy = long = 0.0
    for i in range(n):
        vx = vy = far = 0.0
        if i + 1 < n:
            vx, vy = places[i + 1, 0] - places[i, 0], places[i + 1, 1] - places[i, 1]
            far = max(math.hypot(vx, vy), 1e-9)
            vx, vy = vx / far, vy / far
        if i == 0:
            x, y = vx, vy
        elif i + 1 == n:
            x, y = ux, uy
        else:
            x, y = ux * far + vx * long, uy * far + vy * long
        size = max(math.hypot(x, y), 1e-9)
        found[i, 0], found[i, 1] = x / size, y / size
        ux, uy, long = vx, vy, far
    return found


@compiled
def marked(rows: Floats) -> Floats:
    """Length of the run up to each row, mm; none is at the same place as the one before."""
    marks = np.empty(len(rows))
    marks[:] = 0.0
    for i in range(1, len(rows)):
        step = math.hypot(rows[i, 0] - rows[i - 1, 0], rows[i, 1] - rows[i - 1, 1])
        marks[i] = marks[i - 1] + max(step, 1e-6)
    return marks
