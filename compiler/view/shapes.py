"""Stock, regions, obstacles and tools as the page draws them: plain numbers, millimetres."""

import itertools
from typing import Any

import numpy as np

from compiler.geometry import Region
from compiler.geometry.polygon import ring
from compiler.job import Tool
from compiler.part.model import Part
from compiler.pictures.part_view import scene
from compiler.simulate import Grid
from compiler.simulate.profile import profile_of
from compiler.simulate.raster import inside

CHORD = 0.02  # mm: how far a drawn outline may stray from its arc
AIR, STOCK, FIRST_REGION = 0, 1, 2

Loop = list[float]


def loops(region: Region) -> list[Loop]:
    """Each outline as x, y, x, y ... in hundredths of a millimetre, rounded."""
    return [
        [round(c, 2) + 0.0 for point in ring(outline, CHORD) for c in point]
        for outline in region.outlines
    ]


def labels(part: Part, grid: Grid) -> list[int]:
    """What each cell of the grid belongs to, as value, count, value, count ..., row by row.

    0 is air, 1 stock that may go, 2 the first region that stands, 3 the next, and so on; where
    regions lie over each other the higher one counts.
    """
    found = np.where(inside(part.stock, grid), STOCK, AIR).astype(np.int32)
    rising = sorted(enumerate(part.visible), key=lambda entry: entry[1].top)
    for index, region in rising:
        found[inside(region.region, grid) & (found != AIR)] = FIRST_REGION + index
    flat = found.ravel()
    starts = np.concatenate(([0], np.flatnonzero(np.diff(flat)) + 1))
    counts = np.diff(np.concatenate((starts, [flat.size])))
    return [int(v) for pair in zip(flat[starts], counts, strict=True) for v in pair]


def slabs(region: Region) -> list[list[float]]:
    """The region as trapezoids between levels: y0, x left, x right, y1, x left, x right."""
    rings = [ring(outline, CHORD) for outline in region.outlines]
    edges = [(a, b) for r in rings for a, b in zip(r, (*r[1:], r[0]), strict=True) if a.y != b.y]
    levels = sorted({round(p.y, 6) for r in rings for p in r})
    found: list[list[float]] = []
    for low, high in itertools.pairwise(levels):
        middle = (low + high) / 2
        crossing = sorted(
            (
                tuple(a.x + (b.x - a.x) * (y - a.y) / (b.y - a.y) for y in (middle, low, high))
                for a, b in edges
                if min(a.y, b.y) < middle < max(a.y, b.y)
            ),
        )
        found += [
            [round(v, 3) for v in (low, left[1], right[1], high, left[2], right[2])]
            for left, right in zip(crossing[::2], crossing[1::2], strict=True)
        ]
    return found


def part_shapes(part: Part) -> dict[str, Any]:
    """Stock, what stands, and where no tool may be, cut to what a drawing shows."""
    view = scene(part)
    shown = {name: region for name, _, region in view.standing}
    return {
        "stock": {
            "top": part.stock_top,
            "bottom": part.stock_bottom,
            "loops": loops(part.stock),
        },
        "standing": [
            {"name": s.name, "top": s.top, "loops": loops(shown[s.name]) if s.name in shown else []}
            for s in part.visible
        ],
        "obstacles": [
            {"name": name, "top": top, "loops": loops(region), "slabs": slabs(region)}
            for name, top, region in view.obstacles
        ],
        "reach": [round(v, 3) for v in view.reach],
        "clearance": part.clearance,
    }


def tool_shape(tool: Tool) -> dict[str, Any]:
    """A tool's end, flutes, shank and holder; the end as in the removal simulation."""
    profile = profile_of(tool)
    holder = tool.holder
    return {
        "number": tool.number,
        "name": tool.name,
        "kind": tool.kind,
        "flutes": tool.flutes,
        "material": tool.material,
        "radius": profile.radius,
        "flat": profile.flat,
        "corner": profile.corner,
        "slope": profile.slope,
        "fluteLength": tool.flute_length,
        "stickout": tool.stickout,
        "shank": tool.shank_diameter / 2,
        "holder": None if holder is None else [holder.diameter / 2, holder.length],
    }
