"""Programs that the control may shift by a wear offset: proven at nothing and at both ends.

The offset's value stands in the control's table. Nominally it is 0; a machinist may set it within
the range that the plan states. So the text is read and cut with both ends of the range too, with
the tool at its nominal size, and every obligation must hold there as well: but a compensated wall
may be entered by what the offset shifts it, as that is what it is set for.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from compiler.diagnostics import Diagnostic, Outcome
from compiler.job.model import Job
from compiler.judge.case import Case
from compiler.judge.model import Obligation, WearOffset
from compiler.judge.obligations import AT_BOTH_ENDS
from compiler.plan.model import OperationList


def wear_offsets(job: Job, plan: OperationList) -> tuple[WearOffset, ...]:
    """The offsets that the plan's operations read, by number; the narrowest range of each."""
    found: dict[int, WearOffset] = {}
    for operation in plan.operations:
        if operation.wear_range_mm is None:
            continue
        tool = job.tool(operation.tool)
        known = found.get(tool.diameter_offset)
        most = min(operation.wear_range_mm, known.most_mm if known else operation.wear_range_mm)
        found[tool.diameter_offset] = WearOffset(
            number=tool.diameter_offset, tool=tool.name, least_mm=-most, most_mm=most
        )
    return tuple(found[number] for number in sorted(found))


def at_both_ends(
    entries: Sequence[Obligation],
    offsets: Sequence[WearOffset],
    case_with: Callable[[Mapping[int, float]], Outcome[Case]],
) -> tuple[Obligation, ...]:
    """The obligations found at the nominal offset, or as the first end breaks them.

    Args:
        entries: What was found with all offsets at 0.
        offsets: The offsets and their ranges; with none the entries are as they were.
        case_with: The program read and cut with a radius, mm, for each offset's number.
    """
    found = {entry.name: entry for entry in entries}
    for end in ("least", "most") if offsets else ():
        values = {o.number: o.least_mm if end == "least" else o.most_mm for o in offsets}
        outcome = case_with(values)
        if outcome.value is None:
            entry = _refused(outcome.findings[0])
            found = {**found, entry.name: _said_at(entry, found[entry.name], values, None)}
            continue
        for check in AT_BOTH_ENDS:
            entry = check(outcome.value)
            found[entry.name] = _said_at(entry, found[entry.name], values, outcome.value)
    return tuple(found[entry.name] for entry in entries)


def _said_at(
    entry: Obligation, before: Obligation, values: Mapping[int, float], case: Case | None
) -> Obligation:
    """What was found before stands, unless it held and this end does not."""
    if entry.held or not before.held:
        return before
    at = ", ".join(
        f"D{number} at {case.length(value) if case else f'{value:.3f} mm'}"
        for number, value in values.items()
    )
    what = entry.what if entry.what[:2].isupper() else entry.what[0].lower() + entry.what[1:]
    remedy = f"{entry.remedy}; or set `wear_range` narrower" if entry.remedy else ""
    return entry.model_copy(update={"what": f"With {at}: {what}", "remedy": remedy})


def _refused(finding: Diagnostic) -> Obligation:
    line = next((int(value) for name, value in finding.data if name == "line"), 0)
    return Obligation(
        name="program_sane",
        held=False,
        what=f"Line {line} of the program is refused, {finding.message}.",
        remedy=finding.help,
    )
