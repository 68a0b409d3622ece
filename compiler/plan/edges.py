"""Where the tip of a chamfer mill runs to break an edge of a given width, and whether it can."""

from __future__ import annotations

import math
from dataclasses import replace

from compiler.diagnostics import Diagnostic, Label
from compiler.job.model import Job, Pass, Tool
from compiler.part.model import Part
from compiler.plan.levels import SAME, level
from compiler.plan.model import Level
from compiler.plan.refuse import finding
from compiler.units.number import length

FREE_TIP = 0.2  # mm that the tip hangs below the chamfer: it has no speed to cut with
WIDTH = 0.25  # mm, where the author says none (common practice, no source)


def depth_of(width: float, tool: Tool) -> float:
    """How far below the edge the tip runs, mm: the chamfer's own depth and a free tip."""
    return width / math.tan(tool.tip_angle / 2) + FREE_TIP


def at_edge(asked: Pass, tool: Tool) -> Tool:
    """The tool as a cutter of the diameter that it has where it breaks the edge.

    The cone cuts near its tip, and chip load goes by the diameter there.
    """
    depth = depth_of(asked.width or WIDTH, tool)
    wide = tool.tip_diameter + 2 * depth * math.tan(tool.tip_angle / 2)
    return replace(tool, diameter=min(tool.diameter, wide))


def edge_levels(part: Part, asked: Pass, tool: Tool) -> tuple[Level, ...]:
    """One level for each height of edges, highest first, over the regions that have them."""
    depth = depth_of(asked.width or WIDTH, tool)
    rest = {s.name: s.top for s in part.standing}
    chosen = [s for s in part.own if asked.regions is None or s.name in asked.regions]
    return tuple(
        level(part, z, z - depth, rest, tuple(s.name for s in chosen if abs(s.top - z) < SAME))
        for z in sorted({s.top for s in chosen}, reverse=True)
    )


def too_wide_an_edge(
    asked: Pass, tool: Tool, floor: float | None, part: Part, job: Job
) -> list[Diagnostic]:
    """Whether the cone is wide enough for the edge, and the wall below it high enough."""
    width = asked.width or WIDTH
    if tool.kind != "chamfer_mill" or tool.tip_angle <= 0:
        return []
    slope = math.tan(tool.tip_angle / 2)
    widest = tool.radius - tool.tip_diameter / 2 - FREE_TIP * slope
    lowest = min((s.top for s in part.own), default=part.stock_top)
    if floor is not None:
        widest = min(widest, (lowest - floor - FREE_TIP) * slope)
    if width <= widest + SAME:
        return []
    return [
        finding(
            "E413",
            asked,
            f"an edge of {length(width, job.units)} is more than `{tool.name}` can break here",
            f"set `width` to {length(max(widest, 0.0), job.units)} or less",
            "width",
            also=(Label(tool.origin, "the tool"),),
        )
    ]
