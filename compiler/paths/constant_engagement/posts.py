"""Thin posts that stand alone: a walking cutter hardly feels them, so it is led across them.

Where two passes leave something between them that is thinner than a contact of the rim that counts,
no walk turns towards it. It is so small that no direction engages more than it is long.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from compiler.paths.constant_engagement import rim
from compiler.paths.constant_engagement.left import Left
from compiler.paths.task import Area

Floats = NDArray[np.float64]
DIRECTIONS = 24  # that are tried
AIR = 0.1  # mm between the rim and the post before it, and by which it is gone over
PITCH = 0.06  # of the radius, between looks
LEAST = 8  # looks


def across(
    post: Floats, left: Left, radius: float, limit: float, free: Callable[[Floats], bool]
) -> Floats | None:
    """Rows x, y, hx, hy, engaged straight over a post (edge n x 2), which takes all of it.

    None where it is too large to be met at once, or no straight way is free. `free` tells whether
    the centre may go along a path, n x 2.
    """
    middle = (post.min(axis=0) + post.max(axis=0)) / 2
    reach = float(np.hypot(*(post - middle).T).max()) + AIR
    if 2 * reach > limit * radius:
        return None
    x0, y0 = (middle - 3 * radius).tolist()
    x1, y1 = (middle + 3 * radius).tolist()
    near: Area = left.tiles.within((x0, y0, x1, y1))
    for k in range(DIRECTIONS):
        turn = math.tau * k / DIRECTIONS
        way = np.array([math.cos(turn), math.sin(turn)])
        first, last = middle - (radius + reach) * way, middle - (radius - reach) * way
        ends = np.array([first, last])
        if left.touches(ends[:1]) or not free(ends):
            continue
        count = max(LEAST, math.ceil(2 * reach / (PITCH * radius)))
        places = first + np.linspace(0.0, 1.0, count + 1)[:, None] * (last - first)
        ways = np.tile(way, (count + 1, 1))
        engaged = rim.engaged(places, ways, near, radius)
        if engaged.max() <= limit:
            return np.column_stack([places, ways, engaged])
    return None
