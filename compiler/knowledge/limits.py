"""What machine and cutter bear: the highest feed within power, torque, bending and the table's own.

Lengths mm, feeds mm/min, angles rad.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise

from compiler.job.model import Machine, Material, Tool, Units
from compiler.knowledge import bending, force, power, speeds
from compiler.knowledge import engagement as rim
from compiler.knowledge.figures import feed_text, length_text

TORQUE_SHARE = 0.8  # of the peak torque that may be used: common practice, no source


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """A cutter at work in steady state: how fast it turns, how deep and wide it cuts.

    `deflection` is how far the tip may bend.
    """

    tool: Tool
    material: Material
    machine: Machine
    rpm: float
    axial_depth: float
    radial_depth: float
    engagement: float
    deflection: float
    share: float = field(init=False)

    def __post_init__(self) -> None:
        helix = min(self.tool.helix_angle, math.radians(60))
        share = force.peak_share(
            depth=self.axial_depth,
            diameter=self.tool.diameter,
            engagement=max(self.engagement, 1e-3),
            flutes=self.tool.flutes,
            helix=helix,
        )
        object.__setattr__(self, "share", share)

    def chip_load(self, feed: float) -> float:
        """Feed per tooth at this feed."""
        return speeds.chip_load(feed, self.rpm, self.tool.flutes)

    def power(self, feed: float) -> float:
        """Power asked of the motor, kW, the spindle's losses included."""
        specific = power.specific_force(self.material.specific_cutting_force, self.chip_load(feed))
        return power.cutting_power(self._section() * feed, specific) / power.EFFICIENCY

    def torque(self, feed: float) -> float:
        """Torque asked of the spindle, N m."""
        return power.torque(self.power(feed) * power.EFFICIENCY, self.rpm)

    def force(self, feed: float) -> float:
        """Largest force across the cutter, N; none for a drill, which is pushed along its axis."""
        if self.tool.kind == "drill":
            return 0.0
        chip = self.chip_load(feed)
        specific = power.specific_force(self.material.specific_cutting_force, chip)
        return force.peak_force(
            fz=chip, depth=self.axial_depth, share=self.share, specific=specific
        )

    def _section(self) -> float:
        """Area of the cut across the direction of feed, mm2."""
        if self.tool.kind == "drill":
            return math.pi * self.tool.diameter**2 / 4
        return self.axial_depth * self.radial_depth


def steady_cut(
    *,
    tool: Tool,
    material: Material,
    machine: Machine,
    rpm: float,
    axial_depth: float,
    radial_depth: float,
    engagement: float | None,
    finish: bool,
) -> Cut:
    """The cut of an operation in its steady state; arguments as for `cutting.work_out`."""
    angle = rim.straight_wall(tool.radius, radial_depth) if engagement is None else engagement
    return Cut(
        tool=tool,
        material=material,
        machine=machine,
        rpm=rpm,
        axial_depth=axial_depth,
        radial_depth=rim.radial_depth_at(angle, tool.radius),
        engagement=angle,
        deflection=bending.FINISHING_DEFLECTION if finish else bending.ROUGHING_DEFLECTION,
    )


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing that is bounded: how much of it a feed takes, and how much there is."""

    name: str
    taken: Callable[[float], float]
    allowed: float
    unit: str


def available_torque(machine: Machine, rpm: float) -> float | None:
    """The spindle's torque at a speed, N m: its curve, never above its peak; None if unsaid.

    Straight between the curve's rows, level beyond them.
    """
    curve, peak = machine.torque_curve, machine.peak_torque
    if not curve:
        return peak
    torque = curve[0][1] if rpm <= curve[0][0] else curve[-1][1]
    for (slow, low), (fast, high) in pairwise(curve):
        if slow < rpm <= fast:
            torque = low + (high - low) * (rpm - slow) / (fast - slow)
    return torque if peak is None else min(torque, peak)


def limits(cut: Cut, units: Units) -> tuple[Limit, ...]:
    """Everything that bounds the feed of this cut. What the shop did not say bounds nothing."""
    machine, tool = cut.machine, cut.tool
    found = [Limit("the machine's highest feed", lambda feed: feed, machine.max_feed, "mm/min")]
    if machine.power is not None:
        found.append(Limit("the spindle's power", cut.power, machine.power, "kW"))
    torque = available_torque(machine, cut.rpm)
    if torque is not None:
        allowed = torque * TORQUE_SHARE
        found.append(Limit("the spindle's torque", cut.torque, allowed, "N m"))
    bend = length_text(cut.deflection, units, figures=2)
    strength = f"the cutter's bending ({bend} at the tip, or its strength)"
    height = bending.load_height(tool, cut.axial_depth)
    allowed = bending.largest_force(tool, cut.deflection, height)
    found.append(Limit(strength, cut.force, allowed, "N"))
    return tuple(found)


def bearable(cut: Cut, feed: float, units: Units) -> tuple[float, tuple[str, ...]]:
    """The highest feed up to `feed` that everything bears, and why it is less where it is."""
    reasons = []
    for limit in limits(cut, units):
        if limit.taken(feed) <= limit.allowed:
            continue
        lower = _highest(limit, feed)
        before, after = feed_text(feed, units), feed_text(lower, units)
        reasons.append(f"feed lowered from {before} to {after} by {limit.name}")
        feed = lower
    return feed, tuple(reasons)


def _highest(limit: Limit, feed: float) -> float:
    """The feed at which the limit is just held; what is taken rises with the feed."""
    low, high = 0.0, feed
    for _ in range(50):
        middle = (low + high) / 2
        if limit.taken(middle) <= limit.allowed:
            low = middle
        else:
            high = middle
    return low
