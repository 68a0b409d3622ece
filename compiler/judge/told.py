"""A broken obligation as a diagnostic at the line of the spec that caused it."""

from __future__ import annotations

import re

from compiler.diagnostics import Diagnostic, Label, Span
from compiler.job.model import Job
from compiler.judge.model import Obligation, ObligationName
from compiler.units.number import LENGTH_DECIMALS, SHORT, in_units, short

CODES: dict[ObligationName, str] = {
    "regions_stand": "E510",
    "floor_kept": "E511",
    "rapids_clear": "E512",
    "entries_safe": "E513",
    "engagement_held": "E514",
    "load_held": "E515",
    "holder_clear": "E516",
    "machine_fits": "E517",
    "nothing_left": "E518",
    "program_sane": "E519",
    "text_true": "E520",
}


def told(job: Job, entry: Obligation) -> Diagnostic:
    """A broken obligation as a diagnostic at the spec's line that caused it."""
    worst = entry.worst
    span = Span(job.spec_file, 1, 1, 1, 2)
    if worst is not None and worst.spec_file and worst.spec_line:
        column = worst.spec_column or 1
        span = Span(worst.spec_file, worst.spec_line, column, worst.spec_line, column + 1)
    notes: list[str] = []
    if worst is not None and worst.program_line is not None:
        place = f"program line {worst.program_line}"
        if worst.x_mm is not None and worst.y_mm is not None and worst.z_mm is not None:
            x, y, z = (
                short(in_units(value, job.units), LENGTH_DECIMALS[job.units])
                for value in (worst.x_mm, worst.y_mm, worst.z_mm)
            )
            place += f", at X{x} Y{y} Z{z} {SHORT[job.units]}"
        notes.append(place)
    data: list[tuple[str, str | float]] = [("obligation", entry.name)]
    if worst is not None and worst.program_line is not None:
        data.append(("program_line", float(worst.program_line)))
    for name in ("measured", "allowed", "margin"):
        value = getattr(entry, name)
        if value is not None:
            data.append((name, value))
    if entry.unit:
        data.append(("unit", entry.unit))
    message = entry.what.rstrip(".")
    if not re.match(r"T\d", message):  # a tool's name keeps its capital
        message = message[0].lower() + message[1:]
    return Diagnostic(
        code=CODES[entry.name],
        message=message,
        primary=Label(span, entry.name),
        help=entry.remedy,
        notes=tuple(notes),
        data=tuple(data),
    )
