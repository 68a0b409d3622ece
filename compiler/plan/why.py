"""How cutters were chosen, for people: the ways that were tried, their times, what fell out."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.plan.model import OperationList, ToolChoice, Trial
from compiler.units.clock import clock


def why(plan: OperationList) -> str:
    """The trials as a table, the way that was taken first; below it what could not be used."""
    if plan.choice is None:
        return "cutters\n  every pass names its own\n"
    head = "cutters tried, best first: time of the whole job, tool changes included (~ reckoned)"
    lines = [head, "", *_table(plan.choice)]
    if plan.choice.passed_over:
        lines += ["", "passed over"]
        lines += [
            f"  {each.operation}: {each.tool}: {each.why}" for each in plan.choice.passed_over
        ]
    return "\n".join(lines) + "\n"


def _table(choice: ToolChoice) -> list[str]:
    taken = choice.trials[0]
    names = list(taken.tools)
    head = ["", "time", *names, ""]
    rows = [
        [str(number), _time(trial, taken), *(trial.tools[name] for name in names), trial.verdict]
        for number, trial in enumerate(choice.trials, start=1)
    ]
    widths = [max(len(row[column]) for row in (head, *rows)) for column in range(len(head))]
    return [f"  {_line(row, widths)}".rstrip() for row in (head, *rows)]


def _line(row: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True))


def _time(trial: Trial, taken: Trial) -> str:
    """As planned in full, else as reckoned."""
    if trial.time_s is not None:
        return clock(trial.time_s)
    return f"~ {clock(taken.reckoned(trial.estimate_s))}"
