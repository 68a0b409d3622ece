"""What each operation does, measured on the program that was read back."""

from __future__ import annotations

import math

import numpy as np

from compiler.judge.case import Case
from compiler.judge.model import OperationFacts
from compiler.judge.obligations.engagement_held import measure


def operation_facts(case: Case) -> tuple[OperationFacts, ...]:
    """One entry for each planned operation that owns lines, in the plan's order."""
    engaged = {m.operation.id: m for m in measure(case)}
    lines: dict[str, list[int]] = {}
    for number, owner in enumerate(case.line_owner, start=1):
        if owner is not None:
            lines.setdefault(owner, []).append(number)
    facts = []
    for place, operation in enumerate(case.plan.operations):
        own = np.flatnonzero(case.owner_at == place).tolist()
        if not own:
            continue
        found = engaged.get(operation.id)
        promised = operation.engagement_deg is not None
        facts.append(
            OperationFacts(
                operation=operation.id,
                tool=operation.tool,
                first_line=lines[operation.id][0],
                last_line=lines[operation.id][-1],
                time_s=round(sum(case.seconds[k] for k in own), 3),
                cut_length_mm=round(_length(case, own, fed=True), 3),
                rapid_length_mm=round(_length(case, own, fed=False), 3),
                lifts=_lifts(case, own),
                removed_mm3=round(float(case.cut.facts.removed[own].sum()), 3),
                lowest_z_mm=round(_lowest(case, own), 4) + 0.0,
                peak_engagement_deg=round(math.degrees(found.peak), 2) if found else None,
                share_over_limit=round(found.bare_share, 6) if found and promised else None,
            )
        )
    return tuple(facts)


def _length(case: Case, own: list[int], *, fed: bool) -> float:
    return sum(case.motions[k].length for k in own if case.known[k] and bool(case.fed[k]) == fed)


def _lowest(case: Case, own: list[int]) -> float:
    known = [float(case.z_low[k]) for k in own if case.known[k]]
    return min(known, default=0.0)


def _lifts(case: Case, own: list[int]) -> int:
    """Retracts to clearance between the first and the last fed move."""
    fed = [k for k in own if case.fed[k]]
    if not fed:
        return 0
    clearance = case.plan.clearance_mm - 1e-3
    return sum(
        1
        for k in own
        if fed[0] < k < fed[-1]
        and case.known[k]
        and case.motions[k].end.z >= clearance > case.motions[k].start.z
    )
