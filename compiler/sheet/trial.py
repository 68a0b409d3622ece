"""The program that the job is tried with: which file it is, what it does, what it does not."""

from compiler.job import Job
from compiler.judge.model import ProveOutFacts, Report
from compiler.sheet.content import Facts, Lines, Section
from compiler.sheet.say import Say, time


def prove_out(job: Job, report: Report, say: Say) -> Section:
    """Facts and order of work; empty where the build wrote none."""
    facts = report.prove_out
    if facts is None:
        return Section("prove-out", "Prove-out program", ())
    rows = [
        ("File, digest", f"{facts.file} {facts.program_digest[:16]}"),
        ("What it does", _way(facts, say)),
        ("Lowest tip", f"Z {say.both(facts.lowest_z_mm)}"),
        ("Stops", _stops(facts)),
        ("Time", time(facts.time_s)),
    ]
    if facts.program_number is not None:
        rows.insert(1, ("Program number", str(facts.program_number)))
    return Section(
        "prove-out",
        "Prove-out program: not the one to cut parts with",
        (
            Facts(tuple(rows)),
            Lines(_order(job, facts)),
        ),
    )


def _way(facts: ProveOutFacts, say: Say) -> str:
    if facts.way == "slowed":
        return f"the same cut at {100 * facts.feed_share:g} % of every feed; speeds as they are"
    return (
        f"the same path {say.both(facts.raised_mm)} higher: cuts air, "
        f"{say.length(facts.room_mm)} above everything at its lowest"
    )


def _stops(facts: ProveOutFacts) -> str:
    if not facts.stops:
        return "optional stop (M1) before each tool change"
    return "M0 before each tool, and above the first place of each operation"


def _order(job: Job, facts: ProveOutFacts) -> tuple[str, ...]:
    """What to do with it, and what it does not show."""
    offset, program = job.datum.work_offset, f"{job.output_name}.nc"
    said = [
        f"Same tools, {offset} and length offsets as {program}: change nothing for it. Single "
        "block, rapids low, hand on feed hold.",
    ]
    if facts.way == "raised":
        said.append(
            "See that each tool runs over the right place of the stock, that nothing is in the way "
            f"beside and above it, and that the travel reaches. Depths show only in {program}."
        )
    else:
        said.append("It cuts the part. A chip thinner than usual may rub; watch and listen.")
    said.append(f"Then take {facts.file} out of the control before {program} goes in.")
    return tuple(said)
