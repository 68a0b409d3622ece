"""Several parts on one table: where each lies, in which order they are cut, what to see to."""

from __future__ import annotations

from compiler.job import Job
from compiler.plan.model import OperationList, PlannedPlace
from compiler.sheet.content import Lines, Section, Table
from compiler.sheet.say import Say


def banner(plan: OperationList) -> tuple[str, ...]:
    """What must be seen from a step away."""
    return () if plan.parts is None else (f"{len(plan.parts.places)} PARTS",)


def parts(job: Job, plan: OperationList, say: Say) -> Section:
    """The table of parts; empty for a single one."""
    there = plan.parts
    if there is None:
        return Section("parts", "", ())
    rows = tuple(
        (str(number), place.work_offset, *_where(place, is_said=there.is_said, say=say))
        for number, place in enumerate(there.places, start=1)
    )
    head = ("Part", "Work offset", f"Datum X ({say.unit})", f"Datum Y ({say.unit})")
    said = [f"{there.reasons[0][0].upper()}{there.reasons[0][1:]}.", *_ways(job, plan, say)]
    return Section(
        "parts",
        f"{len(there.places)} parts on the table, {there.order.replace('_', ' ')}",
        (Table(head, rows, (0.8, 1.5, 2.0, 2.0), frozenset({2, 3})), Lines(tuple(said))),
    )


def checks(plan: OperationList, say: Say) -> tuple[str, ...]:
    """What to see to before all of them are cut."""
    there = plan.parts
    if there is None:
        return ()
    free = "" if there.beside_mm is None else f"; {say.length(there.beside_mm)} free round each"
    items = [f"All {len(there.places)} blanks are in place, alike, held as drawn{free}."]
    offsets = list(dict.fromkeys(place.work_offset for place in there.places))
    if len(offsets) > 1:
        items.append(
            f"{', '.join(offsets)} are set, X, Y and Z each at its own part; the top of Z's travel "
            "is above every part and clamp with the longest tool."
        )
    else:
        items.append(
            "The blanks' upper faces are at one height and their places as in the table of parts: "
            "measured, not trusted."
        )
    return tuple(items)


def _where(place: PlannedPlace, *, is_said: bool, say: Say) -> tuple[str, str]:
    return (say.z(place.x_mm), say.z(place.y_mm)) if is_said else ("as set", "as set")


def _ways(job: Job, plan: OperationList, say: Say) -> list[str]:
    """How the program gets from part to part."""
    assert plan.parts is not None and job.table is not None
    if not job.table.has_offsets:
        return [
            f"From part to part the tool goes across at Z {say.length(plan.clearance_mm)}, above "
            "all of them."
        ]
    said = (
        "From part to part the tool goes up to the top of Z's travel (G53), across there, and down "
        "in the next offset."
    )
    if plan.parts.is_said:
        return [said]
    return [
        said,
        "The job does not say where the parts lie, so nothing is proven of one part being in the "
        "way of another: keep the room free that is given below.",
    ]
