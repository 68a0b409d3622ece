"""Cutters for a first job: a large one to clear with, a smaller one where the large cannot go."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.survey.holes import HELIX
from compiler.survey.model import CutterRow, Survey
from compiler.survey.proposal import WALL
from compiler.units.number import MM_PER_INCH, Units

LARGEST = 20.0  # mm: a first job takes no larger end mill for clearing
MOST_OF_PART = 0.5  # of the part's shorter side

MOST_SLENDER = 4.0  # diameters of flute (common practice, no source)
BEYOND = 2.0  # mm of flute above the deepest cut

SIZES: dict[Units, tuple[float, ...]] = {
    "mm": (16.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.0),
    "inch": (0.625, 0.5, 0.375, 0.25, 0.1875, 0.125, 0.0625),
}


def plain_sizes(units: Units, depth: float = 0.0) -> tuple[CutterRow, ...]:
    """End mills of common sizes, for a shop without a crib or with none that reaches down.

    Two and a half diameters of flute; those that would have to be more than MOST_SLENDER diameters
    long to reach `depth` mm are no cutters.
    """
    factor = MM_PER_INCH if units == "inch" else 1.0
    rows = []
    for size in SIZES[units]:
        diameter = size * factor
        flutes = max(2.5 * diameter, min(depth + BEYOND, MOST_SLENDER * diameter))
        rows.append(CutterRow(f"{size:g}", diameter, flutes, flutes + diameter, True, True))
    return tuple(rows)


def pairs(
    survey: Survey, cutters: Sequence[CutterRow], depth: float, units: Units
) -> list[tuple[CutterRow, CutterRow | None]]:
    """Pairs worth trying, best first: clearing cutter, and the one for the rest or None.

    Args:
        survey: What is to be cut; its corner and channel limit the smaller cutter.
        cutters: All there are.
        depth: How deep is cut, mm; a cutter that does not reach that far is left in the crib.
        units: Of the job.
    """
    assert survey.box is not None
    x0, y0, x1, y1 = survey.box
    most = min(LARGEST, MOST_OF_PART * min(x1 - x0, y1 - y0))
    by_size = sorted(cutters, key=lambda c: -c.diameter)
    deep = [c for c in by_size if c.reach >= depth] or by_size[:1]
    large = next((c for c in deep if c.diameter <= most), deep[-1])
    smaller = [c for c in deep if c.diameter < large.diameter]
    fine = [c for c in deep if _fits(c, survey, units) and c.diameter <= large.diameter]
    best = fine[0] if fine else deep[-1]
    if best.diameter >= large.diameter:
        return [(large, None), *((c, None) for c in smaller)]
    # the one that fits first; where the whole then falls short, others, larger ones first
    others = [c for c in smaller if c is not best]
    alone: list[tuple[CutterRow, CutterRow | None]] = [(best, None)]
    return [(large, best), *((c, best) for c in others if c.diameter > best.diameter), *alone]


def _fits(cutter: CutterRow, survey: Survey, units: Units) -> bool:
    """Whether a cutter passes everywhere with the walls' allowance, and fills round corners."""
    if (
        survey.tight.channel is not None
        and cutter.diameter >= survey.tight.channel.width - 2 * WALL[units]
    ):
        return False
    corner = survey.tight.corner
    if corner is not None and corner != survey.tight.milled:  # a round opening, gone down in
        room = HELIX * 2 * (corner.radius - WALL[units])
        return cutter.diameter <= room
    return corner is None or corner.radius == 0.0 or cutter.diameter / 2 <= corner.radius
