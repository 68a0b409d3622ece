"""In which order several parts on one table are cut, and what that saves."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import groupby, pairwise

from compiler.job.model import Job, Table
from compiler.plan.model import Operation, PlannedParts, PlannedPlace
from compiler.units.clock import clock
from compiler.units.number import counted

LIFT = 100.0  # mm of rapid, up and down together, that going to the next part is reckoned with


def arranged(job: Job, operations: Sequence[Operation]) -> PlannedParts | None:
    """The order of the parts, with the reason; None for a single part."""
    table = job.table
    if table is None:
        return None
    count = len(table.places)
    tools = [tool for tool, _ in groupby(operation.tool for operation in operations)]
    by_tool = len(tools)
    # a part begins with the tool that the one before ended with, if that is the same
    by_part = count * len(tools) - (count - 1 if tools and tools[0] == tools[-1] else 0)
    trip = _trip(job, table)
    more = (by_tool - 1) * (count - 1) * trip
    saved = (by_part - by_tool) * job.machine.change_time - more
    order = table.order or ("by_tool" if saved >= 0 else "by_part")
    said = (
        f"{count} parts by tool: {counted(by_tool, 'tool change')}, part by part {by_part}; "
        f"by tool is {clock(abs(saved))} {'shorter' if saved >= 0 else 'longer'}, "
        f"ways between the parts ({clock(trip)} each) included"
    )
    return PlannedParts(
        order=order,
        is_said=table.is_said,
        places=tuple(
            PlannedPlace(x_mm=round(at.x, 6), y_mm=round(at.y, 6), work_offset=offset)
            for at, offset in zip(table.places, table.work_offsets, strict=True)
        ),
        tool_changes=by_tool if order == "by_tool" else by_part,
        saved_s=round(saved if order == "by_tool" else -saved, 1),
        reasons=(said, "as the job asks" if table.order else "what takes less time"),
    )


def _trip(job: Job, table: Table) -> float:
    """Seconds from one part to the next at the rapid rate."""
    ways = [math.hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(table.places)]
    return (sum(ways) / len(ways) + LIFT) / job.machine.rapid * 60
