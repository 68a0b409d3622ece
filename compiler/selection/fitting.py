"""Which cutters can do an open pass at all, and why the others can't."""

from __future__ import annotations

from dataclasses import dataclass

from compiler.diagnostics import Diagnostic, Severity
from compiler.job.model import Job, Machine, Material, Tool
from compiler.knowledge import speeds
from compiler.part.model import Part
from compiler.plan.lower import lower_each
from compiler.plan.model import Level, Operation, PassedOver
from compiler.plan.refuse import SUITED
from compiler.plan.room import SPECK, within_reach
from compiler.selection.name import shelf, with_tools
from compiler.units.number import Units, length

# Common practice, no source, both.
LONGEST_REACH = 8.0  # diameters: beyond that hardly any cut is steady
FASTEST = 1.5  # times the table's cutting speed, at the slowest that the machine turns


@dataclass(frozen=True, slots=True)
class Fit:
    """A cutter that can do a pass, with the operation that it would be."""

    tool: Tool
    operation: Operation


@dataclass(frozen=True, slots=True, kw_only=True)
class Fits:
    """What fits each open pass, by its name; what falls out; the other passes' operations."""

    by_pass: dict[str, tuple[Fit, ...]]
    passed_over: tuple[PassedOver, ...]
    fixed: dict[str, Operation]


def fits(job: Job, part: Part) -> Fits:
    """Every cutter of the job and its crib, tried on every open pass that it suits."""
    found: dict[str, list[Fit]] = {asked.name: [] for asked in job.open_passes}
    over: list[PassedOver] = []
    fixed: dict[str, Operation] = {}
    pool = shelf(job)
    for tool in pool:
        suited = [asked for asked in job.open_passes if tool.kind in SUITED[asked.kind]]
        if not suited:
            continue
        why = _unsteady(tool, job.material, job.machine)
        lowered = {} if why else _lowered(job, part, tool, pool)
        for asked in suited:
            operation, findings = lowered.get(asked.name, (None, []))
            said = why or _unfit(part, operation, findings, tool, job.units)
            if said:
                over.append(PassedOver(operation=asked.name, tool=tool.name, why=said))
            elif operation is not None:
                found[asked.name].append(Fit(tool, operation))
        for asked in job.passes:
            operation = lowered.get(asked.name, (None, []))[0]
            if not asked.is_open and operation is not None:
                fixed.setdefault(asked.name, operation)
    return Fits(
        by_pass={name: tuple(those) for name, those in found.items()},
        passed_over=tuple(over),
        fixed=fixed,
    )


def _lowered(
    job: Job, part: Part, tool: Tool, pool: tuple[Tool, ...]
) -> dict[str, tuple[Operation | None, list[Diagnostic]]]:
    """Every pass's operation with this cutter in all open passes that it suits; in the others
    stands any that does.
    """
    cutters = {}
    for asked in job.open_passes:
        able = [each for each in (tool, *pool) if each.kind in SUITED[asked.kind]]
        able = [each for each in able if each.material in job.material.cutting_speed]
        cutters[asked.name] = able[0] if able else tool
    whole = with_tools(job, cutters)
    names = [asked.name for asked in whole.passes]
    return dict(zip(names, lower_each(whole, part), strict=True))


def _unsteady(tool: Tool, material: Material, machine: Machine) -> str:
    """Why no pass should be cut with it on this machine in this material; empty where none."""
    table = material.cutting_speed.get(tool.material)
    if table is None or tool.material not in material.chip_load:
        return f"{material.title or material.name} has no figures for {tool.material}"
    reach = tool.stickout / tool.diameter
    if tool.kind != "face_mill" and reach > LONGEST_REACH:
        return f"it sticks out {reach:.1f} diameters; beyond {LONGEST_REACH:.0f} no cut is steady"
    slowest = speeds.surface_speed(machine.min_rpm, tool.diameter)
    if slowest > FASTEST * table:
        return f"even {machine.min_rpm:.0f} rpm, the machine's least, is too fast for it"
    return ""


def _unfit(
    part: Part,
    operation: Operation | None,
    findings: list[Diagnostic],
    tool: Tool,
    units: Units,
) -> str:
    """Why it can't do this pass; empty where it can."""
    faults = [found for found in findings if found.severity is Severity.ERROR]
    if faults or operation is None:
        return faults[0].message if faults else "it can't cut this pass"
    if operation.kind == "break_edges":
        return ""
    short = [said for level in operation.levels if (said := _too_short(part, level, tool, units))]
    if short:
        return short[0]
    if not any(
        within_reach(part, level, operation, tool).area > SPECK for level in operation.levels
    ):
        return "it goes into no gap"
    return ""


def _too_short(part: Part, level: Level, tool: Tool, units: Units) -> str:
    """Why shank or holder would touch what stands beside the level; empty where they don't."""
    tops = [region.top for region in part.standing if region.name in level.standing]
    beside = max(tops, default=level.top_mm) - level.bottom_mm
    wide = tool.holder is not None and tool.holder.diameter > tool.diameter
    if wide and beside > tool.stickout:
        return (
            f"its holder would touch: walls stand {length(beside, units)} beside it, it sticks "
            f"out {length(tool.stickout, units)}"
        )
    if tool.shank_diameter > tool.diameter and beside > tool.flute_length:
        return (
            f"its shank would rub: walls stand {length(beside, units)} beside it, its flutes are "
            f"{length(tool.flute_length, units)}"
        )
    return ""
