"""The end of the sheet: notes, cautions, signatures."""

from compiler.job import Job
from compiler.judge.model import Report
from compiler.part.model import Part
from compiler.plan.model import OperationList
from compiler.sheet.content import Lines, Section, Table
from compiler.sheet.hazards import hazards
from compiler.sheet.say import Say

# common practice, no source
CHIPS = "Chips are sharp and hot: hook and brush, never hands or compressed air."
WET = ("flood", "mist")
COOLANT = "Coolant harms skin and lungs: check its concentration, let mist settle before opening."

# Our wording; where a caution comes from stands beside it.
CAUTIONS: tuple[str, ...] = (
    # 29 CFR 1910.212(a)(1), (a)(3)(ii): guard points of operation and flying chips
    "Keep guards and enclosure shut while the spindle turns; chips and broken tools fly. Wear eye "
    "protection, no gloves and nothing loose near a turning spindle.",
    # 29 CFR 1910.147(a)(2)(ii)
    "Stop the spindle before reaching in. Changing a tool needs no lockout only where it is "
    "routine, part of production and equally well protected; otherwise lock out.",
    # ISO 16090-1: modes of safe operation (from memory of the standard)
    "Set up in the machine maker's setting mode; defeat no interlock.",
    # common practice, no source
    "Speeds and feeds are starting values. Listen, look, and turn them down when in doubt.",
    CHIPS,
    COOLANT,
    "The evidence covers what the job describes. It knows nothing of a worn tool, a loose jaw, a "
    "wrong offset or a part that is not as drawn.",
    "The machine's manual, the rules of the place and qualified people come before this sheet.",
)


def notes(job: Job) -> Section:
    """The author's own notes."""
    said = (*job.title.notes, *(f"{p.name}: {p.about}" for p in job.passes if p.about))
    return Section("notes", "Notes", (Lines(said),) if said else ())


def cautions(job: Job, part: Part, plan: OperationList, report: Report, say: Say) -> Section:
    """Those of this job first, then the material's, then the usual ones."""
    material = job.material.cautions
    # most materials have their own word about chips
    left_out = {CHIPS} if any("hips are sharp" in m for m in material) else set()
    if not any(operation.coolant in WET for operation in plan.operations):
        left_out.add(COOLANT)
    usual = [said for said in CAUTIONS if said not in left_out]
    said = (*hazards(job, part, plan, report.leftovers, say), *material, *usual)
    return Section("cautions", "Cautions", (Lines(said),))


def sign_off() -> Section:
    """Who looked: a place for name and date at each step."""
    steps = (
        "Program checked",
        "Set up",
        "Proved in air",
        "First piece cut",
        "First piece measured",
    )
    blank = ("",) * len(steps)
    return Section(
        "sign-off", "Sign-off, name and date", (Table(steps, (blank,), (1.0,) * len(steps)),)
    )
