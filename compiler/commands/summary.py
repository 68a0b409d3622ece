"""What a build says when it is done: the operations, the evidence, the files."""

from __future__ import annotations

from typing import TYPE_CHECKING

from compiler.units.number import decimal

if TYPE_CHECKING:
    from compiler.judge.model import Obligation
    from compiler.road import Journey


def clock(seconds: float) -> str:
    """A time as people say it: `45 s`, `3 min 05 s`, `1 h 02 min`."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    return f"{whole // 3600} h {whole % 3600 // 60:02d} min"


def summary(journey: Journey, files: list[str]) -> str:
    """The text for a terminal; one obligation a line, measured against allowed."""
    report, plan = journey.report, journey.plan
    assert report is not None and plan is not None
    lines = [
        f"{report.job}: {len(plan.operations)} operations, {len(plan.tools)} tools, "
        f"{clock(report.time_s)}, {report.blocks} blocks",
        "",
        "evidence, on the program as it was written:",
    ]
    width = max(len(entry.name) for entry in report.obligations)
    lines += [f"  {_obligation(entry, width)}" for entry in report.obligations]
    if report.leftovers:
        lines += ["", "what no cutter of this job reaches:"]
        lines += [
            f"  {decimal(left.area_mm2, 2)} mm2, {decimal(left.depth_mm, 2)} mm deep, "
            f"at X {decimal(left.x_mm, 2)} Y {decimal(left.y_mm, 2)} mm"
            + (
                f"; a cutter of {decimal(left.reaching_diameter_mm, 2)} mm would reach it"
                if left.reaching_diameter_mm
                else ""
            )
            for left in report.leftovers
        ]
    lines += ["", "wrote:", *(f"  {file}" for file in files)]
    return "\n".join(lines)


def _obligation(entry: Obligation, width: int) -> str:
    state = "held  " if entry.held else "BROKEN"
    numbers = ""
    if entry.measured is not None and entry.allowed is not None:
        numbers = f"  {decimal(entry.measured, 4)} against {decimal(entry.allowed, 4)} {entry.unit}".rstrip()
    return f"{entry.name.ljust(width)}  {state}{numbers}"
