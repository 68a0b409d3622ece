"""The evidence as the setter reads it: what was proven on the program's text, with margins."""

from compiler.judge.model import Obligation, Report
from compiler.sheet.content import Lines, Section, Table
from compiler.sheet.say import Say
from compiler.units.figures import in_job_units
from compiler.units.number import LENGTH_DECIMALS, in_units, short

NAMES = {
    "regions_stand": "Keep regions stand",
    "floor_kept": "Nothing below the floor",
    "rapids_clear": "Rapids touch nothing",
    "entries_safe": "Entries are safe",
    "engagement_held": "Engagement held",
    "load_held": "Load held",
    "holder_clear": "Holder and shank clear",
    "machine_fits": "Inside the machine's limits",
    "nothing_left": "Nothing left but where no tool reaches",
    "program_sane": "Program in order",
    "text_true": "Text true to the plan",
}


def evidence(report: Report, say: Say) -> Section:
    """One row an obligation."""
    rows = tuple(_row(entry, say) for entry in report.obligations)
    note = (
        "Read from the program's own text and cut in simulation at a pitch of "
        f"{say.length(report.resolution_mm)}. It proves the program against the job, not the job "
        "against the machine: holding, tools and offsets are yours to check."
    )
    return Section(
        "evidence",
        "Evidence",
        (
            Table(
                ("", "Obligation", "Found", "Measured", "Allowed", "Margin"),
                rows,
                (1.1, 2.9, 6.4, 2.0, 2.0, 2.0),
                frozenset({3, 4, 5}),
            ),
            Lines((note,)),
        ),
    )


def _row(entry: Obligation, say: Say) -> tuple[str, ...]:
    said = entry.what + (f" Remedy: {entry.remedy}." if not entry.held and entry.remedy else "")
    said = said.replace("`", "'")
    numbers = (_number(v, entry.unit, say) for v in (entry.measured, entry.allowed, entry.margin))
    return ("held" if entry.held else "BROKEN", NAMES[entry.name], said, *numbers)


def _number(value: float | None, unit: str, say: Say) -> str:
    """A measured value, lengths in the job's units."""
    if value is None:
        return ""
    if unit == "mm":  # margins are small: one decimal more than elsewhere
        return f"{short(in_units(value, say.units), LENGTH_DECIMALS[say.units] + 1)} {say.unit}"
    if unit == "mm2":
        return say.area(value)
    if unit == "mm/min":
        return f"{say.feed(value)} {say.feed_unit}"
    figure, name = in_job_units(value, unit, say.units)
    return f"{short(figure, 3)} {name}".strip()


def leftovers(report: Report, say: Say) -> Section:
    """What stays that the job did not ask to stay, and the cutter that would reach it."""
    if not report.leftovers:
        return Section(
            "left", "What is left", (Lines(("Nothing beyond the allowances asked for.",)),)
        )
    rows = tuple(
        (
            str(number),
            say.z(entry.x_mm),
            say.z(entry.y_mm),
            say.area(entry.area_mm2),
            say.length(entry.depth_mm),
            f"a sharp corner: fillet R {say.length(entry.fillet_radius_mm)} along walls"
            if entry.fillet_radius_mm is not None
            else f"{entry.obstacle} is in the way"
            if entry.obstacle
            else "none round"
            if entry.reaching_diameter_mm is None
            else f"up to Ø {say.length(entry.reaching_diameter_mm)}",
        )
        for number, entry in enumerate(report.leftovers[:40], start=1)
    )
    more = len(report.leftovers) - len(rows)
    lines = (Lines((f"and {more} more, in the report",)),) if more > 0 else ()
    table = Table(
        ("No.", "X", "Y", "Area", "Height left", "Cutter that would clear it"),
        rows,
        (0.7, 1.4, 1.4, 1.6, 1.6, 3.0),
        frozenset({1, 2, 3, 4}),
    )
    why = Lines(("Left because no tool of the job gets there:",))
    return Section("left", f"What is left ({say.unit})", (why, table, *lines))
