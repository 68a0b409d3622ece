"""The stage that fills passes with `tool: auto`: which cutters make the job shortest, and why.

Three sieves. Each cutter is tried on each open pass (`fitting`); every way to combine those that
fit is weighed by areas and feeds (`rank`); the best few are planned in full, their programs timed
at the machine's rates, tool changes included, and the quickest that proves is taken. What is
bounded is the number of ways planned, never the time, so that the same job gives the same choice
on any machine.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from compiler.diagnostics import Diagnostic, Label, Outcome, Severity
from compiler.job.model import Job
from compiler.part.model import Part
from compiler.plan.model import OperationList, PassedOver, ToolChoice, Trial
from compiler.plan.refuse import place
from compiler.selection.advice import worth_a_rest_pass
from compiler.selection.fitting import Fits, fits
from compiler.selection.ground import Ground
from compiler.selection.name import with_tools
from compiler.selection.rank import Way, ranked
from compiler.selection.reasons import reasons_of

FINALISTS = 3  # ways that are planned in full
CLOSE = 1.25  # times the least estimate: what is reckoned slower than that is not planned

Measure = Callable[[Job], float | None]
Prove = Callable[[Job], bool]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """The job with its cutters named, how that came about, and for each pass why this one."""

    job: Job
    choice: ToolChoice
    reasons: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Tried:
    """A way that was planned in full: the job it makes, and its time, None where it can't be."""

    way: Way
    job: Job
    time: float | None


def choose(job: Job, part: Part, *, measure: Measure, prove: Prove) -> Outcome[Chosen]:
    """The job with a cutter for each of its open passes.

    Args:
        job: One with open passes.
        part: Of the job, with room for any of its cutters.
        measure: Plans a job in full; the time of its program at the machine, s, or None where it
            can't be cut.
        prove: Whether all of a job's evidence holds.

    Returns:
        No value, with E480 for each pass that nothing fits; W480 where a further pass would pay.
    """
    found = fits(job, part)
    missing = [
        _nothing_fits(job, name, found.passed_over)
        for name, those in found.by_pass.items()
        if not those
    ]
    if missing:
        return Outcome(None, tuple(missing))
    ground = Ground(part)
    ways = ranked(job, found, ground)
    tried = _finalists(job, ways, measure)
    taken = next((each for each in tried if each.time is not None and prove(each.job)), None)
    best = taken or tried[0]
    choice = _choice(best, tried, ways, found, is_proven=taken is not None)
    chosen = Chosen(
        job=best.job, choice=choice, reasons=reasons_of(job, best.way, choice, found, ground)
    )
    advice = worth_a_rest_pass(job, found, ground, best.way, best.time, measure)
    return Outcome(chosen, advice)


def told(plan: OperationList, chosen: Chosen) -> OperationList:
    """The plan of the chosen job, with the choice and the reason of each pass's cutter."""
    operations = tuple(
        operation.model_copy(update={"reasons": (chosen.reasons[operation.id], *operation.reasons)})
        if operation.id in chosen.reasons
        else operation
        for operation in plan.operations
    )
    return plan.model_copy(update={"operations": operations, "choice": chosen.choice})


def _finalists(job: Job, ways: Sequence[Way], measure: Measure) -> list[Tried]:
    """The best few ways planned in full, quickest first; those that can't be cut last."""
    close = [way for way in ways if way.estimate <= CLOSE * ways[0].estimate]
    tried: list[Tried] = []
    # where none of the best can be cut, as many again are looked at
    for way in [*close[:FINALISTS], *ways[len(close[:FINALISTS]) :][:FINALISTS]]:
        enough = len(tried) >= min(FINALISTS, len(close))
        if enough and any(each.time is not None for each in tried):
            break
        whole = with_tools(job, way.tools)
        tried.append(Tried(way, whole, measure(whole)))
    return sorted(tried, key=lambda each: (each.time is None, round(each.time or 0.0, 3)))


def _choice(
    best: Tried, tried: Sequence[Tried], ways: Sequence[Way], found: Fits, *, is_proven: bool
) -> ToolChoice:
    trials = [_trial(best, "taken" if is_proven else "taken, though not all of its evidence holds")]
    for each in tried:
        if each is best:
            continue
        if each.time is None:
            verdict = "can't be cut so"
        elif best.time is not None and each.time < best.time:
            verdict = "quicker, but not all of its evidence holds"
        else:
            verdict = "takes longer"
        trials.append(_trial(each, verdict))
    rest = [way for way in ways if not any(way is each.way for each in tried)]
    trials += [
        Trial(
            tools=_names(way),
            estimate_s=round(way.estimate, 1),
            verdict="reckoned to take longer, not planned in full",
        )
        for way in rest[: 2 * FINALISTS]
    ]
    return ToolChoice(trials=tuple(trials), passed_over=found.passed_over)


def _trial(each: Tried, verdict: str) -> Trial:
    return Trial(
        tools=_names(each.way),
        estimate_s=round(each.way.estimate, 1),
        time_s=None if each.time is None else round(each.time, 3),
        verdict=verdict,
    )


def _names(way: Way) -> dict[str, str]:
    return {name: tool.name for name, tool in way.tools.items()}


def _nothing_fits(job: Job, name: str, over: Sequence[PassedOver]) -> Diagnostic:
    asked = next(each for each in job.passes if each.name == name)
    whys = [f"`{each.tool}`: {each.why}" for each in over if each.operation == name]
    kinds = "" if whys else ": none is of a kind that can"
    return Diagnostic(
        code="E480",
        message=f"no cutter of the job or its crib can do `{name}`{kinds}",
        primary=Label(place(asked, "tool")),
        severity=Severity.ERROR,
        help="add a cutter that fits to the crib, or change the pass",
        notes=tuple(whys),
    )
