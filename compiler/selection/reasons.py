"""Why each open pass has the cutter that it has, as the plan says it."""

from __future__ import annotations

from compiler.job.model import Job, Tool
from compiler.plan.choice import ROUGHING
from compiler.plan.model import ToolChoice, Trial
from compiler.selection.fitting import Fits
from compiler.selection.ground import Ground
from compiler.selection.rank import Way
from compiler.units.clock import clock
from compiler.units.number import Units, length


def reasons_of(
    job: Job, way: Way, choice: ToolChoice, fits: Fits, ground: Ground
) -> dict[str, str]:
    """By pass: which cutter, the job's time with it, and what the next best would take."""
    last = _last_at_walls(job)
    found: dict[str, str] = {}
    before: list[Tool] = []
    for asked in job.passes:
        tool = job.tool(asked.tool) if not asked.is_open else way.cutters[asked.name].tool
        if asked.is_open:
            said = [_against_others(asked.name, tool, choice, fits)]
            lowest = way.cutters[asked.name].operation.levels[-1]
            if asked.kind in ROUGHING:
                said.append(_gap(tool, before, ground.narrowest(lowest), job.units))
            if asked.name == last:
                said += _corners(
                    tool, ground.inside_radii(lowest), ground.has_sharp_corner(lowest), job.units
                )
            found[asked.name] = "; ".join(words for words in said if words)
        if asked.kind in ROUGHING:
            before.append(tool)
    return found


def _against_others(name: str, tool: Tool, choice: ToolChoice, fits: Fits) -> str:
    taken = choice.trials[0]
    head = f"{tool.name} chosen"
    if len(fits.by_pass[name]) == 1:
        return f"{head}: the only cutter at hand that fits"
    if taken.time_s is None:
        return f"{head} by estimate: no choice could be planned in full"
    said = f"{head}: the job takes {clock(taken.time_s)} with it"
    planned, reckoned = _next_best(name, tool.name, choice)
    if planned is not None and planned.time_s is not None:
        return f"{said}, {clock(planned.time_s)} with {planned.tools[name]}, the next best"
    if reckoned is not None:
        longer = max(1.0, taken.reckoned(reckoned.estimate_s) - taken.time_s)
        other = reckoned.tools[name]
        return f"{said}, by reckoning {clock(longer)} more with {other}, the next best"
    return f"{said}; the other cutters leave more standing"


def _next_best(name: str, tool: str, choice: ToolChoice) -> tuple[Trial | None, Trial | None]:
    """The quickest way with another cutter for this pass: as planned in full, and as reckoned."""
    others = [trial for trial in choice.trials[1:] if trial.tools[name] != tool]
    slowest = choice.trials[0].time_s or 0.0
    planned = [t for t in others if t.time_s is not None and t.time_s >= slowest]
    reckoned = [t for t in others if t.time_s is None and t.estimate_s > 0]
    return (
        min(planned, key=lambda trial: trial.time_s or 0.0, default=None),
        min(reckoned, key=lambda trial: trial.estimate_s, default=None),
    )


def _last_at_walls(job: Job) -> str:
    """The pass that leaves the walls as they will be; empty where none does."""
    finishing = [asked.name for asked in job.passes if asked.kind == "finish_walls"]
    roughing = [asked.name for asked in job.passes if asked.kind in ROUGHING]
    return (finishing or roughing or [""])[-1]


def _gap(tool: Tool, before: list[Tool], width: float | None, units: Units) -> str:
    """Whether it is the one that goes through the narrowest gap."""
    if width is None or tool.diameter >= width:
        return ""
    if before and min(each.diameter for each in before) < width:
        return ""
    said = f"goes through the narrowest gap, {length(width, units)}"
    if before:
        smallest = min(before, key=lambda each: each.diameter)
        said += f", which {smallest.name} does not"
    return said


def _corners(tool: Tool, radii: tuple[float, ...], has_sharp: bool, units: Units) -> list[str]:
    """What its radius means for inside corners."""
    said = []
    if radii and tool.radius <= radii[0] + 1e-6:
        said.append(f"fits the smallest inside radius, {length(radii[0], units)}")
    elif radii:
        said.append(
            f"is too large for the smallest inside radius, {length(radii[0], units)}, "
            "as are all that fit the pass"
        )
    if has_sharp:
        said.append(f"leaves {length(tool.radius, units)} of radius in sharp inside corners")
    return said
