"""Compensation at the control: the range of the wear offset, and what speaks against it."""

from __future__ import annotations

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job.model import Job, Pass
from compiler.plan.choice import Choice
from compiler.plan.refuse import finding
from compiler.units.number import MM_PER_INCH, length

# common practice, no source: what a finishing cutter is let wear or deflect before it is changed
WEAR_RANGE_MM = 0.1
WEAR_RANGE_INCH = 0.004 * MM_PER_INCH
MOST = 0.1  # of the cutter's radius: beyond that it is another cutter, not a worn one


def wear_range(asked: Pass, job: Job) -> Choice[float | None]:
    """How far the offset may be set either way, on the radius, mm; None: no compensation."""
    if asked.compensation != "control":
        return Choice(None)
    value = asked.wear_range
    if value is None:
        value = WEAR_RANGE_INCH if job.units == "inch" else WEAR_RANGE_MM
    tool = job.tool(asked.tool)
    code = "G42" if asked.direction == "conventional" else "G41"
    said = length(value, job.units)
    return Choice(
        value,
        f"compensation at the control: {code} reads D{tool.diameter_offset}, set to 0; proven from "
        f"-{said} to +{said} on the radius, plus leaves more on the wall",
    )


def doubts(job: Job) -> list[Diagnostic]:
    """What is wrong with the compensation that passes ask for, over the whole job."""
    found: list[Diagnostic] = []
    readers: dict[int, Pass] = {}
    for asked in job.passes:
        if asked.compensation != "control":
            if asked.wear_range is not None:
                found.append(_idle(asked))
            continue
        tool = job.tool(asked.tool)
        found += _too_wide(asked, job)
        first = readers.setdefault(tool.diameter_offset, asked)
        if first.tool != asked.tool:
            found.append(_shared(asked, first, tool.diameter_offset))
    return found


def _too_wide(asked: Pass, job: Job) -> list[Diagnostic]:
    value = wear_range(asked, job).value
    most = MOST * job.tool(asked.tool).radius
    if value is None or value <= most * (1 + 1e-9):
        return []
    return [
        finding(
            "E461",
            asked,
            f"a wear range of {length(value, job.units)} is more than a worn `{asked.tool}` needs",
            f"set `wear_range` to {length(most, job.units)} or less; for another cutter give the "
            "tool its diameter",
            "wear_range",
            "compensation",
        )
    ]


def _shared(asked: Pass, first: Pass, number: int) -> Diagnostic:
    return finding(
        "E462",
        asked,
        f"`{asked.tool}` and `{first.tool}` would both read the wear offset D{number}",
        "give one of the tools a `diameter_offset` of its own",
        "compensation",
        also=(Label(first.spans.get("compensation", first.origin), "reads it too"),),
    )


def _idle(asked: Pass) -> Diagnostic:
    return finding(
        "W461",
        asked,
        f"`wear_range` changes nothing in `{asked.name}`: it is not compensated at the control",
        "add `compensation: control`, or leave `wear_range` out",
        "wear_range",
        severity=Severity.WARNING,
    )
