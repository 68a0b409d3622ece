"""What the author left open, chosen: one value each, with the reason that the plan prints.

All rules of thumb here are common practice, no source, unless a line says otherwise.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Generic, TypeVar

from compiler.job.model import (
    CoolantKind,
    Direction,
    Job,
    Machine,
    Pass,
    PassKind,
    Pattern,
    Tool,
    Units,
)
from compiler.units.number import MM_PER_INCH, length, short

T = TypeVar("T", covariant=True)

CLEARING: tuple[PassKind, ...] = ("face", "rough", "rest", "finish_floor")
ROUGHING: tuple[PassKind, ...] = ("rough", "rest")

DEFAULT_ENGAGEMENT = math.radians(60)  # a quarter of the diameter along a straight wall


@dataclass(frozen=True, slots=True)
class Choice(Generic[T]):
    """A value and why it is that; no reason where the author said it."""

    value: T
    reason: str = ""


def reasons(choices: Sequence[Choice[object]]) -> tuple[str, ...]:
    """The reasons among the choices, in order, without repeats."""
    return tuple(dict.fromkeys(choice.reason for choice in choices if choice.reason))


def pattern(asked: Pass) -> Choice[Pattern | None]:
    """How the area is covered; None for passes that follow walls, edges or holes."""
    if asked.kind not in CLEARING:
        return Choice(None)
    if asked.pattern is not None:
        return Choice(asked.pattern)
    match asked.kind:
        case "rough" | "rest" if asked.engagement is not None:
            return Choice(
                "constant_engagement", "pattern constant_engagement: an engagement limit is given"
            )
        case "face":
            return Choice("direction_parallel", "pattern direction_parallel: a face has no walls")
        case _:
            return Choice("contour_parallel", "pattern contour_parallel: it follows the walls")


def direction(asked: Pass, chosen: Pattern | None) -> Choice[Direction]:
    """Climb unless said; to and fro for straight rows."""
    if asked.direction is not None:
        return Choice(asked.direction)
    if chosen == "direction_parallel":
        return Choice("both", "direction both: straight rows go to and fro")
    if asked.kind in CLEARING or asked.kind == "finish_walls":
        return Choice("climb", "direction climb: the usual choice on a machine without backlash")
    return Choice("climb")


def step(asked: Pass, tool: Tool, chosen: Pattern | None, units: Units) -> Choice[float]:
    """Radial depth of neighbouring rows, mm."""
    if asked.radial_depth is not None:
        return Choice(asked.radial_depth)
    if chosen == "constant_engagement" or asked.engagement is not None:
        given = asked.engagement if asked.engagement is not None else DEFAULT_ENGAGEMENT
        depth = tool.radius * (1 - math.cos(given))
        return Choice(
            depth,
            f"radial depth {length(depth, units)}: what {short(math.degrees(given), 1)} degrees "
            "of engagement are along a straight wall",
        )
    flat = tool.radius - tool.corner_radius
    match asked.kind:
        case "finish_floor":
            depth = max(min(0.5 * tool.diameter, flat), 0.1 * tool.diameter)
            why = "half the diameter, less what the corner radius does not flatten"
        case "face":
            depth = max(min(0.6 * tool.diameter, 2 * flat * 0.9), 0.1 * tool.diameter)
            why = "60 % of the diameter"
        case _:
            depth, why = 0.4 * tool.diameter, "40 % of the diameter"
    return Choice(depth, f"radial depth {length(depth, units)}: {why} (common practice)")


def engagement(asked: Pass, tool: Tool, chosen: Pattern | None) -> Choice[float | None]:
    """Limit of the engaged angle, rad; None where the pattern promises none.

    From the radial depth along a straight wall, cos(phi) = 1 - ae/r (plane geometry; El-Hofy,
    Fundamentals of Machining Processes, 2nd ed. 2014, sec. 6.3.1.4).
    """
    if chosen != "constant_engagement":
        return Choice(None)
    if asked.engagement is not None:
        return Choice(asked.engagement)
    if asked.radial_depth is not None:
        angle = math.acos(max(-1.0, 1 - asked.radial_depth / tool.radius))
        return Choice(
            angle,
            f"engagement {short(math.degrees(angle), 1)} degrees: what the radial depth is along "
            "a straight wall",
        )
    return Choice(
        DEFAULT_ENGAGEMENT,
        f"engagement {short(math.degrees(DEFAULT_ENGAGEMENT), 1)} degrees (common practice)",
    )


def wall_allowance(job: Job, place: int, left: float) -> Choice[float]:
    """What the pass leaves on walls, mm; `left` is what the passes before it left there."""
    asked = job.passes[place]
    if asked.wall_allowance is not None:
        return Choice(asked.wall_allowance)
    follows = any(later.kind == "finish_walls" for later in job.passes[place + 1 :])
    match asked.kind:
        case "rough" | "rest" if follows:
            value = 0.010 * MM_PER_INCH if job.units == "inch" else 0.25
            return Choice(
                value,
                f"wall allowance {length(value, job.units)} for the finish_walls pass to come "
                "(common practice)",
            )
        case "finish_floor" if follows and left > 0:
            return Choice(
                left, f"wall allowance {length(left, job.units)}: what was left for finish_walls"
            )
        case "face" | "finish_walls" | "drill" | "break_edges":
            return Choice(0.0)
        case _:
            return Choice(0.0, "no wall allowance: no finish_walls pass follows")


def floor_allowance(job: Job, place: int) -> Choice[float]:
    """What the pass leaves on floors, mm."""
    asked = job.passes[place]
    if asked.floor_allowance is not None:
        return Choice(asked.floor_allowance)
    if asked.kind not in ROUGHING:
        return Choice(0.0)
    if any(later.kind == "finish_floor" for later in job.passes[place + 1 :]):
        value = 0.005 * MM_PER_INCH if job.units == "inch" else 0.1
        return Choice(
            value,
            f"floor allowance {length(value, job.units)} for the finish_floor pass to come "
            "(common practice)",
        )
    return Choice(0.0, "no floor allowance: no finish_floor pass follows")


def foot(asked: Pass, tool: Tool, units: Units) -> Choice[float]:
    """What the tool's corners leave at the foot of walls, mm: a fillet of their radius."""
    along_walls = asked.kind in ("rough", "rest", "finish_floor", "finish_walls")
    if not along_walls or tool.corner_radius <= 0:
        return Choice(0.0)
    said = length(tool.corner_radius, units)
    return Choice(
        tool.corner_radius, f"leaves a fillet of {said} at the foot of walls: the tool's corners"
    )


def coolant(asked: Pass) -> Choice[CoolantKind]:
    """What is asked for; nothing is switched on that the author did not say."""
    if asked.coolant is not None:
        return Choice(asked.coolant)
    how = ", the pecks alone clear the chips" if asked.cycle in ("peck", "chip_break") else ""
    return Choice("none", f"coolant none: the pass asks for none{how}")


def link_feed(machine: Machine, feed: float, units: Units) -> Choice[float]:
    """Feed of links at depth through cleared area, mm/min: half the rapid, within the machine's."""
    value = min(machine.max_feed, max(feed, machine.rapid / 2))
    per_minute = f"{length(value, units)}/min"
    return Choice(value, f"links at depth at {per_minute}: half the rapid rate, within the feeds")


def ramp_angle(asked: Pass, material_angle: float) -> Choice[float]:
    """Steepest ramp or helix, rad."""
    if asked.entry.max_ramp_angle is not None:
        return Choice(asked.entry.max_ramp_angle)
    if asked.kind not in CLEARING:
        return Choice(material_angle)
    angle = short(math.degrees(material_angle), 2)
    return Choice(material_angle, f"ramps up to {angle} degrees: the material's")
