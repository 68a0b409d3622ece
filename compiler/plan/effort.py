"""How much path a job asks for: more than can be planned and proven in minutes is refused early.

Planning and proving take time with the path's length in cutter diameters: a level of a wide plate
with a tiny cutter would keep the compiler, and the mill, busy for days. Mostly it is a slip: inches
for millimetres, a radial depth of a hundredth. Where it is meant, `effort` in the job raises the
bound.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Label
from compiler.geometry import Region
from compiler.job.model import Job, Pass, Units
from compiler.part.model import Part
from compiler.plan.model import Operation

MOST_DIAMETERS = 40_000  # of path in one operation at `effort: 1`; some minutes of planning
MOST = 1000  # times that, as `effort` allows
SWEEPING = ("face", "rough", "finish_floor")  # what goes over the whole area


def too_much_path(job: Job, part: Part, operations: Sequence[Operation]) -> list[Diagnostic]:
    """Operations whose path would be longer than the bound (E416)."""
    passes = {asked.name: asked for asked in job.passes}
    found = []
    for operation in operations:
        if operation.kind not in SWEEPING:
            continue
        path = _path_length(part, operation)
        bound = MOST_DIAMETERS * job.effort * job.tool(operation.tool).diameter
        if path > bound:
            found.append(_too_long(job, passes[operation.id], path, bound))
    return found


def _path_length(part: Part, operation: Operation) -> float:
    """About, mm: the area of each level over the radial depth."""
    standing = {each.name: each.region for each in part.standing}
    whole = _area(part.stock)
    area = 0.0
    for level in operation.levels:
        kept = sum(_area(standing[name]) for name in level.standing)
        over = sum(_area(standing[name]) for name in level.over)
        area += over if level.over else max(whole - kept, 0.0)
    return area / operation.radial_depth_mm


def _area(region: Region) -> float:
    return sum(outline.area for outline in region.outlines)


def _too_long(job: Job, asked: Pass, path: float, bound: float) -> Diagnostic:
    need = math.ceil(path / bound * job.effort)
    meant = f"; or, if so much is meant, write `effort: {need}` in the job" if need <= MOST else ""
    return Diagnostic(
        code="E416",
        message=f"`{asked.name}` would need about {_far(path, job.units)} of path; "
        f"at most {_far(bound, job.units)} is planned with `{asked.tool}`",
        primary=Label(asked.origin),
        help="check `units`, the stock's size and the radial depth; clear most with a larger "
        f"cutter and the rest with a `rest` pass{meant}",
        path="passes",
    )


def _far(distance: float, units: Units) -> str:
    """A long way, in metres or feet."""
    return f"{distance / 304.8:,.0f} ft" if units == "inch" else f"{distance / 1000:,.0f} m"
