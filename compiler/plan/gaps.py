"""Where cutters do not fit: each pass must reach something, and every gap some pass.

Decided with polygons, chords within `CHORD` of the outlines: plenty for saying what fits. What
stays in corners is not looked at here; the evidence names it place by place.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import shapely
from shapely import MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Job, Pass, Tool
from compiler.part.model import Part, Standing
from compiler.plan.choice import CLEARING
from compiler.plan.model import Level, Operation
from compiler.plan.refuse import finding
from compiler.units.number import length, short

Area = Polygon | MultiPolygon

CHORD = 0.002  # mm
SPECK = 0.01  # mm2: less than this is the chords' doing


def gaps(job: Job, part: Part, operations: Sequence[Operation]) -> list[Diagnostic]:
    """Findings about cutters that reach nothing, and gaps that no cutter reaches."""
    passes = {asked.name: asked for asked in job.passes}
    clearing = [each for each in operations if each.kind in ("rough", "rest")]
    found: list[Diagnostic] = []
    for operation in clearing:
        tool = job.tool(operation.tool)
        lowest = operation.levels[-1]
        free = _free(part, lowest, operation.wall_allowance_mm)
        if free.area > SPECK and _reached(part, lowest, operation, tool).area <= SPECK:
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


def _standing(part: Part, names: Iterable[str]) -> list[Standing]:
    wanted = set(names)
    return [region for region in part.standing if region.name in wanted]


def _free(part: Part, level: Level, allowance: float) -> Area:
    """What is to go at the level: stock outside what stands."""
    kept = [
        to_polygon(region.region, CHORD, "nearest").buffer(allowance)
        for region in _standing(part, level.standing)
    ]
    return _area(to_polygon(part.stock, CHORD, "nearest").difference(shapely.union_all(kept)))


def _reached(part: Part, level: Level, operation: Operation, tool: Tool) -> Area:
    """What of the stock the tool can cut at the level, entering from wherever it likes."""
    kept = []
    for region in _standing(part, level.standing):
        allowance = operation.wall_allowance_by_region_mm.get(
            region.name, operation.wall_allowance_mm
        )
        kept.append(to_polygon(region.region, CHORD, "nearest").buffer(tool.radius + allowance))
    blocked = [
        to_polygon(obstacle.region, CHORD, "nearest").buffer(tool.radius)
        for obstacle in part.obstacles
        if obstacle.top > level.bottom_mm
    ]
    stock = to_polygon(part.stock, CHORD, "nearest")
    # beyond the stock's edge by nearly a radius there is still a sliver to cut
    around = stock.buffer(0.95 * tool.radius)
    centres = around.difference(shapely.union_all([*kept, *blocked]))
    return _area(centres.buffer(tool.radius).intersection(stock))


def _area(found: BaseGeometry) -> Area:
    """The polygons of a result: touching shapes may also share lines and points."""
    if isinstance(found, Polygon | MultiPolygon):
        return found
    return MultiPolygon([p for p in shapely.get_parts(found) if isinstance(p, Polygon)])


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
    free = _free(part, level, 0.0)
    reached = shapely.union_all(
        [_reached(part, level, each, job.tool(each.tool)) for each in clearing]
    )
    found = []
    for piece in sorted(shapely.get_parts(free), key=lambda p: p.bounds):
        if piece.area <= SPECK or piece.intersection(reached).area > SPECK:
            continue
        width, x, y = largest_disc(piece)
        room = width - 2 * deepest.wall_allowance_mm
        best = _largest(job, job.tool(deepest.tool), room)
        known = f", as {_named(best, job)}," if best is not None else ","
        where = f"X{short(_typed(x, job), 3)} Y{short(_typed(y, job), 3)}"
        found.append(
            finding(
                "W401",
                passes[deepest.id],
                f"no pass comes into the gap at {where}, {length(width, job.units)} wide",
                "add a `rest` pass with a cutter of less than "
                f"{length(room, job.units)}{known} or let the regions beside it join",
                severity=Severity.WARNING,
            )
        )
    return found


def _typed(mm: float, job: Job) -> float:
    return mm / 25.4 if job.units == "inch" else mm
