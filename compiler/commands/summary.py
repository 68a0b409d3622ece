"""What a build says when it is done: the operations, the evidence, the files."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from compiler.units.clock import clock
from compiler.units.figures import in_job_units
from compiler.units.number import Units, counted, fixed, short

if TYPE_CHECKING:
    from compiler.judge.model import Leftover, Obligation, Report
    from compiler.plan.model import OperationList


UNREACHED = "left standing, for no cutter of this job reaches it"


def summary(setups: Sequence[tuple[OperationList, Report]], files: list[str]) -> str:
    """The text for a terminal, in the job's units; one obligation a line, measured and allowed.

    For each setup its plan and its evidence.
    """
    lines: list[str] = []
    for plan, report in setups:
        lines += [*_one(plan, report), ""]
    return "\n".join([*lines, "wrote:", *(f"  {file}" for file in files)])


def _one(plan: OperationList, report: Report) -> list[str]:
    lines = [
        f"{report.job}{f', setup {plan.setup}' if plan.setup else ''}: "
        f"{counted(len(plan.operations), 'operation')}, {counted(len(plan.tools), 'tool')}, "
        f"{clock(report.time_s)}, {report.blocks} blocks",
        "",
        "evidence, on the program as it was written:",
    ]
    lines += evidence(report.obligations, plan.units)
    if report.leftovers:
        lines += ["", f"{UNREACHED}:", *left_over(report, plan.units)]
    return lines


def evidence(entries: Sequence[Obligation], units: Units, *, differs: bool = False) -> list[str]:
    """One obligation a line: held or broken, measured against allowed.

    `differs`: the text need not be the planned one, and `text_true` only tells whether it is.
    """
    width = max(len(entry.name) for entry in entries)
    return [f"  {_obligation(entry, width, units, differs)}" for entry in entries]


def left_over(report: Report, units: Units) -> list[str]:
    """A line for each place where material stays."""
    return [f"  {_leftover(left, units)}" for left in report.leftovers]


def _figure(value: float, unit: str, units: Units, decimals: int) -> str:
    number, name = in_job_units(value, unit, units)
    return f"{short(number, decimals + (units == 'inch'))} {_squared(name)}"


def _squared(unit: str) -> str:
    """A unit as print has it: `mm²` for `mm2`."""
    return unit.replace("2", "²")


def _obligation(entry: Obligation, width: int, units: Units, differs: bool) -> str:
    broken = "differs" if differs and entry.name == "text_true" else "BROKEN"
    state = "held  " if entry.held else broken
    numbers = ""
    if entry.measured is not None and entry.allowed is not None:
        measured, _ = in_job_units(entry.measured, entry.unit, units)
        allowed, unit = in_job_units(entry.allowed, entry.unit, units)
        numbers = f"  {fixed(measured, 4)} against {fixed(allowed, 4)} {_squared(unit)}".rstrip()
        if entry.margin is not None:
            margin, _ = in_job_units(entry.margin, entry.unit, units)
            numbers += f", margin {fixed(margin, 4)}"
    return f"{entry.name.ljust(width)}  {state}{numbers}"


def _leftover(left: Leftover, units: Units) -> str:
    area = _figure(left.area_mm2, "mm2", units, 2)
    depth = _figure(left.depth_mm, "mm", units, 2)
    barred = f"; obstacle `{left.obstacle}` is in the way" if left.obstacle else ""
    x, _ = in_job_units(left.x_mm, "mm", units)
    y, _ = in_job_units(left.y_mm, "mm", units)
    if left.fillet_radius_mm:
        corner = _figure(left.fillet_radius_mm, "mm", units, 3)
        return f"{area} along the foot of walls: a fillet of {corner}, the cutter's corner radius"
    reach = ""
    if left.reaching_diameter_mm:
        cutter = _figure(left.reaching_diameter_mm, "mm", units, 2)
        reach = f"; a cutter of {cutter} would reach it"
    return f"{area}, {depth} deep, at X {short(x, 3)} Y {short(y, 3)}{barred or reach}"
