"""The operations in order, as the machine will do them, with what the evidence measured."""

from compiler.judge.model import OperationFacts, Report
from compiler.part.model import Part
from compiler.plan.model import Operation, OperationList, PlannedTool
from compiler.sheet.content import Facts, Lines, Section, Table
from compiler.sheet.say import Say, time
from compiler.units.number import short

MOST_LETTERS = 110  # of names in one fact


def operations(plan: OperationList, report: Report, say: Say) -> Section:
    """One row an operation, and below it what was defaulted or reduced, and why."""
    facts = {entry.operation: entry for entry in report.operations}
    tools = {tool.name: f"T{tool.number}" for tool in plan.tools}
    rows = tuple(
        _row(number, operation, tools[operation.tool], facts.get(operation.id), say)
        for number, operation in enumerate(plan.operations, start=1)
    )
    stops = tuple(
        f"The program stops before {operation.id}"
        + (f": {operation.about}" if operation.about else ".")
        for operation in plan.operations
        if operation.stop_before
    )
    head = (
        "No.",
        "Operation",
        "Tool",
        "Z from",
        "Z to",
        "rpm",
        f"Feed {say.feed_unit}",
        "Entry feed",
        "Coolant",
        "Time",
        "Line",
    )
    table = Table(
        head,
        rows,
        (0.6, 4.9, 0.9, 1.2, 1.2, 1.0, 1.2, 1.1, 1.5, 1.6, 0.9),
        frozenset({3, 4, 5, 6, 7, 9, 10}),
    )
    total = (
        f"Whole program {time(report.time_s)}, {report.blocks} blocks, "
        f"{say.volume(report.removed_mm3)} of chips. Tool changes are counted as the machine's "
        "entry says."
    )
    return Section("operations", f"Operations ({say.unit})", (table, Lines((*stops, total))))


def _row(
    number: int, operation: Operation, tool: str, facts: OperationFacts | None, say: Say
) -> tuple[str, ...]:
    kind = operation.kind.replace("_", " ")
    said = operation.id.replace("_", " ").startswith(kind)
    words = [operation.id if said else f"{operation.id}: {kind}"]
    if operation.pattern:
        words.append(operation.pattern.replace("_", " "))
    if operation.kind != "drill":
        words.append(operation.direction if operation.direction != "both" else "to and fro")
    words += _ways(operation, say)
    if operation.radial_depth_mm and operation.pattern:
        words.append(f"radial {say.bare(operation.radial_depth_mm)}")
    many = len({(level.top_mm, level.bottom_mm) for level in operation.levels})
    if many > 1:
        words.append(f"{many} levels")
    if operation.wall_allowance_mm or operation.floor_allowance_mm:
        words.append(
            f"leaves {say.bare(operation.wall_allowance_mm)} wall, "
            f"{say.bare(operation.floor_allowance_mm)} floor"
        )
    top = max((level.top_mm for level in operation.levels), default=0.0)
    bottom = min((level.bottom_mm for level in operation.levels), default=0.0)
    return (
        str(number),
        ", ".join(words),
        tool,
        say.z(top),
        say.z(bottom),
        short(operation.cutting.rpm, 0),
        say.feed(running_feed(operation)),
        say.feed(operation.cutting.entry_feed_mm_min),
        operation.coolant,
        "" if facts is None else time(facts.time_s),
        "" if facts is None else str(facts.first_line),
    )


def _ways(operation: Operation, say: Say) -> list[str]:
    """How walls and holes are made, where not the plain way."""
    words: list[str] = []
    if operation.cycle in ("spot", "chip_break"):
        words.append(operation.cycle.replace("_", " "))
    if operation.peck_mm is not None:
        words.append(f"pecks {say.bare(operation.peck_mm)}")
    if operation.dwell_s:
        words.append(f"stays {short(operation.dwell_s, 2)} s")
    if operation.spring_passes:
        words.append(f"spring passes {operation.spring_passes}")
    if operation.wear_range_mm is not None:
        words.append(f"wear offset ±{say.bare(operation.wear_range_mm)}")
    return words


def cuts(part: Part, plan: OperationList, report: Report, say: Say) -> Section:
    """What each operation takes away and what stays after it: facts for each, in order."""
    facts = {entry.operation: entry for entry in report.operations}
    cutters = {tool.name: tool for tool in plan.tools}
    said = tuple(
        _cut(part, operation, cutters.get(operation.tool), facts.get(operation.id), say)
        for operation in plan.operations
    )
    return Section("cuts", "What each operation cuts, and what remains", said)


def _cut(
    part: Part,
    operation: Operation,
    tool: PlannedTool | None,
    facts: OperationFacts | None,
    say: Say,
) -> Facts:
    bottom = min((level.bottom_mm for level in operation.levels), default=part.stock_top)
    top = max((level.top_mm for level in operation.levels), default=part.stock_top)
    rows = [("Operation", operation.id)]
    if tool is not None:
        rows.append(("Tool", f"T{tool.number}, Ø{say.bare(tool.diameter_mm)}"))
    taken = "" if facts is None else f"{say.volume(facts.removed_mm3)}, "
    rows.append(("Cuts", f"{taken}from Z {say.bare(top)} to Z {say.bare(bottom)}"))
    speed, feed = short(operation.cutting.rpm, 0), say.feed(running_feed(operation))
    rows.append(("Speed, feed", f"{speed} rpm, {feed} {say.feed_unit}"))
    stays = [region.name for region in part.visible if region.top > bottom + 1e-9]
    rows.append(("Remains", _listed(stays) or "nothing above that"))
    left = [
        f"{say.length(allowance)} on {where}"
        for allowance, where in (
            (operation.wall_allowance_mm, "the walls"),
            (operation.floor_allowance_mm, "the floor"),
        )
        if allowance > 0
    ]
    rows.append(("Left for later", ", ".join(left) or "nothing"))
    if facts is not None:
        rows += [("Time", time(facts.time_s)), ("Starts at line", str(facts.first_line))]
    return Facts(tuple(rows))


def _listed(names: list[str]) -> str:
    """Names in a row, the rest of many as a count."""
    said = ""
    for number, name in enumerate(names):
        if len(said) + len(name) > MOST_LETTERS and number:
            return f"{said} and {len(names) - number} more"
        said += f", {name}" if said else name
    return said


def running_feed(operation: Operation) -> float:
    """The feed that an operation cuts at, mm/min."""
    if operation.kind in ("finish_walls", "finish_floor"):
        return operation.cutting.finish_feed_mm_min
    return operation.cutting.feed_mm_min


def reasons(plan: OperationList) -> Section:
    """Each default, clamp and reduction that mattered, by operation."""
    where: dict[str, list[str]] = {}  # a reason is told once, with all it holds for
    for operation in plan.operations:
        for reason in (*operation.reasons, *operation.cutting.reasons):
            where.setdefault(reason, []).append(operation.id)
    said = tuple(f"{', '.join(dict.fromkeys(ids))}: {reason}" for reason, ids in where.items())
    return Section("reasons", "Where these numbers come from", (Lines(said),) if said else ())
