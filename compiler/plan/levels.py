"""Which heights a pass cuts between: split at terrace tops, then evenly by axial depth.

A rough pass over a boss (top 0), a lug (top -2) and a floor at -10 with 4 mm axial depth:

    0 .. -2     sparing boss          down to the lug's top
    -2 .. -6    sparing boss, lug     two even levels to the floor
    -6 .. -10   sparing boss, lug
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise

from compiler.part.model import Part, Standing
from compiler.plan.model import Level, OperationList

SAME = 1e-6  # mm: heights nearer than this are one


def clearing(
    part: Part, *, top: float, floor: float, axial: float, floor_allowance: float
) -> tuple[Level, ...]:
    """Levels that clear everything between `top` and `floor` outside what stands."""
    rest = {s.name: s.top + _left_above(s, floor_allowance) for s in part.standing}
    bottom = floor + floor_allowance
    stops = sorted({z for z in rest.values() if bottom + SAME < z < top - SAME}, reverse=True)
    levels: list[Level] = []
    above = top
    for below in [*stops, bottom]:
        levels += [level(part, a, b, rest) for a, b in even(above, below, axial)]
        above = below
    return tuple(levels)


def floors(
    part: Part, *, top: float, floor: float, floor_left: float, allowance: float
) -> tuple[Level, ...]:
    """One finishing level for each terrace below `top` and for the floor, highest first."""
    rest = {s.name: s.top + _left_above(s, allowance) for s in part.standing}
    levels: list[Level] = []
    for z in part.tops():
        over = tuple(s.name for s in part.standing if abs(s.top - z) < SAME)
        end = max(rest[name] for name in over)
        if floor + SAME < z < top - SAME:
            start = max(z + floor_left, end)
            levels.append(level(part, min(top, start), end, rest, over))
    levels.append(
        level(part, min(top, floor + max(floor_left, allowance)), floor + allowance, rest)
    )
    return tuple(levels)


def walls(part: Part, *, top: float, floor: float, reach: float) -> tuple[Level, ...]:
    """Levels at whose bottoms the walls are run: above each terrace, then down to the floor.

    `reach` is the depth that the flutes cover; deeper walls take several levels.
    """
    rest = {s.name: s.top for s in part.standing}
    levels: list[Level] = []
    for z in part.tops():
        if not floor + SAME < z < top - SAME:
            continue
        over = tuple(s.name for s in part.standing if abs(s.top - z) < SAME)
        if any(s.top > z + SAME for s in part.standing):
            levels += [level(part, a, b, rest, over) for a, b in even(top, z, reach)]
    levels += [level(part, a, b, rest) for a, b in even(top, floor, reach)]
    return tuple(levels)


def deepest(plan: OperationList) -> float | None:
    """How far down a plan clears, mm; None where nothing in it clears an area or a wall."""
    clears = [each for each in plan.operations if each.kind not in ("drill", "break_edges")]
    return min((level.bottom_mm for each in clears for level in each.levels), default=None)


def level(
    part: Part, top: float, bottom: float, rest: Mapping[str, float], over: tuple[str, ...] = ()
) -> Level:
    """One level, naming what stands above its bottom. `rest`: height to leave by region."""
    standing = tuple(s.name for s in part.standing if rest[s.name] > bottom + SAME)
    return Level(top_mm=_neat(top), bottom_mm=_neat(bottom), standing=standing, over=over)


def even(top: float, bottom: float, axial: float) -> list[tuple[float, float]]:
    """The drop from `top` to `bottom` in the fewest equal parts of at most `axial`."""
    count = max(1, math.ceil((top - bottom) / axial - 1e-6))
    heights = [top + (bottom - top) * k / count for k in range(count)] + [bottom]
    return list(pairwise(heights))


def _left_above(region: Standing, allowance: float) -> float:
    return region.floor_allowance if region.floor_allowance is not None else allowance


def _neat(z: float) -> float:
    """Without the dust of binary fractions: no control reads a millionth of a millimetre."""
    return round(z, 6) + 0.0
