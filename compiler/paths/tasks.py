"""One level of one operation as a strategy sees it: the sets, and the numbers of the operation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from compiler.geometry import EMPTY, Region
from compiler.geometry.combine import union
from compiler.geometry.polygon import to_polygon
from compiler.job.model import Tool
from compiler.part.model import Part
from compiler.paths import sets
from compiler.paths.sets import CHORD, SLIVER, Ground
from compiler.paths.task import Area, Task
from compiler.plan.model import Level, Operation

DEAD_CENTRE = 0.5  # of the diameter uncut at the tip of a cutter that does not cut to its centre
LEAST_HELIX = 0.1  # of the radius, for one that does


def task_for(
    part: Part,
    operation: Operation,
    level: Level,
    tool: Tool,
    ground: Ground,
    *,
    left_on_walls: float,
) -> Task:
    """The task of one level.

    `left_on_walls` is the most that the operations before left beside walls, mm, but for regions
    with an allowance of their own: finishing passes take that much in full height, but nothing
    else that reaches above their level.
    """
    out = sets.forbidden(part, operation, level, tool)
    radius = tool.radius
    only = operation.after if operation.kind == "rest" and operation.after else None
    material = ground.at(level.bottom_mm, only)
    centres = sets.centres(part, out, radius)
    if operation.kind == "finish_floor":
        high = _standing_high(part, operation, level, ground.at(level.top_mm), left_on_walls)
        if not high.is_empty:
            # ways may lie two chords beyond the centres (`sets.passable`)
            centres = sets.area_of(centres.difference(sets.swell(high, radius + 3 * CHORD)))
    if operation.kind == "finish_walls":
        work = _wall_work(part, operation, level, centres, radius)
    else:
        work = _clearing_work(part, level, material, centres, radius)
    cutting = operation.cutting
    task = Task(
        radius=radius,
        forbidden=out,
        centres=centres,
        material=material,
        # growing a much-cut material is slow, and only this pattern asks for the outcome
        cleared=sets.clear_centres(centres, material, radius)
        if operation.pattern == "constant_engagement"
        else sets.NONE,
        work=work,
        step=_step(operation, work),
        engagement=None
        if operation.engagement_deg is None
        else math.radians(operation.engagement_deg),
        direction=operation.direction,
        angle=None if operation.angle_deg is None else math.radians(operation.angle_deg),
        helix_radius=None
        if operation.helix_diameter_mm is None
        else operation.helix_diameter_mm / 2,
        least_helix=_least_helix(tool),
        centre_cutting=tool.centre_cutting,
        slot_factor=min(1.0, cutting.slot_feed_mm_min / cutting.feed_mm_min),
        tolerance=CHORD,
        open_region=_open_region(part, level, out),
    )
    return task if work.is_empty else replace(task, passable=sets.passable(task))


def _open_region(part: Part, level: Level, out: Region) -> Region:
    """The terraces of a level that goes over them alone; the blank where nothing stands."""
    over = [s.region for s in part.standing if s.name in level.over]
    if over:
        return union(*over) if len(over) > 1 else over[0]
    return part.stock if out.is_empty else EMPTY


def _least_helix(tool: Tool) -> float:
    """Smallest helix radius, mm: the helix must go round what the tip does not cut.

    The size of a dead centre is the maker's; half the diameter is common practice, no source.
    """
    if tool.centre_cutting:
        return LEAST_HELIX * tool.radius
    return DEAD_CENTRE * tool.diameter / 2


def _step(operation: Operation, work: Area) -> float:
    """The radial depth; a rest pass of several steps takes its deepest place in as many."""
    if operation.count <= 1 or work.is_empty:
        return operation.radial_depth_mm
    low, high = 0.0, max(work.bounds[2] - work.bounds[0], work.bounds[3] - work.bounds[1])
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if work.buffer(-middle).is_empty else (middle, high)
    return min(operation.radial_depth_mm, max(2 * high / operation.count, 0.05))


def _clearing_work(part: Part, level: Level, material: Area, centres: Area, radius: float) -> Area:
    target = sets.removable(material, centres, radius)
    if level.over:
        around = [
            to_polygon(s.region, CHORD, "outside") for s in part.standing if s.name in level.over
        ]
        # the terrace, and the strip beside it that the cutter reaches from there
        target = sets.area_of(target.intersection(sets.joined(around)))
    return sets.to_visit(centres, target, radius)


def _wall_work(
    part: Part, operation: Operation, level: Level, centres: Area, radius: float
) -> Area:
    """Where the centre is when the cutter is at a wall that faced material as the setup began."""
    stock = to_polygon(part.stock, CHORD, "inside")
    if part.gone:
        stock = sets.area_of(stock.intersection(Ground.of(part).at(level.bottom_mm)))
    faced = sets.removable(stock, centres, radius)
    if level.over:
        over = [to_polygon(s.region, CHORD) for s in part.standing if s.name in level.over]
        faced = sets.area_of(faced.intersection(sets.joined(over)))
    work = sets.to_visit(sets.swell(centres, 2 * CHORD), faced, radius)
    if operation.regions is not None:
        work = sets.area_of(work.intersection(_beside(part, operation, operation.regions, radius)))
    return work


def _beside(part: Part, operation: Operation, names: Sequence[str], radius: float) -> Area:
    """Centres at the walls of these regions."""
    found = []
    for region in part.standing:
        if region.name in names:
            allowance = operation.wall_allowance_by_region_mm.get(
                region.name, operation.wall_allowance_mm
            )
            outline = to_polygon(region.region, CHORD)
            found.append(sets.swell(outline, radius + allowance + 4 * CHORD))
    return sets.joined(found)


def _standing_high(
    part: Part, operation: Operation, level: Level, above: Area, left_on_walls: float
) -> Area:
    """What reaches above the level away from walls: corners that a larger tool left.

    However thin: a cutter that takes a broad skin off the floor would meet it in its full height.
    """
    kept = []
    for region in part.standing:
        if region.name in level.standing:
            left = max(
                operation.wall_allowance_by_region_mm.get(region.name, left_on_walls),
                operation.wall_allowance_mm,
            )
            outline = to_polygon(region.region, CHORD, "outside")
            kept.append(sets.swell(outline, left + SLIVER / 2))
    rest = above.difference(sets.joined(kept)) if kept else above
    return sets.opened(sets.area_of(rest), SLIVER / 2)
