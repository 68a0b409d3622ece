"""Walls that an obstacle keeps the cutter from."""

from __future__ import annotations

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.geometry import Point, Region
from compiler.geometry.across import AT_EDGE
from compiler.geometry.clip import clip
from compiler.geometry.distance import point_to_boundary
from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import overlap
from compiler.geometry.offset import grow
from compiler.job import Job, Tool
from compiler.part.model import Blocked, Part, Standing
from compiler.part.regions import refused
from compiler.units.number import length

WALL_CUTTERS = ("end_mill", "bull_mill", "ball_mill")


def beside_walls(job: Job, part: Part) -> list[Diagnostic]:
    """Stretches of wall that the slimmest cutter of the job cannot follow for an obstacle.

    Only obstacles that rise above the deepest floor count, and only walls inside the stock.
    """
    used = {p.tool for p in job.passes}
    cutters = [t for t in job.tools if t.kind in WALL_CUTTERS and t.name in used]
    if not cutters:
        return []
    slimmest = min(cutters, key=lambda tool: (tool.diameter, tool.name))
    floors = [p.to for p in job.passes if p.to is not None and p.kind != "drill"]
    deepest = max(min(floors, default=part.lowest_cut), part.lowest_cut)
    found = []
    for standing in part.own:
        for blocked in part.obstacles:
            if blocked.top <= deepest + 1e-6 or standing.top <= deepest + 1e-6:
                continue
            try:
                hidden, place = _hidden_wall(standing, blocked, part.stock, slimmest.radius)
            except GeometryError as error:
                path = f"workholding.obstacles.{blocked.name}"
                who = f"obstacle `{blocked.name}`"
                found.append(refused(who, blocked.origin, path, error, job.units))
                continue
            if place is not None:
                found.append(_finding(job, standing, blocked, slimmest, hidden, place))
    return found


def _hidden_wall(
    standing: Standing, blocked: Blocked, stock: Region, radius: float
) -> tuple[float, Point | None]:
    """Length of the cutter's way along the wall that the obstacle bars, mm, and a place there."""
    if not overlap(standing.region.bounds, blocked.region.bounds, 2 * radius):
        return 0.0, None
    barred = grow(blocked.region, radius)
    if barred.is_empty:
        return 0.0, None
    within, in_stock = InsideTest(barred.segments()), InsideTest(stock.segments())
    total, place = 0.0, None
    for outline in grow(standing.region, radius).outlines:
        for stretch in clip(outline, barred, "inside"):
            for segment in stretch.segments:
                middle = segment.at(0.5)
                wall = point_to_boundary(middle, standing.region).on_second
                if (
                    within.contains(middle)
                    and point_to_boundary(middle, barred).distance > 1e-3
                    and in_stock.contains(wall)
                    and point_to_boundary(wall, stock).distance > AT_EDGE
                ):
                    total += segment.length
                    place = place or wall
    return total, place


def _finding(
    job: Job, standing: Standing, blocked: Blocked, tool: Tool, hidden: float, place: Point
) -> Diagnostic:
    at = place.plus(job.datum.at)
    here = f"({length(at.x, job.units)}, {length(at.y, job.units)})"
    return Diagnostic(
        code="W315",
        severity=Severity.WARNING,
        message=f"obstacle `{blocked.name}` keeps `{tool.name}` from the wall of region "
        f"`{standing.name}` at {here}",
        primary=Label(blocked.origin, "in the cutter's way"),
        secondary=(Label(standing.origin, "its wall"),),
        path=f"workholding.obstacles.{blocked.name}",
        help=f"keep it {length(tool.diameter, job.units)} or more from the wall, or its top below "
        "the floor; a clamp on the region leaves its wall uncut there",
        data=(("hidden_mm", hidden), ("x_mm", place.x), ("y_mm", place.y)),
    )
