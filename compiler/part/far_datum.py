"""A datum so far from the stock that it is most likely a slip of the pen."""

from __future__ import annotations

import math

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job import Job
from compiler.part.model import Part
from compiler.units.number import length

LEAST = (
    100.0  # mm: a stop or a fixture's corner may well lie so far off; common practice, no source
)


def far_datum(job: Job, part: Part) -> list[Diagnostic]:
    """Warns where X0 Y0 lies farther from the stock than the stock is long, and than `LEAST`."""
    low_x, low_y, high_x, high_y = part.stock.bounds
    away = math.hypot(max(low_x, -high_x, 0.0), max(low_y, -high_y, 0.0))
    if away <= max(LEAST, high_x - low_x, high_y - low_y):
        return []
    span = [max(high, 0.0) - min(low, 0.0) for low, high in ((low_x, high_x), (low_y, high_y))]
    travel = job.machine.travel
    beyond = (
        f"; `{job.machine.name}` travels {length(travel[0], job.units)} by "
        f"{length(travel[1], job.units)}, too little to find it and to cut the part"
        if travel is not None and (span[0] > travel[0] or span[1] > travel[1])
        else ""
    )
    return [
        Diagnostic(
            code="W318",
            severity=Severity.WARNING,
            message=f"the datum lies {length(away, job.units)} from the stock{beyond}",
            primary=Label(job.datum.origin or job.stock.origin),
            path="datum.at",
            help="`at` is a point of the drawing, in its coordinates and the job's units; "
            "`stock lower_left` and the like take a corner of the stock",
            data=(("away_mm", round(away, 3)),),
        )
    ]
