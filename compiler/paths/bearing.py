"""What part of an operation's feed the cutter bears at every engaged angle.

The operation's feed is worked out for its steady cut. In an inner corner, or where more was left
than the allowance, the cutter is engaged further, if only for a moment. There the force is reckoned
as a mean over some turns, from the power that the removal rate takes (handbook formulas, see
`knowledge.power`), and the feed comes down until the cutter bends no more than it may.
"""

from __future__ import annotations

import math

from compiler.job.model import Job, Tool
from compiler.knowledge import bending, power, speeds
from compiler.plan.model import Operation

STEPS = 24  # engaged angles looked at: 0 to 180 degrees in steps of 7.5
FINISHING = ("finish_floor", "finish_walls")
LEAST_ANGLE = math.pi / STEPS


def borne_shares(job: Job, operation: Operation, tool: Tool) -> tuple[float, ...]:
    """Part of the feed that is borne at each engaged angle k pi / `STEPS`; never more than 1."""
    cutting = operation.cutting
    finish = operation.kind in FINISHING
    feed = cutting.finish_feed_mm_min if finish else cutting.feed_mm_min
    depth = max(level.top_mm - level.bottom_mm for level in operation.levels)
    most = bending.FINISHING_DEFLECTION if finish else bending.ROUGHING_DEFLECTION
    allowed = bending.largest_force(tool, most, bending.load_height(tool, depth))
    shares: list[float] = []
    for k in range(STEPS + 1):
        angle = max(k * math.pi / STEPS, LEAST_ANGLE)
        section = depth * tool.radius * (1 - math.cos(angle))
        shares.append(_share(job, tool, cutting.rpm, feed, section, allowed))
    return tuple(shares)


def _share(job: Job, tool: Tool, rpm: float, feed: float, section: float, allowed: float) -> float:
    """The part of the feed at which a section (mm2) of the cut makes no more force than allowed."""
    if section <= 0:  # nothing was left on the floor: the pass finds none of it
        return 1.0
    lower = feed
    # a thinner chip takes more force for its section, so once is not enough
    for _ in range(6):
        chip = speeds.chip_load(lower, rpm, tool.flutes)
        specific = power.specific_force(job.material.specific_cutting_force, chip)
        taken = power.cutting_power(section * lower, specific)
        force = power.mean_force(taken, speeds.surface_speed(rpm, tool.diameter))
        lower = min(feed, lower * allowed / force)
    return lower / feed
