"""Two jobs, each as far down the road as it came, to their difference."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from compiler.compare.model import Difference, Side
from compiler.compare.plans import (
    compare_margins,
    compare_operations,
    compare_tools,
    compare_totals,
    order_changed,
)
from compiler.compare.regions import compare_regions
from compiler.compare.values import compare_values
from compiler.judge.model import Report
from compiler.part.model import Part
from compiler.plan.model import OperationList

if TYPE_CHECKING:
    from compiler.spec.load import Loaded

_COMMENT = re.compile(r"\([^)]*\)|;.*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Compiled:
    """One job and what was made of it; None from where it fell short."""

    said: str
    loaded: Loaded
    setup: str = ""  # of a job of several
    is_first: bool = True  # what the job says is told with its first setup
    part: Part | None = None
    plan: OperationList | None = None
    report: Report | None = None
    program: str | None = None


def compare(before: Compiled, after: Compiled) -> Difference:
    """What changes from one job to the other, in its meaning and in the cut; of one setup."""
    changes, unchanged = compare_values(before.loaded, after.loaded) if after.is_first else ((), 0)
    found = Difference(
        before=_side(before),
        after=_side(after),
        units=after.loaded.document.units,
        values=changes,
        unchanged_values=unchanged,
        compared="values",
    )
    if before.part is not None and after.part is not None:
        regions, same = compare_regions(before.part, after.part)
        found = found.model_copy(update={"regions": regions, "unchanged_regions": same})
    if before.plan is None or after.plan is None:
        return found
    found = found.model_copy(update=_plans(before, after, before.plan, after.plan))
    if before.report is None or after.report is None:
        return found
    margins, same = compare_margins(before.report, after.report)
    return found.model_copy(
        update={
            "margins": margins,
            "unchanged_margins": same,
            "compared": "the cut",
            "same_program": moves_of(before.program or "") == moves_of(after.program or ""),
        }
    )


def moves_of(program: str) -> list[str]:
    """A program without its comments: they name the spec's digest, which changes with titles."""
    lines = (_COMMENT.sub("", line).strip() for line in program.splitlines())
    return [line for line in lines if line]


def _side(job: Compiled) -> Side:
    which = f", setup {job.setup}" if job.setup else ""
    name = job.loaded.job.title.name
    return Side(said=f"{job.said}{which}", job=name, digest=job.loaded.job.digest)


def _plans(
    before: Compiled, after: Compiled, old: OperationList, new: OperationList
) -> dict[str, object]:
    tools, same_tools = compare_tools(old, new)
    reports = (before.report, after.report)
    if None in reports:
        reports = (None, None)  # what only one has can't be compared
    operations, same_operations = compare_operations(old, new, reports)
    sizes = (len(before.program or ""), len(after.program or ""))
    totals, same_totals = compare_totals((old, new), reports, sizes)
    return {
        "tools": tools,
        "unchanged_tools": same_tools,
        "operations": operations,
        "unchanged_operations": same_operations,
        "order_changed": order_changed(old, new),
        "totals": totals,
        "unchanged_totals": same_totals,
        "compared": "the plan",
    }
