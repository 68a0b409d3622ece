"""Places that stay uncut, as a warning at the pass that would have had to clear them.

The part is not as drawn there, though no obligation is broken: no cutter of the job reaches them,
or an obstacle keeps it off.
"""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job.model import Job
from compiler.judge.left import CLEARING
from compiler.judge.model import Leftover
from compiler.plan.model import OperationList
from compiler.units.figures import area
from compiler.units.number import counted, in_units, length, short

CODE = "W518"
SPECK = 0.5  # mm2
_LISTED = 8  # places that are told one by one; the report has all


def worth_telling(left: Sequence[Leftover]) -> list[Leftover]:
    """Without the fillets that come with a cutter's corner, and specks that no cutter reaches."""
    return [
        place
        for place in left
        if not place.fillet_radius_mm
        and (place.reaching_diameter_mm or place.obstacle or place.area_mm2 >= SPECK)
    ]


def uncut(job: Job, plan: OperationList, left: Sequence[Leftover]) -> tuple[Diagnostic, ...]:
    """One warning for all places together, the largest first."""
    places = worth_telling(left)
    clearing = [operation for operation in plan.operations if operation.kind in CLEARING]
    if not places or not clearing:
        return ()
    walls = [operation for operation in clearing if operation.kind == "finish_walls"]
    owes = (walls or clearing)[-1]
    asked = next((each for each in job.passes if each.name == owes.id), job.passes[-1])
    deepest = max(place.depth_mm for place in places)
    barred = [place.obstacle for place in places if place.obstacle]
    why = "that no cutter of the job reaches"
    if len(barred) == len(places):
        why = "where obstacles keep the cutter off"
    elif barred:
        why += f" ({len(barred)} of them for obstacles)"
    several = len(places) > 1
    most = "up to " if several else ""
    more = len(places) - _LISTED
    return (
        Diagnostic(
            code=CODE,
            severity=Severity.WARNING,
            message=f"{counted(len(places), 'place stays', 'places stay')} uncut {why}, "
            f"{most}{length(deepest, job.units)} high",
            primary=Label(asked.spans.get("tool", asked.origin), "still there after this pass"),
            help=_remedy(job, places),
            notes=(
                *(_said(job, place) for place in places[:_LISTED]),
                *((f"and {more} more, in the report",) if more > 0 else ()),
            ),
            data=(
                ("places", float(len(places))),
                ("at_obstacles", float(len(barred))),
                ("deepest_mm", deepest),
                ("area_mm2", round(sum(place.area_mm2 for place in places), 3)),
            ),
        ),
    )


def _said(job: Job, place: Leftover) -> str:
    """One place: where, how much, how high, and the cutter that comes in."""
    units = job.units
    x, y = (short(in_units(value, units), 3) for value in (place.x_mm, place.y_mm))
    said = f"at X{x} Y{y}: {area(place.area_mm2, units)}, {length(place.depth_mm, units)} high"
    if place.obstacle:
        return f"{said}; obstacle `{place.obstacle}` is in the way"
    if place.reaching_diameter_mm is None:
        return f"{said}; a sharp corner, or too narrow for any cutter"
    return (
        f"{said}; a cutter of {length(place.reaching_diameter_mm, units)} diameter reaches it "
        f"(radius {length(place.reaching_diameter_mm / 2, units)})"
    )


def _remedy(job: Job, places: Sequence[Leftover]) -> str:
    """What would clear them: a smaller cutter, a clamp put elsewhere, or rounder corners."""
    fitting = [
        place.reaching_diameter_mm
        for place in places
        if place.reaching_diameter_mm is not None and not place.obstacle
    ]
    said: list[str] = []
    if fitting:
        all_told = len(fitting) == len(places)
        said.append(
            f"add a `rest` pass before it with a cutter of {length(min(fitting), job.units)} "
            "diameter or less, and finish the walls with that"
            + ("" if all_told else f" ({len(fitting)} of {len(places)} places)")
        )
    if any(place.obstacle for place in places):
        said.append("move what holds the part, or clear those places in a setup of their own")
    if not said:
        said.append("round the corners in the drawing where the part may have a radius")
    return "; ".join(said) + "; or leave it so, if it may stand"
