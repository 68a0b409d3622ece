"""What the setter needs first: title block, stock, holding, datum, and what to check."""

import math

from compiler.job import Job
from compiler.judge.model import ProveOutFacts, Report
from compiler.judge.uncut import worth_telling
from compiler.part.model import Part
from compiler.pictures.frame import shown
from compiler.pictures.holes import holes
from compiler.pictures.part_view import round_sizes
from compiler.plan.model import OperationList
from compiler.sheet import parts, tooling, turning
from compiler.sheet.content import Checks, Content, Facts, Lines, Section, Table
from compiler.sheet.first_article import general_words
from compiler.sheet.say import Say, time
from compiler.units.number import counted
from compiler.write.program import CHANGE_LIFT


def title_block(
    job: Job, plan: OperationList, report: Report, version: str, commit: str | None
) -> Content:
    """The fields of ISO 7200:2004 that apply, the banner and the running line; no sections.

    Dates and names are left to be written by hand: a sheet is the same each time it is made.
    """
    title = job.title
    maker = f"standproud {version}" + (f", {commit[:12]}" if commit else "")
    digest = job.digest[:16]
    running = " · ".join(
        said
        for said in (
            job.output_name[:60],
            title.number[:24],  # bound, so that the digest is on every page whatever they hold
            f"rev {title.revision[:8]}" if title.revision else "",
            f"digest {digest}",
            f"commit {commit[:12]}" if commit else "",
        )
        if said
    )
    return Content(
        title_block=(
            ("Title", title.title or title.name),
            ("Identification number", title.number),
            ("Revision", title.revision),
            ("Document type", "Setup sheet"),
            ("Program and its digest", f"{job.output_name}.nc {report.program_digest[:16]}"),
            ("Job digest", digest),
            ("Made by, of commit" if commit else "Made by", maker),
            ("Legal owner", ""),
            ("Date of issue", ""),
            ("Creator", ""),
            ("Approval person", ""),
        ),
        banner=(
            *turning.banner(job),
            *parts.banner(plan),
            "UNITS: INCH (G20)" if job.units == "inch" else "UNITS: MILLIMETRE (G21)",
            f"WORK OFFSET: {job.datum.work_offset}",
            f"TIME: {time(report.time_s)}",
            "EVIDENCE: ALL HELD" if report.held else "EVIDENCE: BROKEN, DO NOT RUN",
            *_left_standing(report),
        ),
        running=running,
        sections=(),
    )


def _left_standing(report: Report) -> tuple[str, ...]:
    """How many places stay that the job did not ask to stay, but for specks."""
    left = len(worth_telling(report.leftovers))
    return (f"LEFT STANDING: {counted(left, 'place').upper()}",) if left else ()


def setup(job: Job, part: Part, plan: OperationList, say: Say) -> Section:
    """Stock, material, machine, holding, datum and the heights that matter."""
    x0, y0, x1, y1 = part.stock.bounds
    size = " × ".join(say.bare(d) for d in (x1 - x0, y1 - y0, part.stock_top - part.stock_bottom))
    other = Say("mm" if job.units == "inch" else "inch")
    again = " × ".join(
        other.bare(d) for d in (x1 - x0, y1 - y0, part.stock_top - part.stock_bottom)
    )
    face = turning.upper_face(job)
    zero = (
        face or "the upper face of the stock"
        if part.stock_top == 0
        else f"the stock's upper face is at Z {say.length(part.stock_top)}"
        + (f": {face}" if face else "")
    )
    material = job.material.title or job.material.name.replace("_", " ")
    if job.material.hardness:
        material += f", {job.material.hardness}"
    return Section(
        "setup",
        "Setup",
        (
            Facts(
                (
                    *turning.facts(job),
                    ("Stock X, Y, Z", f"{size} {say.unit}  ({again} {other.unit})"),
                    ("Material", material),
                    ("Machine", job.machine.name.replace("_", " ")),
                    ("Held by", job.workholding.method or "not said in the job"),
                    ("X0 Y0", f"{place(job)}, offset {job.datum.work_offset}"),
                    ("Z0", zero),
                    ("Found by", job.datum.found_by or "not said in the job"),
                    ("Clearance", f"Z {say.both(plan.clearance_mm)}"),
                    ("Deepest cut", f"Z {say.both(deepest(plan, part))}{_points(job, plan, say)}"),
                    ("Never below", f"Z {say.both(part.lowest_cut)}{_through(job, part, say)}"),
                    *_tolerances(job, say),
                )
            ),
        ),
    )


def _tolerances(job: Job, say: Say) -> tuple[tuple[str, str], ...]:
    """The general tolerance, where the job gives one."""
    if job.general_tolerance is None:
        return ()
    return (("General tolerance", general_words(job, say)),)


def place(job: Job) -> str:
    """The datum's place in words: the author's own, key words spelled out."""
    return job.datum.said.replace("_", " ")


def deepest(plan: OperationList, part: Part) -> float:
    """Z of the deepest floor that any operation cuts to, mm."""
    bottoms = [level.bottom_mm for op in plan.operations for level in op.levels]
    return min(bottoms, default=part.stock_top)


def floor(plan: OperationList, part: Part) -> float:
    """Z of the deepest floor that any operation clears to, mm; holes and edges are none."""
    bottoms = [
        level.bottom_mm
        for op in plan.operations
        if op.kind not in ("drill", "break_edges")
        for level in op.levels
    ]
    return min(bottoms, default=part.stock_top)


def _points(job: Job, plan: OperationList, say: Say) -> str:
    """How far below its floor the deepest drill's point comes, where that is the deepest cut."""
    depths = []
    for operation in plan.operations:
        tool = job.tool(operation.tool)
        if operation.kind == "drill" and operation.cycle != "spot" and tool.tip_angle > 0:
            cone = tool.radius / math.tan(tool.tip_angle / 2)
            depths += [level.bottom_mm - cone for level in operation.levels]
    lowest = min((level.bottom_mm for op in plan.operations for level in op.levels), default=0.0)
    if not depths or min(depths) >= lowest:
        return ""
    step = 0.01 if say.units == "mm" else 0.0254
    return f"; a drill's point goes to Z {say.length(math.floor(min(depths) / step) * step)}"


def _through(job: Job, part: Part, say: Say) -> str:
    """How far below the stock the holding lets drills come."""
    lowest = job.lowest_drilled
    return f"; drills Z {say.length(lowest)}" if lowest < part.lowest_cut else ""


def standing(part: Part, say: Say) -> Section:
    """What stands and what holds it, as numbers from the datum."""
    rows = [
        (
            str(number),
            region.name + (f": {region.about}" if region.about else ""),
            ", ".join(round_sizes(shown(region.region, part.stock), say.units)),
            *_extents(region.region.bounds, part.stock.bounds, say),
            say.z(region.top),
            "" if region.tolerance is None else f"±{say.bare(region.tolerance)}",
        )
        for number, region in enumerate(part.visible, start=1)
    ]
    rows += [
        (
            str(number),
            f"{blocked.name} (no tool below)",
            "",
            *_extents(blocked.region.bounds, None, say),
            say.z(blocked.top),
            "",
        )
        for number, blocked in enumerate(part.obstacles, start=len(rows) + 1)
    ]
    return Section(
        "standing",
        f"What stands, and where no tool may be ({say.unit} from the datum)",
        (
            Table(
                ("No.", "Region", "Ø, R", "X from", "X to", "Y from", "Y to", "Top Z", "Tolerance"),
                tuple(rows),
                (0.6, 3.3, 1.7, 1.15, 1.15, 1.15, 1.15, 1.15, 1.15),
                frozenset({3, 4, 5, 6, 7, 8}),
            ),
            *([Lines(below)] if (below := turning.hidden_rows(part, say)) else []),
        ),
    )


def drilled(job: Job, part: Part, say: Say) -> Section:
    """The holes, one row a place."""
    first = len(part.visible) + len(part.obstacles) + 1
    rows = []
    numbers: dict[str, int] = {}
    for hole in holes(job):
        number = numbers.setdefault(hole.name, first + len(numbers))
        size = (
            f"spot of Ø{say.bare(hole.diameter)}" if hole.is_spot else f"Ø{say.bare(hole.diameter)}"
        )
        to = "" if hole.to is None else say.z(hole.to)
        rows.append((str(number), hole.name, size, say.z(hole.at.x), say.z(hole.at.y), to))
    table = Table(
        ("No.", "Holes", "Ø", "X", "Y", "Z to, at the full diameter"),
        tuple(rows),
        (0.6, 4.0, 2.0, 1.5, 1.5, 2.6),
        frozenset({3, 4, 5}),
    )
    return Section("holes", f"Holes ({say.unit} from the datum)", (table,) if rows else ())


def _extents(
    box: tuple[float, float, float, float],
    within: tuple[float, float, float, float] | None,
    say: Say,
) -> tuple[str, str, str, str]:
    """X from, X to, Y from, Y to; an open region ends with the stock."""
    a, b, c, d = box
    if within is not None:
        a, b, c, d = max(a, within[0]), max(b, within[1]), min(c, within[2]), min(d, within[3])
    return say.z(a), say.z(c), say.z(b), say.z(d)


def _first_run(trial: ProveOutFacts | None) -> str:
    watch = "hand on feed hold, watch the distance to go"
    if trial is None:
        return (
            "First run: single block, rapids turned low, Z offset raised to cut air; then lower "
            f"it, {watch}."
        )
    return f"First run: {trial.file}, single block, rapids turned low, {watch}."


def checks(
    job: Job, part: Part, plan: OperationList, say: Say, trial: ProveOutFacts | None = None
) -> Section:
    """What to see to before pressing start, in the order of doing it."""
    later = job.setup is not None and job.setup.number > 1
    sides = (
        part.stock.bounds[2] - part.stock.bounds[0],
        part.stock.bounds[3] - part.stock.bounds[1],
    )
    size = " × ".join(say.bare(d) for d in (*sides, part.stock_top - part.stock_bottom))
    used = [tool for tool in job.tools if tool.name in {op.tool for op in plan.operations}]
    items = [
        f"This sheet, the program {job.output_name}.nc and the job carry the same digest "
        f"{job.digest[:16]}.",
        *turning.checks(job, part),
        *parts.checks(plan, say),
        f"{'The raw blank was measured' if later else 'Stock measured'}: {size} {say.unit}, "
        f"{job.material.title or job.material.name.replace('_', ' ')}.",
        f"Held as drawn{': ' + job.workholding.method if job.workholding.method else ''}. "
        "Seated, tight, and nothing in the way that the drawing does not show.",
        f"{job.datum.work_offset} set: X0 Y0 at {place(job)}"
        + (f", found by: {job.datum.found_by}." if job.datum.found_by else "."),
    ]
    if part.obstacles:
        tops = ", ".join(f"{b.name} up to Z {say.bare(b.top)}" for b in part.obstacles)
        items.append(f"Jaws, clamps and the like are no higher than said: {tops} {say.unit}.")
    for tool in used:
        offset = f"H{tool.length_offset}" if job.machine.program.length_offset else "Z0"
        items.append(
            f"T{tool.number} sharp, in its place, sticks out {say.length(tool.stickout)}; "
            f"{offset} measured."
        )
    items += tooling.wear(job, plan, say)
    items += [
        f"The control works in {'inches' if job.units == 'inch' else 'millimetres'}; no old "
        "offset, rotation or mirror is left on.",
        f"The way up to Z {say.length(plan.clearance_mm)} and across is free, and on up to "
        f"Z {say.length(plan.clearance_mm + CHANGE_LIFT)}, where the program goes at most to "
        "change tools by hand, to stop and to end.",
        "Guards shut, eyes protected, sleeves and hair tied back, stop button within reach.",
        _first_run(trial),
    ]
    return Section("checks", "Before pressing start", (Checks(tuple(items)),))
