"""The tools, as the setter gathers them."""

import math

from compiler.job import Job, Tool
from compiler.judge.wear import wear_offsets
from compiler.plan.model import OperationList
from compiler.sheet.content import Section, Table
from compiler.sheet.say import Say

KINDS = {
    "end_mill": "End mill",
    "bull_mill": "Bull-nose end mill",
    "ball_mill": "Ball-nose end mill",
    "face_mill": "Face mill",
    "chamfer_mill": "Chamfer mill",
    "drill": "Drill",
}


def used_tools(job: Job, plan: OperationList) -> tuple[Tool, ...]:
    """The tools that the plan uses, in the order of first use."""
    return tuple(job.tool(name) for name in dict.fromkeys(op.tool for op in plan.operations))


def tools(job: Job, plan: OperationList, say: Say) -> Section:
    """One row a tool: what it is, how far it sticks out, which offsets it takes."""
    worn = {op.tool for op in plan.operations if op.wear_range_mm is not None}
    rows = tuple(_row(tool, job, say, tool.name in worn) for tool in used_tools(job, plan))
    return Section(
        "tools",
        f"Tools ({say.unit})",
        (
            Table(
                ("No.", "Tool", "Ø", "Teeth", "Flute length", "Stick-out", "Holder", "Offsets"),
                rows,
                (0.9, 4.4, 1.2, 0.9, 1.4, 1.4, 1.9, 1.4),
                frozenset({2, 3, 4, 5}),
            ),
        ),
    )


def wear(job: Job, plan: OperationList, say: Say) -> tuple[str, ...]:
    """What to set the wear offsets to that the program reads, and how far they may be set."""
    said: list[str] = []
    for offset in wear_offsets(job, plan):
        number, tool = f"D{offset.number}", job.tool(offset.tool)
        most = say.length(offset.most_mm)
        said.append(
            f"{number} (wear of T{tool.number}) set to 0, not to the cutter's size. Later from "
            f"-{most} to +{most} on the radius, twice that where the control keeps diameters; plus "
            "leaves more on the wall, minus takes more off. Beyond that nothing is proven."
        )
    return tuple(said)


def _row(tool: Tool, job: Job, say: Say, is_worn: bool) -> tuple[str, ...]:
    words = [KINDS[tool.kind], "HSS" if tool.material == "hss" else "carbide"]
    if tool.corner_radius:
        words.append(f"corner radius {say.bare(tool.corner_radius)}")
    if tool.tip_angle:
        words.append(f"tip {math.degrees(tool.tip_angle):.4g}°")
    if tool.tip_diameter:
        words.append(f"tip Ø {say.bare(tool.tip_diameter)}")
    if tool.kind in ("end_mill", "bull_mill", "ball_mill"):
        words.append("cuts over centre" if tool.centre_cutting else "not over centre")
    if tool.crib:
        words.append(f"crib: {tool.crib}")
    if tool.about:
        words.append(tool.about)
    holder = "not said"
    if tool.holder is not None:
        holder = f"Ø{say.bare(tool.holder.diameter)} × {say.bare(tool.holder.length)}"
    offsets = f"H{tool.length_offset}"
    if not job.machine.program.length_offset:
        offsets = "set Z0 by hand"
    if is_worn:
        offsets += f", wear D{tool.diameter_offset}"
    return (
        f"T{tool.number}",
        ", ".join(words),
        say.bare(tool.diameter),
        str(tool.flutes),
        say.bare(tool.flute_length),
        say.bare(tool.stickout),
        holder,
        offsets,
    )
