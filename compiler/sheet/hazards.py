"""Cautions for what this very job holds, beside those that hold for every job.

When to speak is common practice, no source, unless a line says otherwise. They are no judgement:
the machine's manual, the rules of the place and qualified people come first.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from compiler.geometry.combine import intersection
from compiler.geometry.distance import point_to_boundary
from compiler.geometry.errors import GeometryError
from compiler.geometry.measure import TooManyWallsError, narrowest_gap_between, thinnest_web
from compiler.job import Job
from compiler.judge.model import Leftover
from compiler.judge.uncut import worth_telling
from compiler.part.model import Part, Standing
from compiler.plan.model import OperationList
from compiler.sheet.say import Say
from compiler.sheet.tooling import used_tools
from compiler.units.number import counted

LONG_REACH = 4.0  # diameters of stick-out
THIN_RIB = 10.0  # times its thickness that a rib may be high
UNDER = 1.0  # mm below the deepest floor: what ends deeper has the cutter above it
NEAR = 5.0  # mm between an obstacle and the cutter as it runs along the stock's edge
MOST_PAIRS = 200_000  # of walls held against each other; of more, only the whole size is looked at
MOST_PLACES = 4  # that are named; the list of what is left has all
SMALL_CUTTER = 3.0  # mm of diameter


def hazards(
    job: Job, part: Part, plan: OperationList, left: Sequence[Leftover], say: Say
) -> tuple[str, ...]:
    """One sentence or two for each thing to beware of, in the order of meeting it."""
    return (
        *_left_standing(left, say),
        *_changes_by_hand(job, plan),
        *_long_reach(job, plan),
        *_small_cutters(job, plan, say),
        *_obstacles(job, part, plan, say),
        *_beside_holes(job, part, plan, say),
        *_thin_ribs(part, plan, say),
    )


def _left_standing(left: Sequence[Leftover], say: Say) -> Iterator[str]:
    places = worth_telling(left)
    if not places:
        return
    where = ", ".join(f"X {say.z(p.x_mm)} Y {say.z(p.y_mm)}" for p in places[:MOST_PLACES])
    more = f" and {len(places) - MOST_PLACES} more" if len(places) > MOST_PLACES else ""
    highest = say.length(max(place.depth_mm for place in places))
    yield (
        f"LEFT STANDING: {counted(len(places), 'place')} that no cutter here reaches, "
        f"{'up to ' if len(places) > 1 else ''}{highest} high: {where}{more}. The part is not as "
        "drawn there; let whoever drew it say whether it may stay."
    )


def _changes_by_hand(job: Job, plan: OperationList) -> Iterator[str]:
    tools = used_tools(job, plan)
    if job.machine.tool_change != "manual":
        return
    names = ", ".join(f"T{tool.number}" for tool in tools)
    yield (
        f"Tools are changed by hand ({names}): the spindle at rest and kept from starting as the "
        "machine's manual says, number and stick-out against the list, spanner taken off, the "
        "length offset measured anew, before going on."
    )


def _long_reach(job: Job, plan: OperationList) -> Iterator[str]:
    for tool in used_tools(job, plan):
        reach = tool.stickout / tool.diameter
        if tool.kind not in ("drill", "face_mill") and reach >= LONG_REACH:
            yield (
                f"T{tool.number} sticks out {reach:.1f} times its diameter: it bends and may "
                "chatter or break. Grip it no longer than listed; when it sings, lower the speed "
                "or the feed, and stand clear of its plane."
            )


def _small_cutters(job: Job, plan: OperationList, say: Say) -> Iterator[str]:
    small = [tool for tool in used_tools(job, plan) if tool.diameter <= SMALL_CUTTER]
    for tool in small:
        yield (
            f"T{tool.number} of {say.length(tool.diameter)} breaks before one hears it: see that "
            "chips leave the flutes, and stop when the sound changes."
        )


def _obstacles(job: Job, part: Part, plan: OperationList, say: Say) -> Iterator[str]:
    """What stands so near the stock, and so high, that a cutter at its edge passes close by."""
    milling = [op for op in plan.operations if op.kind != "drill" and op.levels]
    if not milling:
        return
    lowest = min(level.bottom_mm for op in milling for level in op.levels)
    widest = max(job.tool(op.tool).diameter for op in milling)
    for blocked in part.obstacles:
        gap = narrowest_gap_between(part.stock, blocked.region)
        away = 0.0 if gap is None else gap.width
        if blocked.top > lowest - UNDER and away <= widest + NEAR:
            where = "touches the stock" if away < 0.001 else f"is {say.length(away)} from the stock"
            yield (
                f"{blocked.name} stands up to Z {say.bare(blocked.top)} and {where}: the cutter "
                "passes close by. Nothing of it may stand higher or nearer than drawn; watch the "
                "first passes there."
            )


def _beside_holes(job: Job, part: Part, plan: OperationList, say: Say) -> Iterator[str]:
    """Parallels and the like, beside a hole that goes deeper than they stand high."""
    for blocked in part.obstacles:
        near: dict[int, float] = {}
        for op in plan.operations:
            tool = job.tool(op.tool)
            bottom = min((level.bottom_mm for level in op.levels), default=math.inf)
            if op.kind != "drill" or op.cycle == "spot" or bottom >= blocked.top:
                continue
            asked = next(each for each in job.passes if each.name == op.id)
            for at in asked.at:
                gap = point_to_boundary(at.minus(job.datum.at), blocked.region).distance
                near[tool.number] = min(near.get(tool.number, math.inf), gap - tool.radius)
        for number, away in near.items():
            if away <= NEAR:
                yield (
                    f"{blocked.name} stands up to Z {say.bare(blocked.top)}, {say.length(away)} "
                    f"beside a hole that T{number} drills deeper: see that it lies where drawn."
                )


def _thin_ribs(part: Part, plan: OperationList, say: Say) -> Iterator[str]:
    floor = min((level.bottom_mm for op in plan.operations for level in op.levels), default=0.0)
    for region in part.standing:
        height = region.top - floor
        thin = _thickness(part, region)
        if thin > 0 and height > THIN_RIB * thin:
            yield (
                f"{region.name} is {say.length(thin)} thin and stands {say.length(height)} high: "
                "it bends and rings. Sharp cutter, light finish, both sides by turns or a spring "
                "pass, and measure before unclamping."
            )


def _thickness(part: Part, region: Standing) -> float:
    """The thinnest place of what stands within the stock, mm."""
    try:
        body = intersection(region.region, part.stock)
    except GeometryError:  # what the outlines lack is told elsewhere
        return 0.0
    if body.is_empty:
        return 0.0
    low_x, low_y, high_x, high_y = body.bounds
    least = min(high_x - low_x, high_y - low_y)
    try:
        web = thinnest_web(body, least, MOST_PAIRS)
    except TooManyWallsError:
        return least
    return least if web is None else min(least, web.width)
