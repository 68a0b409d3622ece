"""Motions in, program text out, each line with the operation it belongs to.

The order of a tool's section: stop, coolant off, change, every modal state, work offset, spindle,
coolant, length offset at the height for changing tools, across there, and only then down to
clearance. It can be started there.
"""

from dataclasses import dataclass

from compiler import __version__
from compiler.job import CoolantKind, Job, Tool
from compiler.motion import Motions, OperationPath
from compiler.plan.model import OperationList
from compiler.write.blocks import write_path
from compiler.write.dialects import DIALECTS, Dialect
from compiler.write.digits import Digits, digits_for
from compiler.write.head import describe, say_trial, say_wear, write_head
from compiler.write.lines import Lines
from compiler.write.offsets import go_home, has_offsets, in_their_offsets, offset_of

CHANGE_LIFT = 50.0  # mm above clearance to change tools by hand; common practice, no source

COOLANT_WORDS: dict[CoolantKind, str] = {"flood": "M8", "mist": "M7", "air": "M7", "none": "M9"}


@dataclass(frozen=True, slots=True)
class Written:
    """A program's text, ASCII with a line feed after every line, and who owns each line."""

    text: str
    line_owner: tuple[str | None, ...]


@dataclass(frozen=True, slots=True)
class Trial:
    """Marks a program that a job is tried with: how it differs, from which, and where it stops."""

    way: str
    program: str  # the real one: its file and digest
    stops: bool = False  # before each tool, and above the first place of each operation


def write(
    *, job: Job, plan: OperationList, motions: Motions, trial: Trial | None = None
) -> Written:
    """Put motions into the words of the job's machine.

    Args:
        job: For title, units, tools, machine and its way with text.
        plan: For what the comments say of each operation.
        motions: What is to be cut, mm, in cutting order.
        trial: Where the program is not the one that cuts, but the one to prove it with.

    Returns:
        The text and who owns each of its lines.
    """
    style = job.machine.program
    dialect = DIALECTS[style.standard]
    inch = job.units == "inch"
    digits = digits_for(inch=inch, decimals=style.decimals)
    lines = Lines(style)
    unit = dialect.inch if inch else dialect.mm

    if dialect.percent_lines:
        lines.plain("%")
    if style.program_number is not None and dialect.program_word:
        lines.plain(f"O{style.program_number:04d}")
    if trial is not None:
        say_trial(lines, trial.way, trial.program)
    change = change_height(job, plan, motions)
    write_head(lines, job, plan, dialect, __version__, change)
    for block in style.opening:
        _own_block(lines, block)
    _modal_state(lines, job.datum.work_offset, dialect, unit)
    stops = trial is not None and trial.stops
    _body(lines, job, plan, motions, digits, dialect, unit, stops=stops)
    if trial is not None:
        lines.remark("end of the prove-out program")
    _end(lines, change, digits)
    if dialect.percent_lines:
        lines.plain("%")
    text = "".join(f"{row}\n" for row in lines.numbered())
    return Written(text, tuple(owner for _, owner, _ in lines.rows))


def _own_block(lines: Lines, block: str) -> None:
    """A shop's own block, line by line; the reader checks it like everything else."""
    for row in block.splitlines():
        kept = "".join(c if c.isascii() and c.isprintable() else " " for c in row).strip()
        if kept:
            lines.plain(kept)


def _modal_state(lines: Lines, offset: str, dialect: Dialect, unit: str) -> None:
    """Every modal group stated, whatever the control held before."""
    first, *rest = dialect.reset
    lines.block(first, unit, *rest)
    lines.block(offset)


def _body(
    lines: Lines,
    job: Job,
    plan: OperationList,
    motions: Motions,
    digits: Digits,
    dialect: Dialect,
    unit: str,
    *,
    stops: bool,
) -> None:
    """All operations, with tool changes and stops between them."""
    about = {operation.id: operation for operation in plan.operations}
    change = change_height(job, plan, motions)
    held: Tool | None = None
    running: tuple[int, CoolantKind] | None = None
    offset = ""
    for path in in_their_offsets(motions.paths, job):
        before, offset = offset, offset_of(path, job)
        tool = job.tool(path.tool)
        lines.owner = path.operation
        operation = about[path.operation]
        which = f", part {path.part}" if path.part else ""
        kind = operation.kind.replace("_", " ")
        lines.remark(f"operation {path.operation}: {kind}, {path.tool}{which}")
        if operation.wear_range_mm is not None:
            say_wear(lines, tool, operation.wear_range_mm, job.units)
        rpm = _rpm(path, job)
        length_words: tuple[str, ...] = ()
        changed = held is None or tool.number != held.number
        if changed:
            if held is not None:
                _up(lines, change, digits)
                lines.block("M9")
                lines.block("M5")
            lines.remark(f"T{tool.number}: {describe(tool, job.units)}")
            if held is not None or path.stop_before or stops:
                lines.block("M0" if path.stop_before or stops else "M1")
            lines.block(f"T{tool.number}", "M6")
            _modal_state(lines, offset, dialect, unit)
            _start(lines, rpm, path.coolant)
            if lines.style.length_offset:
                length_words = ("G43", f"H{tool.length_offset}")
        elif path.stop_before:
            _up(lines, change, digits)
            lines.block("M9")
            lines.block("M5")
            lines.block("M0")
            _start(lines, rpm, path.coolant)
        elif running != (rpm, path.coolant):
            _start(lines, rpm, path.coolant)
        over_the_top = has_offsets(job) and (changed or offset != before)
        if over_the_top:
            go_home(lines, "" if changed else offset)
        held, running = tool, (rpm, path.coolant)
        high = (changed or path.stop_before) and not over_the_top
        write_path(
            lines,
            path,
            digits=digits,
            dialect=dialect,
            radius_form=lines.style.arcs == "radius",
            most_feed=job.machine.max_feed,
            arrival=change if high else plan.clearance_mm,
            across_first=over_the_top,
            length_words=length_words,
            wear_offset=tool.diameter_offset,
            stop_above=stops,
        )
    lines.owner = None


def _rpm(path: OperationPath, job: Job) -> int:
    """The S word: whole turns a minute, inside the machine's range."""
    rpm = round(path.rpm)
    if rpm > job.machine.max_rpm:
        rpm = int(job.machine.max_rpm)
    return rpm if rpm >= job.machine.min_rpm else rpm + 1


def _start(lines: Lines, rpm: int, coolant: CoolantKind) -> None:
    """Spindle, then coolant: both before any contact."""
    lines.block(f"S{rpm}", "M3")
    lines.block(COOLANT_WORDS[coolant])


def change_height(job: Job, plan: OperationList, motions: Motions) -> float:
    """Z for changing tools, stops and the end, mm: `CHANGE_LIFT` above clearance for a hand and a
    spanner, or as much of it as the machine's travel leaves above the lowest cut.
    """
    if job.machine.travel is None:
        return plan.clearance_mm + CHANGE_LIFT
    lowest = min((move.to.z for path in motions.paths for move in path.moves), default=0.0)
    room = job.machine.travel[2] - (plan.clearance_mm - lowest)
    return plan.clearance_mm + max(0.0, min(CHANGE_LIFT, room))


def _up(lines: Lines, height: float, digits: Digits) -> None:
    lines.block("G0", f"Z{digits.text(digits.coarse(height))}")


def _end(lines: Lines, height: float, digits: Digits) -> None:
    """Up, coolant off, spindle stopped, the shop's own closing, end of program."""
    lines.remark("end")
    _up(lines, height, digits)
    lines.block("M9")
    lines.block("M5")
    for block in lines.style.closing:
        _own_block(lines, block)
    lines.block("M30")
