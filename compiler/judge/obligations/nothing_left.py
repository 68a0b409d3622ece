"""What stays beyond the asked allowance is only where the smallest tool cannot go."""

from __future__ import annotations

from compiler.geometry import Point
from compiler.judge.case import Case
from compiler.judge.left import CLEARING, FLOOR_SLACK, remains
from compiler.judge.model import Leftover, Obligation
from compiler.plan.model import Operation
from compiler.units.number import counted, in_units, length, short


def check(case: Case) -> Obligation:
    """The largest place that a tool used could have cleared, or the tally of those none could."""
    return check_with_places(case)[0]


def check_with_places(case: Case) -> tuple[Obligation, tuple[Leftover, ...]]:
    """The same, with every place left for the report."""
    found = remains(case)
    if found is None:
        said = "No pass clears an area; what stays is not looked at."
        return Obligation(name="nothing_left", held=True, what=said), ()
    places = found.reachable + found.unreachable
    if found.reachable:
        return _missed(case, found.reachable), places
    corners = [place.fillet_radius_mm for place in found.unreachable if place.fillet_radius_mm]
    others = len(found.unreachable) - len(corners)
    what = "Nothing stays beyond what was asked."
    if others:
        area = sum(p.area_mm2 for p in found.unreachable if not p.fillet_radius_mm)
        what = (
            f"{counted(others, 'place stays', 'places stay')} that the smallest cutter cannot "
            f"reach, {_area(case, area)}{' in all' if others > 1 else ''}."
        )
    if corners:
        said = f"A fillet of {case.length(max(corners))} stays at the foot of walls."
        what = f"{what} {said}" if others else said
    largest = found.unreachable[0] if found.unreachable else None
    return (
        Obligation(
            name="nothing_left",
            held=True,
            what=what,
            measured=0.0,
            allowed=0.0,
            margin=0.0,
            unit="mm2",
            worst=case.place(at=Point(largest.x_mm, largest.y_mm)) if largest else None,
        ),
        places,
    )


def _missed(case: Case, places: tuple[Leftover, ...]) -> Obligation:
    worst = places[0]
    area = sum(place.area_mm2 for place in places)
    units = case.job.units
    x, y = (short(in_units(v, units), 3) for v in (worst.x_mm, worst.y_mm))
    one = f"at X{x} Y{y} {_area(case, worst.area_mm2)} stays {length(worst.depth_mm, units)} high"
    others = f" and {_area(case, area)} in {len(places)} places in all" if len(places) > 1 else ""
    operation, remedy = _lacking(case, worst)
    origin = operation.origin
    return Obligation(
        name="nothing_left",
        held=False,
        what=f"{one[0].upper()}{one[1:]}{others}, where a cutter of the job reaches.",
        measured=area,
        allowed=0.0,
        margin=-area,
        unit="mm2",
        worst=case.place(at=Point(worst.x_mm, worst.y_mm)).model_copy(
            update={
                "operation": operation.id,
                "spec_file": origin.file,
                "spec_line": origin.line,
                "spec_column": origin.column,
            }
        ),
        remedy=remedy,
    )


def _lacking(case: Case, place: Leftover) -> tuple[Operation, str]:
    """The pass that a place is owed to, and what would clear it.

    A cutter that comes in there only to finish leaves what nobody roughed; one that roughed there
    leaves the floor's allowance where no finishing cutter of its size follows.
    """
    radius = (place.reaching_diameter_mm or 0.0) / 2
    fitting = [
        op
        for op in case.plan.operations
        if op.kind in CLEARING and case.job.tool(op.tool).radius <= radius + 1e-6
    ]
    roughing = [op for op in fitting if op.kind not in ("finish_floor", "finish_walls")]
    if not roughing:
        first = fitting[0]
        return first, (
            f"only `{first.id}` brings a cutter that comes in there: add a `rest` pass with "
            f"`{first.tool}` before it"
        )
    last = roughing[-1]
    skin = max(op.floor_allowance_mm for op in roughing)
    finished = any(op.kind == "finish_floor" for op in fitting)
    if place.depth_mm <= skin + FLOOR_SLACK and not finished:
        return last, (
            f"`{last.tool}` left its floor allowance there: finish the floor with `{last.tool}` too"
        )
    return last, "lower its radial depth, or clear the place with a `rest` pass of its own"


def _area(case: Case, mm2: float) -> str:
    if case.job.units == "inch":
        return f"{mm2 / 645.16:.4f} in²"
    return f"{mm2:.2f} mm²"
