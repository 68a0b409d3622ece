"""How holes are made: depth of a peck, dwell at the bottom. Each with the reason that is printed.

The rules of thumb are common practice, no source.
"""

from __future__ import annotations

import math

from compiler.job.model import Job, Pass, Tool
from compiler.plan.choice import Choice
from compiler.units.number import MM_PER_INCH, length, short

PECK = 1.0  # times the diameter, where the author says none
TURNS = 2.0  # of the spindle that a spot is given to come out round


def peck(asked: Pass, tool: Tool, job: Job) -> Choice[float | None]:
    """Depth of a peck, mm, in whole hundredths of a millimetre or thousandths of an inch, so that
    a control that counts in them goes to the same depths; None where the hole is made in one go.
    """
    if asked.kind != "drill" or asked.cycle not in ("peck", "chip_break"):
        return Choice(None)
    step = MM_PER_INCH / 1000 if job.units == "inch" else 0.01
    wanted = asked.peck if asked.peck is not None else PECK * tool.diameter
    value = max(1, math.floor(wanted / step + 1e-6)) * step
    if asked.peck is not None:
        return Choice(value)
    return Choice(value, f"pecks of {length(value, job.units)}: one diameter (common practice)")


def dwell(asked: Pass, rpm: float) -> Choice[float]:
    """How long the drill stays at the bottom, s, in tenths."""
    if asked.kind != "drill":
        return Choice(0.0)
    if asked.dwell is not None:
        return Choice(asked.dwell)
    if asked.cycle != "spot" or rpm <= 0:
        return Choice(0.0)
    value = math.ceil(TURNS * 60 / rpm * 10 - 1e-9) / 10
    said = f"stays {short(value, 1)} s at the bottom: at least two turns (common practice)"
    return Choice(value, said)
