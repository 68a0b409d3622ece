"""Several parts on one table: what is in a part's way beside it, and all of them as one.

Every part is cut along the same path, so each is planned as if it had all neighbours that any of
them has.
"""

from __future__ import annotations

from dataclasses import replace

from compiler.diagnostics import Diagnostic, Label
from compiler.geometry import Point, Region
from compiler.geometry.build import rectangle
from compiler.geometry.combine import intersection
from compiler.geometry.pose import Box
from compiler.geometry.region import make
from compiler.geometry.trace import in_order
from compiler.geometry.transform import moved
from compiler.job import Job, Table
from compiler.part.model import Blocked, Part, Standing
from compiler.units.number import length

ROOM = 1.0  # mm beside the widest cutter that clears


def too_near(job: Job, part: Part) -> list[Diagnostic]:
    """Parts that lie so near to each other that the cutters can't go between (E266)."""
    table = job.table
    if table is None or not table.is_said:
        return []
    clears = [job.tool(p.tool) for p in job.passes if p.kind not in ("drill", "break_edges")]
    needed = max((tool.diameter for tool in clears), default=0.0) + ROOM
    gap = min(_gap(part.stock.bounds, way) for way in _ways(table))
    if gap >= needed:
        return []
    said = f"overlap by {length(-gap, job.units)}" if gap < 0 else length(gap, job.units) + " apart"
    return [
        Diagnostic(
            code="E266",
            message=f"parts on the table are {said}, too near for the cutters"
            if gap >= 0
            else f"parts on the table {said}",
            primary=Label(table.origin),
            help=f"leave {length(needed, job.units)} or more between their blanks: the widest "
            "cutter that goes round them, and a little air",
            data=(("gap_mm", round(gap, 3)), ("needed_mm", round(needed, 3))),
        )
    ]


def beside(part: Part, table: Table) -> Part:
    """The part with its neighbours' blanks and what holds them as obstacles."""
    if not table.is_said:
        return part
    blocked: list[Blocked] = []
    for way in _ways(table):
        if _gap(part.stock.bounds, way) > part.air:
            continue
        blocked.append(
            Blocked(
                name="the part beside it",
                region=moved(part.stock, way),
                top=part.stock_top,
                origin=table.origin,
            )
        )
        blocked += [replace(o, region=moved(o.region, way)) for o in part.obstacles]
    return replace(part, obstacles=(*part.obstacles, *blocked))


def spread(part: Part, table: Table) -> Part:
    """All parts as one: the blanks, what stands of each, what holds each."""
    room = _room(part, table)
    standing: list[Standing] = []
    obstacles: list[Blocked] = []
    for number, place in enumerate(table.places, 1):
        for each in part.standing:
            region = intersection(each.region, room) if each.is_open else each.region
            name = f"{each.name} of part {number}"
            standing.append(replace(each, name=name, region=moved(region, place)))
        for held in part.obstacles:
            name = f"{held.name} of part {number}"
            obstacles.append(replace(held, name=name, region=moved(held.region, place)))
    outlines = [o for place in table.places for o in moved(part.stock, place).outlines]
    return replace(
        part,
        stock=in_order(outlines),
        standing=tuple(standing),
        obstacles=tuple(obstacles),
    )


def _room(part: Part, table: Table) -> Region:
    """The blank and half of what is free between it and the next: an open region ends there."""
    gap = min(_gap(part.stock.bounds, way) for way in _ways(table))
    half = max(0.0, min(gap / 2, part.air))
    a, b, c, d = part.stock.bounds
    return make([rectangle(Point(a - half, b - half), Point(c + half, d + half))])


def _ways(table: Table) -> list[Point]:
    """From any part to any other, each way once."""
    ways = {
        (round(b.x - a.x, 6), round(b.y - a.y, 6))
        for a in table.places
        for b in table.places
        if a is not b
    }
    return [Point(x, y) for x, y in sorted(ways)]


def _gap(box: Box, way: Point) -> float:
    """What is free between a box and itself moved, along X or Y; below 0 where they overlap."""
    wide, tall = box[2] - box[0], box[3] - box[1]
    return max(abs(way.x) - wide, abs(way.y) - tall)
