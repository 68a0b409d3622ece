"""Holes: straight down at each place, in one go or by pecks.

`to` is where the hole has its full width; the point goes below that by the height of its cone. A
spot ends with its tip at `to`. Feed begins, and pecks are counted, at the approach above what is
there; the moves are those of the canned cycles G81 to G83 (NISTIR 6556 sec. 3.5.16), so that a
control which has them makes the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from compiler.geometry import Point
from compiler.job.model import DrillCycle, Tool
from compiler.motion import Hole, Role
from compiler.paths.pen import Pen

# mm: back to break the chip, and left above the last depth when coming down again; 0.010 in
BREAK = 0.254
NEAT = {"inch": 25.4e-4, "mm": 1e-3}  # mm: a tip's depth is a whole number of these


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilling:
    """One drilling operation. Heights mm, feed mm/min, dwell s.

    Attributes:
        holes: Each with the height where feed begins.
        bottom: Z of the tip in every hole.
        clearance: Z of rapids across.
    """

    cycle: DrillCycle
    holes: Sequence[tuple[Point, float]]
    bottom: float
    clearance: float
    feed: float
    peck: float | None
    dwell: float


def tip_depth(floor: float, tool: Tool, cycle: DrillCycle, units: str) -> float:
    """Z of the tip for a hole to `floor`, mm: lower by r / tan(half the point angle), no spot."""
    cone = tool.radius / math.tan(tool.tip_angle / 2) if tool.tip_angle > 0 else 0.0
    tip = floor if cycle == "spot" else floor - cone
    return math.floor(tip / NEAT[units] + 1e-6) * NEAT[units]


def drill(pen: Pen, asked: Drilling) -> tuple[Hole, ...]:
    """Draw the holes, the nearest next one first; what a cycle would say of each, in that order."""
    left = list(asked.holes)
    found: list[Hole] = []
    at: Point | None = None
    while left:
        i = min(range(len(left)), key=lambda k: 0.0 if at is None else left[k][0].distance(at))
        at, retract = left.pop(i)
        pen.retract(asked.clearance)
        pen.over(at, asked.clearance)
        pen.rise(retract)
        _one(pen, asked, retract)
        hole = Hole(
            at=at,
            retract=retract,
            bottom=asked.bottom,
            feed=asked.feed,
            peck=asked.peck or 0.0,
            dwell=asked.dwell,
        )
        found.append(hole)
    pen.retract(asked.clearance)
    return tuple(found)


def _one(pen: Pen, asked: Drilling, retract: float) -> None:
    """One hole from where feed begins, down."""
    peck = asked.peck if asked.peck is not None else retract - asked.bottom
    count = max(1, math.ceil((retract - asked.bottom) / peck - 1e-9))
    for k in range(1, count):
        z = retract - k * peck
        pen.sink(z, asked.feed, Role.CUT)
        if asked.cycle == "peck":
            pen.rise(retract)
            pen.drop(min(retract, z + BREAK))
        else:
            pen.rise(z + BREAK)
    pen.sink(asked.bottom, asked.feed, Role.CUT, asked.dwell)
