"""What stays at the end although a clearing pass of the job has a cutter that comes there.

`E518` says that something stands where some cutter of the job reaches. That is true of a job that
sends no such cutter there before finishing: it lacks a rest pass, or finishes the floor with a
larger cutter. It is the planner's miss where a pass that owes the place has a cutter that reaches
it. Told apart by the sets of tool centres alone, in shapely: a cutter of radius r takes the opening
of the free area by a disc of r (mathematical morphology; Serra, Image Analysis and Mathematical
Morphology, 1982, from memory).
"""

from __future__ import annotations

import shapely

from compiler.geometry.polygon import to_polygon
from compiler.judge.model import Leftover
from compiler.plan.model import Operation
from compiler.road import Journey

WITHIN = 0.25  # mm inside what a cutter takes: the raster's grain, and films that may stay
OWED = frozenset({"face", "rough", "rest", "finish_floor"})
SAME = 0.02  # mm of height


def missed(journey: Journey) -> list[str]:
    """Places left that a pass was to clear and whose cutter comes there; each as what is wrong."""
    assert journey.report and journey.part and journey.plan and journey.job
    smallest = min(journey.job.tool(op.tool).diameter for op in journey.plan.operations)
    found = []
    for left in journey.report.leftovers:
        if (left.reaching_diameter_mm or 0.0) < smallest - 1e-3 or left.obstacle:
            continue
        for op in journey.plan.operations:
            if op.kind in OWED and _owes(journey, op, left):
                found.append(f"{left.depth_mm} mm at {left.x_mm}, {left.y_mm}: {op.id} ({op.tool})")
    return found


def _owes(journey: Journey, op: Operation, left: Leftover) -> bool:
    """Whether the pass goes so deep there, and its cutter comes there."""
    assert journey.part and journey.job
    at = shapely.Point(left.x_mm, left.y_mm)
    bottoms = [level.bottom_mm for level in op.levels]
    over = [s for s in journey.part.standing if to_polygon(s.region, 0.005).distance(at) < 0.1]
    floor = max((s.top for s in over), default=lowest(journey))
    surface = floor + left.depth_mm  # of what is left; a pass that owes it goes below that
    deep = [z for z in bottoms if floor - SAME <= z < surface + left_on_floor(journey) - SAME]
    if not deep or min(deep) > surface - SAME:
        return False
    radius = journey.job.tool(op.tool).radius
    if op.kind == "finish_floor" and left.depth_mm > left_on_floor(journey) + SAME:
        return False  # it takes the skin, not what stands high
    return bool(taken(journey, op, min(deep), radius).buffer(-WITHIN).contains(at))


def lowest(journey: Journey) -> float:
    """Z of the floor."""
    assert journey.plan
    return min(level.bottom_mm for op in journey.plan.operations for level in op.levels)


def left_on_floor(journey: Journey) -> float:
    """The most that a pass leaves on floors, mm."""
    assert journey.plan
    return max(op.floor_allowance_mm for op in journey.plan.operations)


def taken(journey: Journey, op: Operation, height: float, radius: float) -> shapely.Geometry:
    """All that a cutter of the radius can take at a height: the free area's opening."""
    part = journey.part
    assert part
    stands = []
    for region in part.standing:
        if region.top > height + SAME:
            allowance = op.wall_allowance_by_region_mm.get(region.name, op.wall_allowance_mm)
            grown = to_polygon(region.region, 0.002, "outside").buffer(allowance + radius, 64)
            stands.append(grown)
    for obstacle in part.obstacles:
        if obstacle.top > height:
            stands.append(to_polygon(obstacle.region, 0.002, "outside").buffer(radius, 64))
    low_x, low_y, high_x, high_y = part.stock.bounds
    around = shapely.box(low_x - 50, low_y - 50, high_x + 50, high_y + 50)
    return around.difference(shapely.union_all(stands)).buffer(radius, 64)
