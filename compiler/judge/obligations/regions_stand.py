"""No tool, at any height, comes nearer to a keep region than its radius, less 0.0025 mm.

By exact distances between moves and outlines, not by the raster. A wall cut to size is met with no
room at all, and that is allowed. Two things may enter a region because the job asks for them: a
drill at a declared place, straight down, and a chamfer mill as deep as the declared edge. Where the
control shifts a wall's path by a wear offset, the wall may be entered by as much.
"""

import math

from compiler.judge.case import SLACK, Case
from compiler.judge.declared import declared_holes, edge_widths
from compiler.judge.model import Obligation
from compiler.judge.spared import Nearest, nearest
from compiler.read import Motion


def check(case: Case) -> Obligation:
    """The least room between any cutter and any keep region."""
    worst = Nearest(math.inf, -1)
    name = ""
    widths = edge_widths(case)
    skip = declared_holes(case) | ~case.known

    tools = {tool.number: tool for tool in reversed(case.job.tools)}

    def radius_at(motion: Motion, height: float) -> float:
        number = motion.state.tool
        tool = None if number is None else tools.get(number)
        if tool is None:
            return 0.0
        profile = case.profiles[tool.name]
        radius = profile.radius_at(height) - case.towards_wall(motion)
        if tool.name in widths:
            # the cone may take the edge off: less its width, but never less than its own tip
            return max(profile.radius_at(0.0), radius - widths[tool.name])
        return radius

    most = max((tool.radius for tool in case.job.tools), default=0.0)
    for standing in case.part.standing:
        found = nearest(
            case.motions,
            case.tracks,
            case.z_low,
            standing.region,
            standing.top,
            radius_at,
            most_radius=most,
            skip=skip,
        )
        if found.room < worst.room:
            worst, name = found, standing.name
    return _told(case, worst, name)


def _told(case: Case, worst: Nearest, name: str) -> Obligation:
    if worst.index < 0 or math.isinf(worst.room):
        return Obligation(
            name="regions_stand",
            held=True,
            what="No cutter comes near a keep region below its top.",
            allowed=-SLACK,
            unit="mm",
        )
    held = worst.room >= -SLACK
    if held:
        what = f"The nearest cut runs {case.length(max(worst.room, 0.0))} clear of `{name}`."
        remedy = ""
    else:
        what = f"A cut goes {case.length(-worst.room)} into keep region `{name}`."
        remedy = _more_decimals(case, -worst.room) or (
            f"keep the cutter's centre {case.length(worst.radius)} off `{name}` there; "
            f"it comes to {case.length(worst.distance)}"
        )
    return Obligation(
        name="regions_stand",
        held=held,
        what=what,
        measured=worst.room,
        allowed=-SLACK,
        margin=worst.room + SLACK,
        unit="mm",
        worst=case.place(worst.index, z=float(case.z_low[worst.index])),
        remedy=remedy,
    )


def _more_decimals(case: Case, by: float) -> str:
    """What to do where rounding to the control's few decimals alone can have done it; else empty.

    Start, end and centre of an arc are each rounded by up to half a step in X and in Y: together
    3 x sqrt(2) / 2 steps (plane geometry).
    """
    decimals = case.job.machine.program.decimals
    if decimals is None:
        return ""
    step = (25.4 if case.job.units == "inch" else 1.0) * 10.0**-decimals
    if by > 3 * math.sqrt(2) / 2 * step:
        return ""
    return (
        f"give the machine's `program` more decimals, as `decimals: {decimals + 1}`: with "
        f"{decimals} rounding alone moves an arc so far"
    )
