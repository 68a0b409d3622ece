"""Whether the cutters fit the gaps: decided exactly where that is plain, else with polygons.

Polygons need a heavy library, and most jobs have room enough: no gap between what stands narrower
than the cutter, and a place for it in every hole. Only where that is in doubt is `gaps` asked.
"""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Diagnostic
from compiler.geometry import Outline, Point, Region
from compiler.geometry.combine import union
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.geometry.measure import narrowest_gap
from compiler.job.model import Job
from compiler.part.model import Part
from compiler.plan.model import Level, Operation

MARGIN = 0.01  # mm to spare: closer than that, polygons decide


def gaps(job: Job, part: Part, operations: Sequence[Operation]) -> list[Diagnostic]:
    """Findings about cutters that reach nothing, and gaps that no cutter reaches."""
    clearing = [each for each in operations if each.kind in ("rough", "rest")]
    if not clearing:
        return []
    deepest = min((each.levels[-1] for each in clearing), key=lambda level: level.bottom_mm)
    if all(_reaches_something(job, part, each) for each in clearing) and any(
        _goes_everywhere(job, part, each, deepest) for each in clearing
    ):
        return []
    from compiler.plan import gaps as polygons
    from compiler.plan.necks import necks

    return polygons.gaps(job, part, operations) or necks(job, part, operations)


def _reaches_something(job: Job, part: Part, operation: Operation) -> bool:
    """Whether the tool's centre may plainly stand on some place of the stock's edge."""
    kept = _in_the_way(part, operation.levels[-1])
    if kept.is_empty:
        return True
    room = _room(job, operation) / 2
    test, walls = InsideTest(kept.segments()), list(kept.segments())
    places = [segment.at(t) for segment in part.stock.segments() for t in (0.0, 0.5)]
    return any(
        not test.contains(at) and all(point_distance(at, wall) >= room for wall in walls)
        for at in places
    )


def _goes_everywhere(job: Job, part: Part, operation: Operation, level: Level) -> bool:
    """Whether the tool plainly goes between all that stands at the level, and into every hole."""
    kept = _in_the_way(part, level)
    room = _room(job, operation)
    holes = [outline for outline in kept.outlines if outline.area < 0]
    if not all(_takes_disc(hole, room / 2) for hole in holes):
        return False
    return narrowest_gap(kept, room) is None


def _room(job: Job, operation: Operation) -> float:
    """The width that the tool needs between walls, mm."""
    allowances = operation.wall_allowance_by_region_mm.values()
    most = max(operation.wall_allowance_mm, *allowances, 0.0)
    return job.tool(operation.tool).diameter + 2 * most + MARGIN


def _in_the_way(part: Part, level: Level) -> Region:
    """What the tool must go round at a level: regions and obstacles."""
    blocked = [o.region for o in part.obstacles if o.top > level.bottom_mm]
    return union(*(s.region for s in part.standing if s.name in level.standing), *blocked)


def _takes_disc(hole: Outline, radius: float) -> bool:
    """Whether a disc of that radius fits about the middle of a hole's box."""
    low_x, low_y, high_x, high_y = hole.bounds
    middle = Point((low_x + high_x) / 2, (low_y + high_y) / 2)
    inside = min(middle.x - low_x, middle.y - low_y) >= radius
    return inside and all(point_distance(middle, s) >= radius for s in hole.segments)
