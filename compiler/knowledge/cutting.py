"""Speeds and feeds of one operation: from material, cutter and machine, or as the author gave them.

The chip decides. Cutting speed and chip load come from the material's table; the chip load is
raised where a light radial cut thins the chip, lowered for a long reach, a deep slot, and for
whatever machine and cutter would not bear. All are starting values, not limits of nature: the
sheet says where each came from. Lengths mm, feeds mm/min, speeds m/min, angles rad.
"""

from bisect import bisect_right
from dataclasses import dataclass, replace

from compiler.job.model import CuttingGiven, Machine, Material, Tool, Units
from compiler.knowledge import bending, force, power, speeds
from compiler.knowledge import engagement as rim
from compiler.knowledge.figures import (
    angle_text,
    length_text,
    round_feed,
    round_rpm,
    share_text,
    speed_text,
)
from compiler.knowledge.limits import Cut, bearable, steady_cut

# Common practice, no source, all of these.
MOST_THINNING = 2.0  # never raise the feed by more for a thinned chip
FINISHING_SHARE = 0.8  # of the table's chip load, and no raise for thinning, for the finish
LEAST_IN_SLOT = 0.5  # a deep slot lowers the chip load by half at most; bending does the rest
ENTRY_SHARE = 0.4  # of the feed of a shallow slot, down a ramp; the trade says 25-50 %
LIGHT_CUT = 0.3  # of the diameter: radial depth up to which the side depth is borne
THIN_SHARE = 0.25  # of the table's chip load: below this an edge rubs rather than cuts
STIFF_SHARE = 0.6  # of the table's chip load, that a worked-out depth leaves to the cutter
LEAST_DEPTH = 0.2  # of the usual depth: shallower than that does not help a cutter too slender
_REACH = ((3.0, 1.0), (5.0, 0.7), (8.0, 0.4))  # share of chip load and depth by stick-out over D


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingData:
    """Speeds and feeds of one operation, with how each came about.

    Attributes:
        rpm: Spindle speed.
        surface_speed: Cutting speed that this makes, m/min.
        feed: Of the cutter's centre in the normal cut, mm/min.
        slot_feed: Where the cutter is engaged over more than half its width.
        entry_feed: Down a ramp or helix.
        plunge_feed: Straight down in air, the last millimetre above the floor.
        finish_feed: Along a finished surface.
        chip_load: Feed per tooth that `feed` makes, mm.
        reasons: Each default, raise and clamp that mattered.
    """

    rpm: float
    surface_speed: float
    feed: float
    slot_feed: float
    entry_feed: float
    plunge_feed: float
    finish_feed: float
    chip_load: float
    reasons: tuple[str, ...]


def work_out(
    *,
    tool: Tool,
    material: Material,
    machine: Machine,
    given: CuttingGiven,
    axial_depth: float,
    radial_depth: float,
    engagement: float | None,
    finish: bool,
    units: Units = "mm",
) -> CuttingData:
    """Speeds and feeds for cutting `axial_depth` deep and `radial_depth` wide.

    Args:
        tool: The cutter.
        material: The stock's.
        machine: Whose limits the result keeps, but for what was given.
        given: What the author fixed; kept as it is (`given.check_given` says what is amiss).
        axial_depth: Depth along the cutter's axis.
        radial_depth: Width of the cut across the feed.
        engagement: The engaged angle that the pattern promises; None: as along a straight wall.
        finish: Whether the cut leaves a finished surface: less bending, no raise for thin chips.
        units: The job's, for round figures and for the words of the reasons.
    """
    rpm, reasons = _spindle(tool, material, machine, given, units)
    cut = steady_cut(
        tool=tool,
        material=material,
        machine=machine,
        rpm=rpm,
        axial_depth=axial_depth,
        radial_depth=radial_depth,
        engagement=engagement,
        finish=finish,
    )
    table = chip_load_for(tool, material)
    reasons += _table_reasons(tool, material, table, units)
    feed = _given_feed(given, rpm, tool)
    if feed is None:
        feed, why = _normal_feed(cut, table, finish, units)
        reasons += why
    slot, why = _slot_feed(cut, axial_depth, table, units)
    reasons += why if slot < feed else ()
    # a ramp goes down little by little, so it is a shallow slot however deep the level
    shallow = min(axial_depth, material.slot_depth * tool.diameter)
    entry = ENTRY_SHARE * min(feed, _slot_feed(cut, shallow, table, units)[0])
    finishing = speeds.table_feed(rpm, tool.flutes, FINISHING_SHARE * table)
    finish_feed = _finish_feed(given, feed, round_feed(finishing, units), finish)
    # in air there is no slot: what is slowed for is a floor that lies higher than it should
    plunge = ENTRY_SHARE * (finish_feed if finish else feed)
    return CuttingData(
        rpm=rpm,
        surface_speed=speeds.surface_speed(rpm, tool.diameter),
        feed=feed,
        slot_feed=min(feed, slot),
        entry_feed=round_feed(entry, units) if given.entry_feed is None else given.entry_feed,
        plunge_feed=round_feed(plunge, units) if given.entry_feed is None else given.entry_feed,
        finish_feed=finish_feed,
        chip_load=cut.chip_load(feed),
        reasons=reasons,
    )


def chip_load_for(tool: Tool, material: Material) -> float:
    """Feed per tooth, mm, from the material's table by diameter, lowered for a long reach.

    Linear between rows, in proportion to the diameter below the first, level above the last.
    """
    rows = material.chip_load[tool.material]
    return _between(rows, tool.diameter) * reach_share(tool)


def axial_depth_for(tool: Tool, material: Material, radial_depth: float) -> float:
    """Axial depth, mm, that the cutter bears at this radial depth: common practice, no source.

    The material's side depth up to a light cut, its slot depth at full width, linear between;
    lowered for a long reach, never more than the flutes, and no deeper than the cutter can go
    without bending too far at a good part of the table's chip load.
    """
    share = min(1.0, radial_depth / tool.diameter)
    weight = max(0.0, (share - LIGHT_CUT) / (1 - LIGHT_CUT))
    depth = material.side_depth + weight * (material.slot_depth - material.side_depth)
    deepest = min(depth * tool.diameter * reach_share(tool), tool.flute_length)
    return _stiff_depth(tool, material, rim.straight_wall(tool.radius, radial_depth), deepest)


def reach_share(tool: Tool) -> float:
    """Share of chip load and depth left to a cutter of this stick-out over diameter.

    All of it for a drill: it is pushed along its axis and guided by its hole (common practice, no
    source), and a thinner chip would rub.
    """
    if tool.kind == "drill":
        return 1.0
    reach = tool.stickout / tool.diameter
    if reach <= _REACH[0][0]:
        return 1.0
    return _between(_REACH, reach)


def _stiff_depth(tool: Tool, material: Material, angle: float, deepest: float) -> float:
    """The depth at which the cutter still bears a good part of its chip load, mm."""
    chip = STIFF_SHARE * chip_load_for(tool, material)
    specific = power.specific_force(material.specific_cutting_force, chip)

    def bears(depth: float) -> bool:
        share = force.peak_share(
            depth=depth,
            diameter=tool.diameter,
            engagement=angle,
            flutes=tool.flutes,
            helix=tool.helix_angle,
        )
        across = force.peak_force(fz=chip, depth=depth, share=share, specific=specific)
        height = bending.load_height(tool, depth)
        return across <= bending.largest_force(tool, bending.ROUGHING_DEFLECTION, height)

    depth = deepest
    while depth > LEAST_DEPTH * deepest and not bears(depth):
        depth *= 0.9
    return depth


def _spindle(
    tool: Tool, material: Material, machine: Machine, given: CuttingGiven, units: Units
) -> tuple[float, tuple[str, ...]]:
    """Revolutions per minute, and why."""
    if given.rpm is not None:
        return given.rpm, ("spindle speed as given",)
    if given.speed is not None:
        rpm = round_rpm(speeds.spindle_speed(given.speed, tool.diameter))
        return rpm, (f"spindle speed from the given {speed_text(given.speed, units)}",)
    wanted = material.cutting_speed[tool.material]
    rpm = speeds.spindle_speed(wanted, tool.diameter)
    said = f"{speed_text(wanted, units)} for {tool.material} in {material.name}"
    said += _source(material, f"cutting_speed.{tool.material}")
    if rpm > machine.max_rpm:
        return machine.max_rpm, (f"{said}, held to the machine's {machine.max_rpm:.0f} rpm",)
    if rpm < machine.min_rpm:
        return machine.min_rpm, (
            f"{said}, raised to the machine's least {machine.min_rpm:.0f} rpm",
        )
    return max(round_rpm(rpm), machine.min_rpm), (said,)


def _wanted_chip(table: float, angle: float, finish: bool) -> tuple[float, tuple[str, ...]]:
    """The chip load to ask for at this engaged angle, and why it is not the table's."""
    if finish:
        return FINISHING_SHARE * table, (
            f"{share_text(FINISHING_SHARE)} of the table's chip load for the finish",
        )
    factor = min(MOST_THINNING, rim.thinning_factor(angle)) if angle > 0 else MOST_THINNING
    if factor < 1.005:
        return table, ()
    return factor * table, (
        f"chip load raised {factor:.2f} times, for the chip is thin at {angle_text(angle)} engaged",
    )


def _normal_feed(
    cut: Cut, table: float, finish: bool, units: Units
) -> tuple[float, tuple[str, ...]]:
    """The feed of the steady cut, and why."""
    wanted, why = _wanted_chip(table, cut.engagement, finish)
    borne, bound = bearable(cut, speeds.table_feed(cut.rpm, cut.tool.flutes, wanted), units)
    feed = round_feed(borne, units)
    if cut.chip_load(feed) < THIN_SHARE * table:
        bound += ("the chip is thin: less axial depth would let the cutter cut, not rub",)
    return feed, why + bound


def _slot_feed(cut: Cut, depth: float, table: float, units: Units) -> tuple[float, tuple[str, ...]]:
    """The feed that the same cutter bears over its full width, so deep, and why it is less."""
    tool = cut.tool
    borne = cut.material.slot_depth * tool.diameter
    share = min(1.0, max(LEAST_IN_SLOT, borne / depth)) if depth > 0 else 1.0
    slot = replace(cut, axial_depth=depth, radial_depth=tool.diameter, engagement=rim.FULL)
    wanted = speeds.table_feed(cut.rpm, tool.flutes, share * table)
    feed, bound = bearable(slot, wanted, units)
    reasons = (f"{share_text(share)} of the chip load so deep",) if share < 0.995 else ()
    return round_feed(feed, units), tuple(f"in a slot, {reason}" for reason in (*reasons, *bound))


def _given_feed(given: CuttingGiven, rpm: float, tool: Tool) -> float | None:
    """The feed that the author fixed, straight or by the chip load."""
    if given.feed is not None:
        return given.feed
    if given.chip_load is not None:
        return speeds.table_feed(rpm, tool.flutes, given.chip_load)
    return None


def _finish_feed(given: CuttingGiven, feed: float, finishing: float, finish: bool) -> float:
    """The feed along a finished surface: given, or the operation's own, or no faster than both."""
    if given.finish_feed is not None:
        return given.finish_feed
    return feed if finish else min(feed, finishing)


def _source(material: Material, number: str) -> str:
    """Where a number of the material comes from, in brackets behind it."""
    source = material.sources.get(number) or material.sources.get("all")
    return f" ({source})" if source else ""


def _table_reasons(tool: Tool, material: Material, table: float, units: Units) -> tuple[str, ...]:
    """Where the chip load starts from."""
    said = f"chip load {length_text(table, units)} a tooth from the material's table"
    said += _source(material, "chip_load")
    share = reach_share(tool)
    if share > 0.995:
        return (said,)
    reach = f"{tool.stickout / tool.diameter:.1f}"
    return (f"{said}, {share_text(share)} of it for a reach of {reach} diameters",)


def _between(rows: tuple[tuple[float, float], ...], at: float) -> float:
    """Linear between rows; through the origin below the first, level above the last."""
    if at <= rows[0][0]:
        return rows[0][1] * at / rows[0][0]
    if at >= rows[-1][0]:
        return rows[-1][1]
    above = bisect_right(rows, at, key=lambda row: row[0])
    (x0, y0), (x1, y1) = rows[above - 1], rows[above]
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
