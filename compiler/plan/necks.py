"""Necks and corners of the floor that the smallest cutter does not reach: told before the proof.

Only of the deepest level; the evidence looks at every height, on the program that is written.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Job
from compiler.part.model import Part
from compiler.plan.choice import CLEARING
from compiler.plan.model import Operation
from compiler.plan.room import CHORD, Area, standing, to_clear
from compiler.units.figures import area
from compiler.units.number import counted, in_units, length, short

LEAST = 0.1  # mm2: what is smaller is left to the evidence
_LISTED = 5
_WEIGHED = 20  # of the largest the cutter that comes in is worked out
_THREAD = 5 * CHORD  # thinner places are the chords' doing


def necks(job: Job, part: Part, operations: Sequence[Operation]) -> list[Diagnostic]:
    """One warning for all places that no clearing or finishing cutter comes into.

    Of a part in several setups nothing is said here: another setup may have been there.
    """
    if job.setup is not None:
        return []
    cutting = [op for op in operations if op.kind in (*CLEARING, "finish_walls") and op.levels]
    deepest = min(cutting, key=lambda op: op.levels[-1].bottom_mm)
    level = deepest.levels[-1]
    down_there = [op for op in cutting if op.levels[-1].bottom_mm <= level.bottom_mm + 0.5]
    smallest = min(down_there, key=lambda op: job.tool(op.tool).radius)
    radius = job.tool(smallest.tool).radius
    kept = shapely.union_all(
        [to_polygon(each.region, CHORD, "nearest") for each in standing(part, level.standing)]
    )
    blocked = shapely.union_all(
        [to_polygon(o.region, CHORD, "nearest") for o in part.obstacles if o.top > level.bottom_mm]
    )
    free = to_clear(part, level, 0.0)
    rest = free.difference(_reached(free, shapely.union(kept, blocked), radius))
    places = sorted(
        (
            piece
            for piece in shapely.get_parts(rest.buffer(-_THREAD).buffer(_THREAD))
            if piece.area >= LEAST
        ),
        key=lambda piece: (-piece.area, piece.bounds),
    )
    # what stays for an obstacle has its own warning (W315)
    places = [piece for piece in places if not piece.intersects(blocked.buffer(2 * radius))]
    if not places:
        return []
    faced = [op.levels[-1].bottom_mm for op in operations if op.kind == "face" and op.levels]
    high = min([part.stock_top, *faced]) - level.bottom_mm
    walls = [op for op in cutting if op.kind == "finish_walls"]
    asked = next(each for each in job.passes if each.name == (walls or cutting)[-1].id)
    tool = job.tool(smallest.tool)
    reaching = [_reaching(piece, kept, radius) for piece in places[:_WEIGHED]]
    fitting = [each for each in reaching if each is not None]
    return [
        Diagnostic(
            code="W451",
            severity=Severity.WARNING,
            message=f"{counted(len(places), 'place stays', 'places stay')} uncut, "
            f"{'up to ' if len(places) > 1 else ''}{length(high, job.units)} high: `{tool.name}` "
            f"({length(tool.diameter, job.units)}) is the smallest cutter there and does not reach",
            primary=Label(asked.spans.get("tool", asked.origin), "still there after this pass"),
            secondary=(Label(tool.origin, "the tool"),),
            help=(
                f"add a `rest` pass with a cutter of {length(min(fitting), job.units)} diameter "
                "or less, and finish the walls with it; or leave it so, if it may stand"
                if fitting
                else "round the corners where the part may have a radius, or leave it so"
            ),
            notes=(
                *(
                    _said(job, piece, reach)
                    for piece, reach in zip(places[:_LISTED], reaching, strict=False)
                ),
                *((f"and {len(places) - _LISTED} more",) if len(places) > _LISTED else ()),
            ),
            data=(("places", float(len(places))), ("high_mm", round(high, 3))),
        )
    ]


def _reached(free: Area, kept: BaseGeometry, radius: float) -> BaseGeometry:
    """What a disc clears that keeps its rim off what stands; beyond the stock's edge there is
    air.
    """
    around = free.buffer(2 * radius)
    return around.difference(kept.buffer(radius)).buffer(radius)


def _reaching(piece: Area, kept: BaseGeometry, below: float) -> float | None:
    """Diameter of the largest cutter that clears a place whole, mm; None: none of 0.5 mm does."""
    near = kept.intersection(piece.buffer(3 * below))
    rim = shapely.points(shapely.get_coordinates(piece))

    def clears(radius: float) -> bool:
        centres = piece.buffer(2 * radius).difference(near.buffer(radius))
        return not centres.is_empty and bool(
            shapely.dwithin(centres, rim, radius + 3 * CHORD).all()
        )

    low, high = 0.25, below
    if not clears(low):
        return None
    for _ in range(7):
        middle = (low + high) / 2
        low, high = (middle, high) if clears(middle) else (low, middle)
    return round(2 * low, 2)


def _said(job: Job, piece: Area, reaching: float | None) -> str:
    at = piece.representative_point()
    x, y = (short(in_units(value, job.units), 3) for value in (at.x, at.y))
    said = f"at X{x} Y{y}: {area(piece.area, job.units)}"
    if reaching is None:
        return f"{said}; a sharp corner, or too narrow for any cutter"
    return (
        f"{said}; a cutter of {length(reaching, job.units)} diameter reaches it (radius "
        f"{length(reaching / 2, job.units)})"
    )
