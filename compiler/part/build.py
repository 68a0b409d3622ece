"""From the job to the part: the datum applied, open regions closed in the air, everything checked.

    Job (drawing coordinates)  ->  Part (the datum at X0 Y0), with every finding about its geometry

What stands, what goes and where no tool may be is decided here once; the planner and the judge both
start from this.
"""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic, Outcome, has_errors
from compiler.geometry import Point, Region
from compiler.geometry.errors import GeometryError
from compiler.geometry.transform import moved
from compiler.job import Job, KeepRegion, OpenChain
from compiler.part import heights, obstacles, regions
from compiler.part.far_datum import far_datum
from compiler.part.made import spared
from compiler.part.model import Blocked, Made, Part, Standing
from compiler.part.table import too_near

AIR_BESIDE = 25.0
"""Air beyond the stock that open regions reach into, mm, besides four times the largest tool."""


def build_part(job: Job, made: Sequence[Made] = ()) -> Outcome[Part]:
    """The part of a job, in work coordinates, and every finding about its geometry.

    `made` is what the setups before finished, as it lies in this one: it stands too.

    Findings are E3 and W3 codes with the span of the item at fault. There is no part where the
    stock or a region has no usable shape; all other errors come with the part that has them.
    """
    shift = Point(-job.datum.at.x, -job.datum.at.y)
    stock = moved(job.stock.region, shift)
    findings = list(heights.of_stock(job))
    if has_errors(findings):
        return Outcome(None, tuple(findings))
    widest = max((tool.diameter for tool in job.tools), default=0.0)
    if job.setup is not None:
        widest = max(widest, job.setup.most_diameter)  # what is finished here stands in others too
    air = 4 * widest + AIR_BESIDE
    try:
        room = regions.room_in(job.stock.region)
    except GeometryError as error:
        refused = regions.refused("the stock", job.stock.origin, "stock", error, job.units)
        return Outcome(None, (*findings, refused))
    standing: list[Standing] = []
    for keep in job.keep_regions:
        region, found = _area(job, keep, shift, air, room)
        findings += found
        if region is not None:
            standing.append(_standing(keep, region))
    blocked = tuple(
        Blocked(name=o.name, region=moved(o.region, shift), top=o.top, origin=o.origin)
        for o in job.workholding.obstacles
    )
    stays, found = spared(job, stock, standing, made)
    findings += found
    findings += heights.of_regions(job)
    findings += heights.of_clearance(job)
    if len(standing) < len(job.keep_regions):
        return Outcome(None, tuple(findings))
    part = Part(
        stock=stock,
        stock_top=job.stock.top,
        stock_bottom=job.stock.bottom,
        standing=(*standing, *stays),
        obstacles=blocked,
        lowest_cut=heights.lowest_cut(job),
        clearance=job.heights.clearance,
        approach=job.heights.approach,
        air=air,
        made=tuple(made),
    )
    findings += far_datum(job, part)
    findings += obstacles.beside_walls(job, part)
    findings += too_near(job, part)
    findings += regions.swallowed(part)
    return Outcome(part, tuple(findings))


def _area(
    job: Job, keep: KeepRegion, shift: Point, air: float, room: Region
) -> tuple[Region | None, list[Diagnostic]]:
    """The area that a keep region covers, in work coordinates, and what is wrong with it.

    Decided in the drawing's coordinates, so that messages name the author's own points.
    """
    stock = job.stock.region
    if isinstance(keep.shape, OpenChain):
        area, found = regions.open_area(keep, keep.shape, stock, air, job.units)
    else:
        area, found = keep.shape, regions.closed_area(keep, keep.shape, stock, room, job.units)
    return (None if area is None else moved(area, shift)), found


def _standing(keep: KeepRegion, region: Region) -> Standing:
    return Standing(
        name=keep.name,
        region=region,
        top=keep.top,
        is_open=isinstance(keep.shape, OpenChain),
        tolerance=keep.tolerance,
        wall_allowance=keep.wall_allowance,
        floor_allowance=keep.floor_allowance,
        about=keep.about,
        origin=keep.origin,
    )
