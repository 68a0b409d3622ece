"""From job and part to the operation list: every pass gets its levels, its data and its reasons.

One pass after the other, carrying what the ones before have settled (`Settled`): the upper face,
the deepest floor, what is left on walls and floors. Findings of all passes are reported together.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from compiler.diagnostics import Diagnostic, Outcome, Span, has_errors
from compiler.job.model import Direction, Job, Pass, Pattern, Tool
from compiler.knowledge.cutting import axial_depth_for, work_out
from compiler.part.model import Part
from compiler.plan import choice, compensation, doubt, drilling, effort, fit, levels, refuse, sense
from compiler.plan.choice import Choice
from compiler.plan.edges import WIDTH, at_edge, edge_levels, too_wide_an_edge
from compiler.plan.model import Cutting, Level, Operation, OperationList, SourcePlace
from compiler.plan.parts import arranged
from compiler.plan.tools import planned_tools
from compiler.units.number import length


@dataclass(frozen=True, slots=True, kw_only=True)
class Settled:
    """What the passes so far leave for the next one to start from. Heights and allowances, mm."""

    top: float
    floor: float | None = None
    wall_left: float = 0.0
    floor_left: float = 0.0
    cleared_by: tuple[str, ...] = ()
    floor_is_refused: bool = False  # it is above what it starts from, which has been told


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """Everything decided about one pass before its levels and cutting data."""

    tool: Tool
    top: float
    floor: Choice[float]
    pattern: Choice[Pattern | None]
    direction: Choice[Direction]
    step: Choice[float]
    engagement: Choice[float | None]
    wall: Choice[float]
    above_floor: Choice[float]
    ramp: Choice[float]
    wear: Choice[float | None]

    def reasons(self) -> list[str]:
        """Why each is what it is, in the order that the table prints the values."""
        return list(
            choice.reasons(
                [
                    self.floor,
                    self.pattern,
                    self.engagement,
                    self.step,
                    self.direction,
                    self.wall,
                    self.above_floor,
                    self.ramp,
                    self.wear,
                ]
            )
        )


def lower(job: Job, part: Part) -> Outcome[OperationList]:
    """The operation list of a job.

    Returns no list where a pass has no floor; a list together with errors where passes can't be
    cut as asked. `part` is the job's own, in work coordinates.
    """
    operations: list[Operation] = []
    findings: list[Diagnostic] = []
    for operation, found in lower_each(job, part):
        findings += found
        if operation is not None:
            operations.append(operation)
    findings += (
        compensation.doubts(job)
        + doubt.reaches(job)
        + sense.order(job)
        + sense.beyond_travel(job, part)
        + effort.too_much_path(job, part, operations)
    )
    if not has_errors(findings):
        findings += fit.gaps(job, part, operations)
    if not operations or len(operations) < len(job.passes):
        return Outcome(None, tuple(findings))
    plan = OperationList(
        job=job.title.name,
        number=job.title.number,
        revision=job.title.revision,
        setup="" if job.setup is None else job.setup.name,
        digest=job.digest,
        units=job.units,
        work_offset=job.datum.work_offset,
        clearance_mm=round(part.clearance, 6),
        approach_mm=round(part.approach, 6),
        tools=planned_tools(job),
        operations=tuple(operations),
        parts=arranged(job, operations),
    )
    return Outcome(plan, tuple(findings))


def lower_each(job: Job, part: Part) -> list[tuple[Operation | None, list[Diagnostic]]]:
    """Each pass by itself, in order: its operation, or none, and what is found about it."""
    settled = Settled(top=part.stock_top)
    lowered: list[tuple[Operation | None, list[Diagnostic]]] = []
    for place in range(len(job.passes)):
        operation, settled, found = _lower_pass(job, part, place, settled)
        lowered.append((operation, found))
    return lowered


def _lower_pass(
    job: Job, part: Part, place: int, settled: Settled
) -> tuple[Operation | None, Settled, list[Diagnostic]]:
    asked = job.passes[place]
    tool = job.tool(asked.tool)
    findings = refuse.unsuited(asked, tool) + refuse.idle_regions(asked)
    findings += refuse.without_figures(asked, tool, job.material) + doubt.coolant(job, asked)
    if has_errors(findings):
        return None, settled, findings
    floor = _floor(asked, part, settled, job)
    if floor is None:
        return None, settled, [*findings, refuse.no_floor(asked, part, job, place)]
    chosen = _choose(job, place, tool, floor, settled)
    upside_down = refuse.upside_down(asked, chosen.top, floor.value, job)
    if upside_down and settled.floor_is_refused and asked.to is None and asked.start is None:
        return None, settled, findings
    settled = replace(settled, floor_is_refused=bool(upside_down))
    findings += upside_down
    findings += refuse.too_deep(asked, floor.value, part, job)
    if asked.kind in choice.CLEARING:
        findings += refuse.too_wide_a_step(asked, tool, chosen.step.value, job)
    if asked.kind == "break_edges":
        findings += too_wide_an_edge(asked, tool, settled.floor, part, job)
    if asked.kind == "drill":
        findings += refuse.no_holes(asked) + refuse.point_below(asked, tool, floor.value, job)
    if asked.kind == "face":
        findings += refuse.stands_above_face(asked, floor.value, part, job)
    axial = _axial_depth(job, asked, chosen)
    if asked.axial_depth is not None:
        findings += refuse.too_long_a_cut(asked, tool, axial.value, job)
    if has_errors(findings):
        return None, _after(asked, settled, chosen), findings
    operation = _operation(job, part, asked, chosen, axial, settled)
    findings += doubt.given(job, asked, operation)
    return operation, _after(asked, settled, chosen), findings


def _floor(asked: Pass, part: Part, settled: Settled, job: Job) -> Choice[float] | None:
    if asked.to is not None:
        return Choice(asked.to)
    if asked.kind == "break_edges" and part.own:
        return Choice(min(s.top for s in part.own) - (asked.width or 0.0))
    if asked.kind == "face":
        highest = max((s.top for s in part.own), default=settled.top)
        if highest < settled.top - levels.SAME:
            said = f"to {length(highest, job.units)}: the highest keep region's top"
            return Choice(highest, said)
        return None
    if settled.floor is None:
        return None
    said = f"to {length(settled.floor, job.units)}: the deepest floor before it"
    return Choice(settled.floor, said)


def _choose(job: Job, place: int, tool: Tool, floor: Choice[float], settled: Settled) -> Chosen:
    asked = job.passes[place]
    pattern = choice.pattern(asked)
    step = choice.step(asked, tool, pattern.value, job.units)
    if asked.kind == "drill":
        step = Choice(tool.diameter)
    elif asked.kind == "break_edges":
        step = Choice(asked.width or WIDTH)
    elif asked.kind == "finish_walls":
        step = Choice(max(settled.wall_left, 0.01 * tool.diameter))
    return Chosen(
        tool=tool,
        top=asked.start if asked.start is not None else settled.top,
        floor=floor,
        pattern=pattern,
        direction=choice.direction(asked, pattern.value),
        step=step,
        engagement=choice.engagement(asked, tool, pattern.value),
        wall=choice.wall_allowance(job, place, settled.wall_left),
        above_floor=choice.floor_allowance(job, place),
        ramp=choice.ramp_angle(asked, job.material.max_ramp_angle),
        wear=compensation.wear_range(asked, job),
    )


def _axial_depth(job: Job, asked: Pass, chosen: Chosen) -> Choice[float]:
    """Most that one level may take, mm."""
    tool = chosen.tool
    if asked.axial_depth is not None:
        return Choice(asked.axial_depth)
    if asked.kind in ("finish_walls", "drill", "break_edges"):
        return Choice(tool.flute_length)
    if asked.kind == "finish_floor":
        return Choice(tool.flute_length)
    # rows that follow outlines or run straight begin as a slot; only the engagement limit spares
    # the cutter that
    slots = chosen.pattern.value != "constant_engagement" and asked.kind != "face"
    width = tool.diameter if slots else chosen.step.value
    borne = axial_depth_for(tool, job.material, width)
    if borne < tool.flute_length:
        what = "its rows begin as slots" if slots else "at this radial depth"
        said = f"what {job.material.title or job.material.name} and the tool bear, {what}"
    else:
        borne, said = tool.flute_length, "the length of the flutes"
    return Choice(borne, f"axial depth up to {length(borne, job.units)}: {said}")


def _levels(
    part: Part, asked: Pass, chosen: Chosen, axial: float, settled: Settled
) -> tuple[Level, ...]:
    top, floor, left = chosen.top, chosen.floor.value, chosen.above_floor.value
    match asked.kind:
        case "finish_floor":
            return levels.floors(
                part, top=top, floor=floor, floor_left=settled.floor_left, allowance=left
            )
        case "finish_walls":
            return levels.walls(part, top=top, floor=floor, reach=axial)
        case "drill":
            return (Level(top_mm=top, bottom_mm=floor, standing=()),)
        case "break_edges":
            return edge_levels(part, asked, chosen.tool)
        case _:
            return levels.clearing(part, top=top, floor=floor, axial=axial, floor_allowance=left)


def _operation(
    job: Job, part: Part, asked: Pass, chosen: Chosen, axial: Choice[float], settled: Settled
) -> Operation:
    depths = _levels(part, asked, chosen, axial.value, settled)
    deepest = max(each.top_mm - each.bottom_mm for each in depths)
    if asked.kind == "drill":
        # a drill's edges cut as deep as its point is high, whatever the hole's depth
        deepest = min(deepest, chosen.tool.diameter / 2)
    notes = chosen.reasons() + list(choice.reasons([axial]))
    if asked.kind in choice.ROUGHING and len(depths) > 1:
        notes.append(f"{len(depths)} levels of at most {length(deepest, job.units)}")
    engagement = chosen.engagement.value
    cutting = _cutting(job, asked, chosen, deepest)
    peck = drilling.peck(asked, chosen.tool, job)
    dwell = drilling.dwell(asked, cutting.rpm)
    notes += choice.reasons([peck, dwell])
    notes += choice.reasons([choice.foot(asked, chosen.tool, job.units), choice.coolant(asked)])
    if asked.kind in choice.CLEARING:
        notes.append(choice.link_feed(job.machine, cutting.feed_mm_min, job.units).reason)
    return Operation(
        id=asked.name,
        kind=asked.kind,
        tool=asked.tool,
        pattern=chosen.pattern.value,
        regions=asked.regions if asked.kind in ("finish_walls", "break_edges") else None,
        levels=depths,
        wall_allowance_mm=_neat(chosen.wall.value),
        wall_allowance_by_region_mm={
            s.name: _neat(s.wall_allowance)
            for s in part.standing
            if s.wall_allowance is not None and asked.kind not in ("drill", "break_edges")
        },
        floor_allowance_mm=_neat(chosen.above_floor.value),
        radial_depth_mm=_neat(chosen.step.value),
        engagement_deg=None if engagement is None else _neat(math.degrees(engagement)),
        direction=chosen.direction.value,
        angle_deg=None if asked.angle is None else _neat(math.degrees(asked.angle)),
        max_ramp_angle_deg=_neat(math.degrees(chosen.ramp.value)),
        helix_diameter_mm=asked.entry.helix_diameter,
        spring_passes=asked.spring_passes,
        compensation=asked.compensation,
        wear_range_mm=None if chosen.wear.value is None else _neat(chosen.wear.value),
        cycle=asked.cycle if asked.kind == "drill" else None,
        peck_mm=None if peck.value is None else _neat(peck.value),
        dwell_s=dwell.value,
        after=_after_which(asked, settled),
        count=asked.count,
        cutting=cutting,
        coolant=choice.coolant(asked).value,
        stop_before=asked.stop_before,
        about=asked.about,
        origin=_source_place(asked.origin),
        reasons=tuple(notes),
    )


def _cutting(job: Job, asked: Pass, chosen: Chosen, axial: float) -> Cutting:
    tool = chosen.tool if asked.kind != "break_edges" else at_edge(asked, chosen.tool)
    data = work_out(
        tool=tool,
        material=job.material,
        machine=job.machine,
        given=asked.cutting,
        axial_depth=axial,
        radial_depth=chosen.step.value,
        engagement=chosen.engagement.value,
        finish=asked.kind in ("finish_floor", "finish_walls"),
        units=job.units,
    )
    return Cutting(
        rpm=_neat(data.rpm),
        surface_speed_m_min=_neat(data.surface_speed),
        feed_mm_min=_neat(data.feed),
        slot_feed_mm_min=_neat(data.slot_feed),
        entry_feed_mm_min=_neat(data.entry_feed),
        plunge_feed_mm_min=_neat(data.plunge_feed),
        finish_feed_mm_min=_neat(data.finish_feed),
        chip_load_mm=_neat(data.chip_load),
        reasons=tuple(data.reasons),
    )


def _after_which(asked: Pass, settled: Settled) -> tuple[str, ...]:
    if asked.kind != "rest":
        return ()
    return asked.after if asked.after is not None else settled.cleared_by


def _after(asked: Pass, settled: Settled, chosen: Chosen) -> Settled:
    """What the next pass starts from."""
    floor = chosen.floor.value
    match asked.kind:
        case "face":
            return replace(settled, top=min(settled.top, floor))
        case "rough" | "rest":
            deepest = floor if settled.floor is None else min(settled.floor, floor)
            return replace(
                settled,
                floor=deepest,
                wall_left=chosen.wall.value,
                floor_left=chosen.above_floor.value,
                cleared_by=(*settled.cleared_by, asked.name),
            )
        case "finish_floor":
            deepest = floor if settled.floor is None else min(settled.floor, floor)
            return replace(settled, floor=deepest, floor_left=chosen.above_floor.value)
        case "finish_walls":
            return replace(settled, wall_left=chosen.wall.value)
        case _:
            return settled


def _source_place(span: Span) -> SourcePlace:
    return SourcePlace(file=span.file, line=span.line, column=span.column)


def _neat(value: float) -> float:
    """Six decimals: the list is read and compared, binary dust is neither."""
    return round(value, 6) + 0.0
