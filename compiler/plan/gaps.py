"""Where cutters do not fit: each pass must reach something, and every gap some pass.

What stays in corners and necks is told by `necks`, and by the evidence on the program itself.
"""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job.model import Job, Pass, Tool
from compiler.part.model import Part
from compiler.plan.choice import CLEARING
from compiler.plan.model import Operation
from compiler.plan.refuse import finding
from compiler.plan.room import CHORD, SPECK, Area, to_clear, within_reach
from compiler.units.number import length, short

SMALLEST = 0.5  # mm: no cutter is thinner, so that a narrower place can only stay


def gaps(job: Job, part: Part, operations: Sequence[Operation]) -> list[Diagnostic]:
    """Findings about cutters that reach nothing, and gaps that no cutter reaches."""
    passes = {asked.name: asked for asked in job.passes}
    clearing = [each for each in operations if each.kind in ("rough", "rest")]
    found: list[Diagnostic] = []
    for operation in clearing:
        tool = job.tool(operation.tool)
        lowest = operation.levels[-1]
        free = to_clear(part, lowest, operation.wall_allowance_mm)
        if free.area > SPECK and within_reach(part, lowest, operation, tool).area <= SPECK:
            found.append(_too_large(job, passes[operation.id], tool, free))
    if not found and clearing:
        found += _never_reached(job, part, operations, passes)
    return found


def largest_disc(area: Area) -> tuple[float, float, float]:
    """The largest disc that fits in the area: diameter, and its centre's x and y. mm."""
    circle = shapely.maximum_inscribed_circle(area, tolerance=CHORD)
    centre, rim = circle.coords[0], circle.coords[-1]
    radius = ((centre[0] - rim[0]) ** 2 + (centre[1] - rim[1]) ** 2) ** 0.5
    # to a hundredth: what chords can say, and more than anyone can use
    return round(2 * radius, 2), centre[0], centre[1]


def _too_large(job: Job, asked: Pass, tool: Tool, free: Area) -> Diagnostic:
    width, x, y = largest_disc(free)
    best = _largest(job, tool, width)
    where = f"X{short(_typed(x, job), 3)} Y{short(_typed(y, job), 3)}"
    if best is not None:
        remedy = f"{_named(best, job)} is the largest that fits"
    else:
        whose = "the job or its crib" if job.crib else "the job"
        remedy = (
            f"no tool of {whose} fits; a cutter below {length(width, job.units)} does, or make "
            "the gap wider"
        )
    return Diagnostic(
        code="E406",
        message=(
            f"`{tool.name}` with {length(tool.diameter, job.units)} diameter is too large for "
            f"every gap; the widest is {length(width, job.units)} at {where}"
        ),
        primary=Label(asked.spans.get("tool", asked.origin)),
        secondary=(Label(tool.origin, "the tool"),),
        help=remedy,
        data=(("widest_gap_mm", round(width, 3)), ("x_mm", round(x, 3)), ("y_mm", round(y, 3))),
    )


def _largest(job: Job, tool: Tool, width: float) -> Tool | None:
    """The largest cutter of the same kind, the job's or the crib's, that goes into a gap."""
    fitting = [t for t in (*job.tools, *job.crib) if t.kind == tool.kind and t.diameter < width]
    return max(fitting, key=lambda t: t.diameter, default=None)


def _named(tool: Tool, job: Job) -> str:
    """A cutter as `em_250_3fl` of the crib (0.25 in)."""
    whose = "" if tool in job.tools else " of the crib"
    return f"`{tool.name}`{whose} ({length(tool.diameter, job.units)})"


def _never_reached(
    job: Job, part: Part, operations: Sequence[Operation], passes: dict[str, Pass]
) -> list[Diagnostic]:
    """Whole pieces of the area to clear that none of the passes comes into."""
    clearing = [each for each in operations if each.kind in CLEARING]
    deepest = min(clearing, key=lambda each: each.levels[-1].bottom_mm)
    level = deepest.levels[-1]
    free = to_clear(part, level, 0.0)
    reached = shapely.union_all(
        [within_reach(part, level, each, job.tool(each.tool)) for each in clearing]
    )
    found = []
    for piece in sorted(shapely.get_parts(free), key=lambda p: p.bounds):
        cleared = piece.intersection(reached).area > SPECK or _drilled(job, piece)
        if piece.area <= SPECK or cleared:
            continue
        width, x, y = largest_disc(piece)
        room = width - 2 * deepest.wall_allowance_mm
        best = _largest(job, job.tool(deepest.tool), room)
        known = f", as {_named(best, job)}," if best is not None else ","
        where = f"X{short(_typed(x, job), 3)} Y{short(_typed(y, job), 3)}"
        asked = passes[deepest.id]
        said = f"the gap at {where}, {length(width, job.units)} wide"
        if width < SMALLEST:
            said, remedy = f"no pass comes into {said}", "let the regions beside it join"
            found.append(finding("W401", asked, said, remedy, severity=Severity.WARNING))
            continue
        found.append(
            finding(
                "E450",
                asked,
                f"nothing is cleared of {said}: no clearing pass goes in",
                "add a `rest` pass with a cutter of less than "
                f"{length(room, job.units)}{known} or let the regions beside it join",
            )
        )
    return found


def _drilled(job: Job, piece: Area) -> bool:
    """Whether a hole is drilled in the place."""
    holes = [
        at.minus(job.datum.at) for asked in job.passes if asked.kind == "drill" for at in asked.at
    ]
    return any(piece.covers(shapely.Point(at)) for at in holes)


def _typed(mm: float, job: Job) -> float:
    return mm / 25.4 if job.units == "inch" else mm
