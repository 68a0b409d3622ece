"""Where the cutter comes down for a stroke: in air, well off what stands there, or near by."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import LineString

from compiler.geometry import Point
from compiler.paths.progress import Progress
from compiler.paths.setting import Setting

_DIRECTIONS = tuple((math.cos(k * math.pi / 8), math.sin(k * math.pi / 8)) for k in range(16))
BESIDE = 3.0  # times the radius: how far from a stroke's start the cutter may come down instead
BACK = (1.0, 1.5, 2.5)  # times the margin: how far off a place in air the cutter comes down
BEHIND = tuple(math.radians(k) for k in (180, 150, 210, 120, 240, 90, 270))  # from the way ahead


def clear_of(place: Point, ahead: Point, setting: Setting, progress: Progress) -> Point:
    """Where to come down for a place in air: as far from material as feed begins above it.

    Behind the place on the way `ahead` if that will do, else to a side of it; half as far where
    there is no more room, and at the place itself where there is none. No blank lies to the
    hundredth where it is drawn.
    """
    heading = ahead.angle()
    for margin in (setting.margin, setting.margin / 2):
        if progress.is_free(shapely.Point(place), slack=-margin):
            return place
        for back in BACK:
            for turn in BEHIND:
                way = Point(math.cos(heading + turn), math.sin(heading + turn))
                off = place.plus(way, back * margin)
                line = LineString([off, place])
                if (
                    setting.allowed.covers(line)
                    and progress.is_free(shapely.Point(off), slack=-margin)
                    and progress.is_free(line, slack=0.0)
                ):
                    return off
    return place


def beside(start: Point, setting: Setting, progress: Progress) -> Point | None:
    """A place in air near by from which the way to the start is allowed; the nearest found.

    Looked for close round the start, which may touch what it is to cut by a hair, then where the
    cutter has been.
    """
    for place in (*_round(start, progress.radius), *_been_near(start, progress)):
        if setting.allowed.covers(LineString([place, start])) and progress.is_free_at(place):
            return place
    return None


def _round(start: Point, radius: float) -> list[Point]:
    """Places on circles about the start, the smallest first."""
    return [
        Point(start.x + part * radius * c, start.y + part * radius * s)
        for part in (0.02, 0.08, 0.25, 0.6)
        for c, s in _DIRECTIONS
    ]


def _been_near(start: Point, progress: Progress) -> list[Point]:
    """Where the centre has been, the nearest first."""
    been = progress.visited_near(start, BESIDE * progress.radius)
    lengths = np.hypot(been[:, 0] - start.x, been[:, 1] - start.y)
    near = [i for i in np.argsort(lengths, kind="stable")[:40] if lengths[i] > 1e-6]
    return [Point(float(been[i, 0]), float(been[i, 1])) for i in near]
