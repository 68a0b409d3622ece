"""All sections of a sheet, in the order in which they are needed at the machine."""

from dataclasses import replace

from compiler.job import Job
from compiler.judge.model import Report
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.sheet import closing, parts, proof, running, setup, tooling, trial
from compiler.sheet.content import Content
from compiler.sheet.first_article import first_article
from compiler.sheet.say import Say


def compose(
    job: Job,
    part: Part,
    plan: OperationList,
    report: Report,
    *,
    version: str,
    commit: str | None = None,
) -> Content:
    """What the sheet says; see `render` for the arguments."""
    say = Say(job.units)
    sections = (
        setup.setup(job, part, plan, say),
        parts.parts(job, plan, say),
        setup.checks(job, part, plan, say, report.prove_out),
        trial.prove_out(job, report, say),
        tooling.tools(job, plan, say),
        running.operations(plan, report, say),
        running.cuts(part, plan, report, say),
        setup.standing(part, say),
        setup.drilled(job, part, say),
        proof.evidence(report, say),
        proof.leftovers(report, say),
        first_article(job, part, setup.floor(plan, part), say),
        closing.notes(job),
        closing.cautions(job, part, plan, report, say),
        closing.sign_off(),
        running.reasons(plan),
    )
    content = setup.title_block(job, plan, report, version, commit)
    return replace(content, sections=tuple(s for s in sections if s.parts))
