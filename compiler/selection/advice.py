"""Whether a rest pass that the job does not have would make it shorter."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from compiler.diagnostics import Diagnostic, Label, Severity
from compiler.job.model import AUTO, Job, Pass
from compiler.plan.refuse import place
from compiler.selection.fitting import Fits, fits
from compiler.selection.ground import Ground
from compiler.selection.name import with_tools
from compiler.selection.rank import Way, is_quickest_alone, ranked
from compiler.units.clock import clock

WORTH = 0.9  # of the time: less of a saving is not worth a word
ADDED = "rest added"


def worth_a_rest_pass(
    job: Job,
    found: Fits,
    ground: Ground,
    way: Way,
    time: float | None,
    measure: Callable[[Job], float | None],
) -> tuple[Diagnostic, ...]:
    """W480 where the job with a rest pass after its roughing is planned to be well shorter."""
    rough = [asked for asked in job.passes if asked.kind == "rough"]
    if time is None or len(rough) != 1 or not rough[0].is_open:
        return ()
    if any(asked.kind == "rest" for asked in job.passes):
        return ()
    if is_quickest_alone(job, found, ground, way, rough[0].name):
        return ()
    longer = _with_rest(job, rough[0])
    more = fits(longer, ground.part)
    if not all(more.by_pass.values()):
        return ()
    best = ranked(longer, more, ground)[0]
    if best.estimate > WORTH * way.estimate:
        return ()
    named = with_tools(longer, best.tools)
    shorter = measure(named)
    if shorter is None or shorter > WORTH * time:
        return ()
    tools = best.tools
    return (
        Diagnostic(
            code="W480",
            message=f"a rest pass would bring the job from {clock(time)} to {clock(shorter)}: "
            f"`{tools[rough[0].name].name}` would rough, `{tools[ADDED].name}` clear the rest",
            primary=Label(place(rough[0], "tool")),
            severity=Severity.WARNING,
            help=f"add `- rest: {{tool: auto}}` after `{rough[0].name}`",
        ),
    )


def _with_rest(job: Job, rough: Pass) -> Job:
    """The job with an open rest pass after its roughing, leaving what that leaves."""
    added = Pass(
        kind="rest",
        name=ADDED,
        tool=AUTO,
        wall_allowance=rough.wall_allowance,
        floor_allowance=rough.floor_allowance,
        coolant=rough.coolant,
        origin=rough.origin,
        spans=rough.spans,
    )
    at = job.passes.index(rough) + 1
    return replace(job, passes=(*job.passes[:at], added, *job.passes[at:]))
