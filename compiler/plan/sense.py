"""Whether the passes make sense together: within the machine's travel, roughed before finished."""

from __future__ import annotations

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.geometry import EMPTY
from compiler.geometry.combine import difference
from compiler.geometry.errors import GeometryError
from compiler.job.model import Job
from compiler.part.model import Part
from compiler.plan.levels import SAME
from compiler.plan.refuse import finding
from compiler.units.number import length

CLEARS_ALL = ("face", "rough")


def beyond_travel(job: Job, part: Part) -> list[Diagnostic]:
    """Whether what is to be cleared is longer than the machine travels.

    The centre of a cutter that clears an area to its edges goes to within a radius of them. In Z it
    goes from clearance to the lowest floor.
    """
    travel = job.machine.travel
    if travel is None:
        return []
    return _too_long(job, part, travel) + _too_deep(job, part, travel[2])


def _too_deep(job: Job, part: Part, travel: float) -> list[Diagnostic]:
    """Whether the way from clearance to the lowest floor is longer than Z travels."""
    asked = [each for each in job.passes if each.to is not None]
    if not asked:
        return []
    deepest = min(asked, key=lambda each: each.to or 0.0)
    way = part.clearance - (deepest.to or 0.0)
    if way <= travel:
        return []
    return [
        finding(
            "E415",
            deepest,
            f"from clearance to the floor of `{deepest.name}` are {length(way, job.units)} in Z; "
            f"`{job.machine.name}` travels {length(travel, job.units)}",
            "check `units` and heights, lower `heights.clearance` and what makes it so high, or "
            "name a larger machine",
            "to",
        )
    ]


def _too_long(job: Job, part: Part, travel: tuple[float, float, float]) -> list[Diagnostic]:
    """Whether what is cleared over all of the stock is longer than X or Y travel."""
    clearing = [asked for asked in job.passes if asked.kind in CLEARS_ALL]
    if not clearing:
        return []
    untouched = tuple(s.region for s in part.standing if s.top >= part.stock_top)
    faced = any(asked.kind == "face" for asked in clearing)
    try:
        cleared = part.stock if faced else difference(part.stock, *untouched)
    except GeometryError:  # what the outlines lack is told elsewhere
        cleared = EMPTY
    if cleared.is_empty:
        return []
    low_x, low_y, high_x, high_y = cleared.bounds
    widest = max(job.tool(asked.tool).diameter for asked in clearing)
    return [
        Diagnostic(
            code="E415",
            message=f"what is to be cleared is {length(extent, job.units)} long in {axis}; "
            f"`{job.machine.name}` travels {length(room, job.units)}",
            primary=Label(job.stock.origin),
            help="check `units` and the stock's size; turn the part, split the job, or name a "
            "larger machine",
        )
        for axis, extent, room in (
            ("X", high_x - low_x, travel[0]),
            ("Y", high_y - low_y, travel[1]),
        )
        if extent - widest > room
    ]


def order(job: Job) -> list[Diagnostic]:
    """Rest and finishing passes that stand before the roughing of their depth."""
    found: list[Diagnostic] = []
    floors = _floors(job)
    for at, asked in enumerate(job.passes):
        if asked.kind not in ("rest", "finish_floor", "finish_walls"):
            continue
        own = floors[at]
        rough = [
            (each, floors[place], place < at)
            for place, each in enumerate(job.passes)
            if each.kind == "rough"
        ]
        before = [floor for _, floor, is_before in rough if is_before]
        if any(own is None or floor is None or floor <= own + SAME for floor in before):
            continue
        later = [
            each
            for each, floor, is_before in rough
            if not is_before and (not before or floor is None or own is None or floor <= own + SAME)
        ]
        if not later:
            continue
        found.append(
            finding(
                "W407",
                asked,
                f"`{asked.name}` comes before "
                f"{'the roughing of its depth' if before else 'any roughing'}: it cuts full "
                "material",
                f"put it after `{later[-1].name}`",
                also=(Label(later[0].origin, "roughs only here"),),
                severity=Severity.WARNING,
            )
        )
    return found


def _floors(job: Job) -> list[float | None]:
    """The floor of each pass: its own `to`, else the deepest before it; None where nobody says."""
    deepest: float | None = None
    floors: list[float | None] = []
    for asked in job.passes:
        floors.append(asked.to if asked.to is not None else deepest)
        if asked.to is not None and asked.kind not in ("drill", "face"):
            deepest = asked.to if deepest is None else min(deepest, asked.to)
    return floors
