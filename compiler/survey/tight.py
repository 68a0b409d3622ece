"""Where a cutter is hemmed in: the smallest inside corner, the narrowest gap, at any height."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.drawing.model import Loop
from compiler.drawing.pick import circle_of
from compiler.geometry import Region, combine
from compiler.geometry.measure import (
    Gap,
    InsideCorner,
    TooManyWallsError,
    narrowest_gap,
    smallest_inside_corner,
)

Standing = tuple[Region, float | None]  # and the Z of its top; None: the stock's


MOST_PAIRS = 4_000_000
"""More pairs of walls that come near each other than are looked at: a few seconds' work."""


@dataclass(frozen=True, slots=True)
class Tight:
    """The smallest inside corner, the same but for full circles, which a drill or a bore makes, and
    the narrowest gap; None where there is none. `too_many` where the walls were too many to look
    across between them all."""

    corner: InsideCorner | None = None
    milled: InsideCorner | None = None
    channel: Gap | None = None
    too_many: bool = False


def tight_places(standing: Sequence[Standing]) -> Tight:
    """The smallest corner and gap between all that stands, looked at from every top downwards.

    A step inside a hole is narrower than the hole: so heights are looked at one by one.
    """
    corners, milled, gaps, too_many = [], [], [], False
    for level in sorted({_height(top) for _, top in standing}):
        there = combine.union(*(region for region, top in standing if _height(top) >= level))
        corner = smallest_inside_corner(there)
        corners += [corner] if corner is not None else []
        unround = tuple(o for o in there.outlines if circle_of(Loop(o, (), 1)) is None)
        corner = smallest_inside_corner(Region(unround))
        milled += [corner] if corner is not None else []
        try:
            gap = narrowest_gap(there, most_pairs=MOST_PAIRS)
        except TooManyWallsError:
            too_many = True
        else:
            gaps += [gap] if gap is not None else []
    channel = None if too_many else min(gaps, default=None)
    return Tight(min(corners, default=None), min(milled, default=None), channel, too_many)


def _height(top: float | None) -> float:
    return 0.0 if top is None else top
