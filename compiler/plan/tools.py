"""The tools as the operation list names them."""

from __future__ import annotations

import math

from compiler.job.model import Job, Tool
from compiler.plan.model import PlannedTool
from compiler.units.number import length, short


def planned_tools(job: Job) -> tuple[PlannedTool, ...]:
    """The tools that the job's passes use, in the job's own order."""
    used = dict.fromkeys(asked.tool for asked in job.passes)
    return tuple(
        PlannedTool(
            name=tool.name,
            number=tool.number,
            description=describe(tool, job),
            diameter_mm=tool.diameter,
        )
        for tool in job.tools
        if tool.name in used
    )


def describe(tool: Tool, job: Job) -> str:
    """A tool in a few words, as `0.5 in end mill, 3 flutes, carbide`."""
    words = f"{length(tool.diameter, job.units)} {tool.kind.replace('_', ' ')}"
    if tool.corner_radius:
        words += f" with {length(tool.corner_radius, job.units)} corner radius"
    if tool.tip_angle:
        words += f", {short(math.degrees(tool.tip_angle), 1)} degree tip"
    flutes = "flute" if tool.flutes == 1 else "flutes"
    return f"{words}, {tool.flutes} {flutes}, {tool.material}"
