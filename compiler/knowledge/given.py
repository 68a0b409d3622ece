"""What is wrong with the cutting data that an author gave: they are kept, but not unexamined."""

from dataclasses import dataclass

from compiler.diagnostics import Severity
from compiler.job.model import CuttingGiven, Machine, Material, Tool, Units
from compiler.knowledge import engagement as rim
from compiler.knowledge import speeds
from compiler.knowledge.cutting import CuttingData, chip_load_for
from compiler.knowledge.figures import feed_text, length_text, round_feed, round_rpm, speed_text
from compiler.knowledge.limits import Cut, bearable, limits, steady_cut
from compiler.units.figures import in_job_units

FAST = 1.5  # times the table's cutting speed
THICK = 1.5  # times the table's thickest chip
THIN = 0.25  # of it


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing amiss: at which key of `cutting` (empty: the tool), how badly, what to do."""

    key: str
    severity: Severity
    message: str
    help: str


def check_given(
    *,
    tool: Tool,
    material: Material,
    machine: Machine,
    given: CuttingGiven,
    data: CuttingData,
    axial_depth: float,
    radial_depth: float,
    engagement: float | None,
    finish: bool,
    units: Units = "mm",
) -> tuple[Doubt, ...]:
    """What speaks against the given values. `data` is what `work_out` made of them.

    Beyond what machine and cutter bear is an error, beyond the table's ranges a warning. Worked-out
    values raise no doubt. Arguments as for `work_out`.
    """
    cut = steady_cut(
        tool=tool,
        material=material,
        machine=machine,
        rpm=data.rpm,
        axial_depth=axial_depth,
        radial_depth=radial_depth,
        engagement=engagement,
        finish=finish,
    )
    return (
        *_speed_doubts(tool, material, machine, given, data, units),
        *_load_doubts(cut, given, data, units),
        *_chip_doubts(tool, material, given, data, cut.engagement, units),
        *_other_feeds(machine, given, units),
    )


def check_reach(tool: Tool) -> tuple[Doubt, ...]:
    """Whether the cutter sticks out further than it can cut well: common practice, no source."""
    reach = tool.stickout / tool.diameter
    if tool.kind == "drill" or reach <= 5:
        return ()
    return (
        Doubt(
            "",
            Severity.WARNING,
            f"the cutter sticks out {reach:.1f} times its diameter",
            "grip it shorter, or take a thicker one: beyond 5 diameters a cutter chatters, "
            "beyond 8 hardly any cut is steady",
        ),
    )


def _speed_doubts(
    tool: Tool,
    material: Material,
    machine: Machine,
    given: CuttingGiven,
    data: CuttingData,
    units: Units,
) -> list[Doubt]:
    if given.rpm is None and given.speed is None:
        return []
    key = "rpm" if given.rpm is not None else "speed"
    doubts = []
    if not machine.min_rpm <= data.rpm <= machine.max_rpm:
        doubts.append(
            Doubt(
                key,
                Severity.ERROR,
                f"{data.rpm:.0f} rpm is not within the machine's "
                f"{machine.min_rpm:.0f} to {machine.max_rpm:.0f} rpm",
                f"ask for {min(max(data.rpm, machine.min_rpm), machine.max_rpm):.0f} rpm",
            )
        )
    table = material.cutting_speed[tool.material]
    if data.surface_speed > FAST * table:
        rpm = round_rpm(speeds.spindle_speed(table, tool.diameter))
        doubts.append(
            Doubt(
                key,
                Severity.WARNING,
                f"{speed_text(data.surface_speed, units)} is fast for {tool.material} in "
                f"{material.name}",
                f"{speed_text(table, units)}, {rpm:.0f} rpm here, is a usual start",
            )
        )
    if given.rpm is not None and given.speed is not None:
        asked = speeds.spindle_speed(given.speed, tool.diameter)
        if abs(asked - given.rpm) > 0.01 * given.rpm:
            doubts.append(
                Doubt(
                    "speed",
                    Severity.WARNING,
                    f"{speed_text(given.speed, units)} would be {asked:.0f} rpm, not the "
                    f"given {given.rpm:.0f}; the rpm is used",
                    "give one of the two",
                )
            )
    return doubts


def _load_doubts(cut: Cut, given: CuttingGiven, data: CuttingData, units: Units) -> list[Doubt]:
    if given.feed is None and given.chip_load is None:
        return []
    key = "feed" if given.feed is not None else "chip_load"
    doubts = []
    best = round_feed(bearable(cut, data.feed, units)[0], units)
    remedy = feed_text(best, units)
    if key == "chip_load":
        remedy = f"a chip load of {length_text(cut.chip_load(best), units)}, {remedy}"
    for limit in limits(cut, units):
        taken = limit.taken(data.feed)
        if taken > limit.allowed * (1 + 1e-9):
            doubts.append(
                Doubt(
                    key,
                    Severity.ERROR,
                    f"a feed of {feed_text(data.feed, units)} asks "
                    f"{_figure(taken, limit.unit, units)}, more than {limit.name} of "
                    f"{_figure(limit.allowed, limit.unit, units)}",
                    f"{remedy} would be borne; so would less depth",
                )
            )
    return doubts


def _figure(value: float, unit: str, units: Units) -> str:
    """Three figures and the unit, as the job says it."""
    number, name = in_job_units(value, unit, units)
    return f"{number:.3g} {name}"


def _chip_doubts(
    tool: Tool,
    material: Material,
    given: CuttingGiven,
    data: CuttingData,
    angle: float,
    units: Units,
) -> list[Doubt]:
    if given.feed is None and given.chip_load is None:
        return []
    key = "feed" if given.feed is not None else "chip_load"
    table = chip_load_for(tool, material)
    thickest = rim.thickest_chip(data.chip_load, angle)
    feed = feed_text(speeds.table_feed(data.rpm, tool.flutes, table), units)
    usual = f"{length_text(table, units)} a tooth, {feed} here, is a usual start"
    said = f"a chip load of {length_text(data.chip_load, units)}"
    if thickest > THICK * table:
        return [Doubt(key, Severity.WARNING, f"{said} is heavy for this cutter", usual)]
    if data.chip_load < THIN * table:
        return [Doubt(key, Severity.WARNING, f"{said} is so thin that the edge may rub", usual)]
    return []


def _other_feeds(machine: Machine, given: CuttingGiven, units: Units) -> list[Doubt]:
    highest = feed_text(machine.max_feed, units)
    return [
        Doubt(
            key,
            Severity.ERROR,
            f"{feed_text(feed, units)} is more than the machine's highest feed of {highest}",
            f"ask for {highest} or less",
        )
        for key, feed in (("entry_feed", given.entry_feed), ("finish_feed", given.finish_feed))
        if feed is not None and feed > machine.max_feed
    ]
