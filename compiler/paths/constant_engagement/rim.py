"""How much of the cutter's rim is in material at places along a path: exact against polygons."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from compiler.paths.task import Area

Points = NDArray[np.float64]
CHUNK = 24  # places looked at together; neighbours share the few edges near them


def edges(material: Area) -> Points:
    """All edges of a polygon as rows x0 y0 x1 y1, the material on their left."""
    rows = []
    for polygon in shapely.get_parts(shapely.orient_polygons(material)):
        for ring in (polygon.exterior, *polygon.interiors):
            xy = shapely.get_coordinates(ring)
            rows.append(np.hstack([xy[:-1], xy[1:]]))
    return np.vstack(rows) if rows else np.empty((0, 4))


def engaged(places: Points, tangents: Points, material: Area, radius: float) -> Points:
    """Engaged angle, rad, at each place: the part of the leading half of the rim in material.

    `tangents` are unit directions of travel.
    """
    angle = np.zeros(len(places))
    walls = edges(material)
    if not len(walls):
        return angle
    low = np.minimum(walls[:, :2], walls[:, 2:])
    high = np.maximum(walls[:, :2], walls[:, 2:])
    for first in range(0, len(places), CHUNK):
        part = slice(first, first + CHUNK)
        here = places[part]
        near = (
            (low[:, 0] < here[:, 0].max() + radius)
            & (high[:, 0] > here[:, 0].min() - radius)
            & (low[:, 1] < here[:, 1].max() + radius)
            & (high[:, 1] > here[:, 1].min() - radius)
        )
        angle[part] = _leading(here, tangents[part], walls[near], radius)
    whole = np.isnan(angle)  # no edge crosses the leading half: all of it in, or none
    if whole.any():
        ahead = places[whole] + radius * tangents[whole]
        inside = shapely.contains_xy(material, ahead[:, 0], ahead[:, 1])
        angle[whole] = np.where(inside, np.pi, 0.0)
    return angle


def _leading(places: Points, tangents: Points, walls: Points, radius: float) -> Points:
    """Sum up, for each place, where the rim walked counter-clockwise leaves and enters material.

    NaN where no edge crosses the leading half.
    """
    d = walls[:, 2:] - walls[:, :2]
    a = (d * d).sum(axis=1)
    keep = a > 1e-18
    d, a, start = d[keep], a[keep], walls[keep, :2]
    fx = start[None, :, 0] - places[:, 0, None]
    fy = start[None, :, 1] - places[:, 1, None]
    b = fx * d[:, 0] + fy * d[:, 1]
    root = b * b - a * (fx * fx + fy * fy - radius * radius)
    crosses = root > 0
    root = np.sqrt(np.where(crosses, root, 0.0))
    angles, signs = [], []
    # the farther crossing of an edge with material on its left, walked along the edge, is where
    # the edge leaves the disc: there the rim, counter-clockwise, goes from right to left of it
    for sign, t in ((-1.0, (-b - root) / a), (1.0, (-b + root) / a)):
        hit = crosses & (t >= 0) & (t < 1)
        x, y = fx + t * d[:, 0], fy + t * d[:, 1]
        along = x * tangents[:, 0, None] + y * tangents[:, 1, None]
        left = tangents[:, 0, None] * y - tangents[:, 1, None] * x
        hit &= along > 0
        angles.append(np.where(hit, np.arctan2(left, along), 0.0))
        signs.append(np.where(hit, sign, 0.0))
    theta = np.concatenate(angles, axis=1)
    enters = np.concatenate(signs, axis=1)  # +1 enters, -1 leaves
    total = -(theta * enters).sum(axis=1)
    balance = enters.sum(axis=1)
    if not theta.shape[1]:
        return np.full(len(places), np.nan)
    first = np.argmin(np.where(enters != 0, theta, np.inf), axis=1)
    first_sign = enters[np.arange(len(places)), first]
    begins_in = np.where(first_sign < 0, 1.0, 0.0)
    total += (begins_in + balance) * (np.pi / 2) + begins_in * (np.pi / 2)
    return np.where(first_sign == 0, np.nan, np.clip(total, 0.0, np.pi))
