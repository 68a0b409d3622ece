"""The operation list for people: one block an operation, in the job's units."""

from __future__ import annotations

from compiler.plan.model import Cutting, Level, Operation, OperationList, PlannedPlace
from compiler.units.number import counted, fixed, in_units, length, short

FEED_DECIMALS = {"inch": 1, "mm": 0}
HEIGHT_DECIMALS = {"inch": 4, "mm": 3}


def table(plan: OperationList) -> str:
    """The plan as text; heights as Z in the job's units, feeds by the minute."""
    unit = "in" if plan.units == "inch" else "mm"
    which = f", setup {plan.setup}" if plan.setup else ""
    many = counted(len(plan.operations), "operation")
    head = f"{plan.job}{which}  {many}, {unit}, {plan.work_offset}"
    if plan.number:
        head += f", {plan.number}" + (f" rev {plan.revision}" if plan.revision else "")
    lines = [
        head,
        f"clearance Z {_height(plan.clearance_mm, plan)}, "
        f"feed begins {length(plan.approach_mm, plan.units)} above the material",
        "",
        "tools",
    ]
    lines += [f"  {tool.name:<6} T{tool.number:<3} {tool.description}" for tool in plan.tools]
    if plan.parts is not None:
        lines += ["", f"{len(plan.parts.places)} parts, {plan.parts.order.replace('_', ' ')}"]
        lines += [f"  {_place(place, plan)}" for place in plan.parts.places]
        lines += [f"  - {said}" for said in plan.parts.reasons]
    for number, operation in enumerate(plan.operations, start=1):
        lines += ["", *_block(number, operation, plan)]
    return "\n".join(lines) + "\n"


def _place(place: PlannedPlace, plan: OperationList) -> str:
    assert plan.parts is not None
    if not plan.parts.is_said:
        return f"{place.work_offset}, wherever it is set"
    x, y = (length(value, plan.units) for value in (place.x_mm, place.y_mm))
    return f"{place.work_offset}, datum at X {x}, Y {y} from the first"


def _block(number: int, operation: Operation, plan: OperationList) -> list[str]:
    title = f"{number}  {operation.id}: {operation.kind} with {operation.tool}"
    if operation.pattern is not None:
        title += f", {operation.pattern}"
    at = operation.origin
    lines = [f"{title}   ({at.file}:{at.line})"]
    if operation.stop_before:
        lines.append("     stop before it")
    lines.append(f"     {_speeds(operation.cutting, plan)}, coolant {operation.coolant}")
    lines.append(f"     {_ways(operation, plan)}")
    lines += [f"     {_level(level, plan)}" for level in operation.levels]
    lines += [f"     - {said}" for said in (*operation.reasons, *operation.cutting.reasons)]
    return lines


def _speeds(cutting: Cutting, plan: OperationList) -> str:
    said = [f"{short(cutting.rpm, 0)} rpm", f"feed {_feed(cutting.feed_mm_min, plan)}"]
    said.append(f"slots {_feed(cutting.slot_feed_mm_min, plan)}")
    said.append(f"entry {_feed(cutting.entry_feed_mm_min, plan)}")
    said.append(f"finish {_feed(cutting.finish_feed_mm_min, plan)} {_per_minute(plan)}")
    return ", ".join(said)


def _ways(operation: Operation, plan: OperationList) -> str:
    if operation.kind == "drill":
        return _holes(operation, plan)
    said: list[str] = [operation.direction]
    if operation.pattern is not None:
        said.append(f"radial depth {length(operation.radial_depth_mm, plan.units)}")
    if operation.engagement_deg is not None:
        said.append(f"engagement {short(operation.engagement_deg, 1)} deg")
    if operation.angle_deg is not None:
        said.append(f"rows at {short(operation.angle_deg, 2)} deg")
    said.append(
        f"leaves {length(operation.wall_allowance_mm, plan.units)} on walls, "
        f"{length(operation.floor_allowance_mm, plan.units)} on floors"
    )
    if operation.wear_range_mm is not None:
        said.append(f"wear offset +-{length(operation.wear_range_mm, plan.units)}")
    if operation.spring_passes:
        said.append(f"spring passes {operation.spring_passes}")
    if operation.after:
        said.append("after " + ", ".join(operation.after))
    return ", ".join(said)


def _holes(operation: Operation, plan: OperationList) -> str:
    said = [f"cycle {operation.cycle}"]
    if operation.peck_mm is not None:
        said.append(f"pecks {length(operation.peck_mm, plan.units)}")
    if operation.dwell_s:
        said.append(f"stays {short(operation.dwell_s, 2)} s")
    return ", ".join(said)


def _level(level: Level, plan: OperationList) -> str:
    said = f"Z {_height(level.top_mm, plan):>9} to {_height(level.bottom_mm, plan):>9}"
    if level.over:
        said += f"   over {', '.join(level.over)}"
    if level.standing:
        said += f"   sparing {', '.join(level.standing)}"
    return said


def _height(mm: float, plan: OperationList) -> str:
    return fixed(in_units(mm, plan.units), HEIGHT_DECIMALS[plan.units])


def _feed(mm_min: float, plan: OperationList) -> str:
    return short(in_units(mm_min, plan.units), FEED_DECIMALS[plan.units])


def _per_minute(plan: OperationList) -> str:
    return "in/min" if plan.units == "inch" else "mm/min"
