"""The comments that a program opens with: which job, which tools, how it is set up."""

import math

from compiler.job import Job, Setup, Tool
from compiler.plan.model import OperationList
from compiler.units.number import Units, length
from compiler.write.comments import wrapped
from compiler.write.dialects import Dialect
from compiler.write.lines import Lines

KINDS = {
    "end_mill": "end mill",
    "bull_mill": "bull-nose end mill",
    "ball_mill": "ball-nose end mill",
    "face_mill": "face mill",
    "chamfer_mill": "chamfer mill",
    "drill": "drill",
}


def describe(tool: Tool, units: Units) -> str:
    """A tool in a few words: `end mill 0.5 in, 3 flutes, carbide, stick-out 1.25 in`."""
    words = [f"{KINDS[tool.kind]} {length(tool.diameter, units)}"]
    if tool.kind == "bull_mill" and tool.corner_radius:
        words.append(f"corner radius {length(tool.corner_radius, units)}")
    if tool.tip_angle:
        words.append(f"tip {math.degrees(tool.tip_angle):.4g} deg")
    words.append(f"{tool.flutes} flute{'' if tool.flutes == 1 else 's'}")
    words.append("HSS" if tool.material == "hss" else "carbide")
    words.append(f"stick-out {length(tool.stickout, units)}")
    return ", ".join(words)


def say_wear(lines: Lines, tool: Tool, wear: float, units: Units) -> None:
    """Which wear offset an operation reads, what it is set to, and how far it may be set."""
    said = length(wear, units)
    text = f"set to 0, from -{said} to +{said} on the radius, plus leaves more on the wall"
    for row in wrapped(f"wear D{tool.diameter_offset}", text, lines.style.comments, lines.room, 3):
        lines.plain(row)


def say_trial(lines: Lines, way: str, program: str) -> None:
    """Marks a program to prove a job with, first of all comments."""
    for label, text in (
        ("PROVE-OUT PROGRAM", way),
        ("PROVE-OUT PROGRAM", f"not the one to cut parts with: that is {program}"),
    ):
        for row in wrapped(label, text, lines.style.comments, lines.room, 4):
            lines.plain(row)


def how_it_lies(setup: Setup) -> str:
    """How the part gets from the setup before to this one."""
    if setup.number == 1:
        return "as drawn, uncut"
    pose = setup.pose
    said = {"none": "same side up", "x": "turned over about X", "y": "turned over about Y"}
    quarters = pose.quarters % 4
    turns = f", then {90 * quarters} deg counter-clockwise from above" if quarters else ""
    return f"{said[pose.over]}{turns}, from setup {setup.number - 1}"


def write_head(
    lines: Lines,
    job: Job,
    plan: OperationList,
    dialect: Dialect,
    version: str,
    change: float,
) -> None:
    """The header comments. Labels are ours; what follows them is cleaned author's text.

    `change` is the height for tool changes, stops and the end, mm.
    """
    units = job.units
    title = job.title

    def say(label: str, text: str, most: int = 2) -> None:
        if text:
            for row in wrapped(label, text, lines.style.comments, lines.room, most):
                lines.plain(row)

    number = lines.style.program_number
    if number is not None and not dialect.program_word:
        say("program number", str(number))
    say("job", title.name)
    if job.setup is not None:
        say("setup", f"{job.setup.number} of {job.setup.count}, {job.setup.name}")
        say("how it lies", how_it_lies(job.setup))
    say("title", title.title)
    say("number", title.number)
    say("revision", title.revision)
    say("digest", job.digest[:16])
    say("made by", f"standproud {version}, text to {dialect.title}")
    say("units", "inches" if units == "inch" else "millimetres")
    say("machine", job.machine.name.replace("_", " "))
    say("material", job.material.title or job.material.name)
    zero = "Z0 at the upper face of the stock"
    if job.stock.top:
        zero = f"upper face of the stock at Z {length(job.stock.top, units)}"
    say(job.datum.work_offset, f"X0 Y0 at {job.datum.said}, {zero}")
    say("found by", job.datum.found_by)
    if plan.parts is not None:
        say("parts", f"{len(plan.parts.places)}, {plan.parts.order.replace('_', ' ')}")
        for number, place in enumerate(plan.parts.places, 1):
            x, y = (length(value, units) for value in (place.x_mm, place.y_mm))
            where = f"X {x}, Y {y} from part 1" if plan.parts.is_said else "as it is set"
            say(f"part {number}", f"{place.work_offset}, {where}")
    say("held by", job.workholding.method)
    say("clearance", f"Z {length(plan.clearance_mm, units)}")
    if change > plan.clearance_mm:
        above = length(change - plan.clearance_mm, units)
        say(
            "tool changes", f"Z {length(change, units)}, {above} above clearance, stops and end too"
        )
    worn = {op.tool for op in plan.operations if op.wear_range_mm is not None}
    used = {operation.tool for operation in plan.operations}
    for tool in job.tools:
        if tool.name in used:
            offset = f", H{tool.length_offset}" if lines.style.length_offset else ""
            if tool.name in worn:
                offset += f", D{tool.diameter_offset} for wear"
            say(f"T{tool.number}{offset}", describe(tool, units))
    for note in (*title.notes, *job.material.cautions):
        say("note", note, most=3)
    say(
        "before start",
        "check datum, tools, offsets and holding against the setup sheet, then prove the program "
        "in air. The machine's manual and qualified people decide.",
        most=8,
    )
