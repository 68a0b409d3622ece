"""Where a cutter is hemmed in: the smallest inside corner, the narrowest gap, at any height."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.geometry import Region, combine
from compiler.geometry.measure import Gap, InsideCorner, narrowest_gap, smallest_inside_corner

Standing = tuple[Region, float | None]  # and the Z of its top; None: the stock's


def tight_places(standing: Sequence[Standing]) -> tuple[InsideCorner | None, Gap | None]:
    """The smallest corner and gap between all that stands, looked at from every top downwards.

    A step inside a hole is narrower than the hole: so heights are looked at one by one.
    """
    corners, gaps = [], []
    for level in sorted({_height(top) for _, top in standing}):
        there = combine.union(*(region for region, top in standing if _height(top) >= level))
        corner, gap = smallest_inside_corner(there), narrowest_gap(there)
        corners += [corner] if corner is not None else []
        gaps += [gap] if gap is not None else []
    return min(corners, default=None), min(gaps, default=None)


def _height(top: float | None) -> float:
    return 0.0 if top is None else top
