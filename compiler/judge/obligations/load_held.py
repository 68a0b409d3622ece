"""Chip load, cutting speed, power, torque and bending stay inside what tool and machine bear.

Worked out anew from what was removed and how the cutter was engaged, not from the plan:
removal rate by depth, engaged angle and feed (or by the raster's volume where that is more), power
from the material's specific cutting force, torque from power and speed (handbook formulas, as in
Machinery's Handbook), mean tangential force from power and cutting speed, bending of a stepped
cantilever with 0.8 of the diameter over the flutes (Kops and Vo, CIRP Annals 39/1, 1990). Greatest
chip by the circular-arc model (Martellotti, Trans. ASME 63, 1941; from memory): by the engaged
angle where the cut lies to one side, by the places that were met where a rib stands ahead.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.job.model import Machine, Tool
from compiler.judge.case import Case
from compiler.judge.inside import Floats
from compiler.judge.model import Obligation

EFFICIENCY = 0.8  # spindle power over motor power, 0.7 to 0.85: common practice, no source
CHIP_FACTOR = 2.0  # of the table's chip load; starting values span that much: common practice
# However narrow the cut, a tooth is not credited with a thinner chip than this part of its feed:
# the moment it meets more, it takes more (feeds are raised 2.5 times at most: common practice).
THINNEST = 0.4
SPEED_FACTOR = 2.0  # of the table's cutting speed, or what the plan says if that is more: the same
ROUGH_BEND = 0.05  # mm at the tip; common practice, no source
FINISH_BEND = 0.025  # mm at the tip; common practice, no source
MODULUS = {"carbide": 600e3, "hss": 210e3}  # N/mm2; from memory of materials handbooks
CORE = 0.8  # equivalent diameter of the fluted part, Kops and Vo 1990
Ints = npt.NDArray[np.int64]

_FINISHING = frozenset({"finish_walls", "finish_floor", "break_edges"})
# Of the radius: power, torque and force are means over that much path, some turns of the spindle. A
# shorter peak, as in the last moment before a corner, is borne by what turns (common practice, no
# source).
STRETCH = 0.5
_LEAST_DEPTH = 0.02  # mm: rasters' edges are no cut
_ROUNDING = 1.005  # feeds and speeds are rounded when written


@dataclass(frozen=True, slots=True)
class Load:
    """One quantity at its worst: what was met, what is borne, and on which motion."""

    name: str
    measured: float
    allowed: float
    unit: str
    index: int

    @property
    def ratio(self) -> float:
        """How much of what is borne was taken."""
        return self.measured / self.allowed


def check(case: Case) -> Obligation:
    """The load that takes the greatest share of what is borne."""
    loads = worst_loads(case)
    if not loads:
        return Obligation(name="load_held", held=True, what="Nothing is cut.")
    worst = max(loads, key=lambda load: load.ratio)
    held = worst.ratio <= _ROUNDING
    # rounding's share is shown where it is needed, so that held is a margin of 0 or more
    allowed = worst.allowed * (_ROUNDING if held and worst.ratio > 1 else 1.0)
    shares = ", ".join(f"{load.name} {100 * load.ratio:.0f} %" for load in loads)
    missing = [
        text
        for value, text in (
            (case.job.machine.power, "power"),
            (_torque_at(case.job.machine, np.ones(1)), "torque"),
        )
        if value is None
    ]
    unsaid = (
        f" Not stated for the machine, so not checked: {', '.join(missing)}." if missing else ""
    )
    return Obligation(
        name="load_held",
        held=held,
        what=f"At their greatest, of what is borne: {shares}.{unsaid}",
        measured=worst.measured,
        allowed=allowed,
        margin=allowed - worst.measured,
        unit=worst.unit,
        worst=case.place(worst.index),
        remedy="" if held else _remedy(case, worst),
    )


def _remedy(case: Case, worst: Load) -> str:
    if worst.name == "speed":
        rpm = case.motions[worst.index].state.rpm / worst.ratio
        return f"turn at most {rpm:.0f} rpm there"
    feed = case.motions[worst.index].state.feed / worst.ratio
    return f"feed at most {case.feed(feed)} there, or cut shallower or narrower"


def worst_loads(case: Case) -> tuple[Load, ...]:
    """Each quantity at its worst over all cutting moves, in a fixed order."""
    wide = _widest(case)
    rates = removal_rates(case)
    worst: dict[str, Load] = {}
    facts = case.cut.facts
    cutting = np.flatnonzero(case.fed & case.known & (facts.depth > _LEAST_DEPTH))
    for (tool, owner), at in _alike(case, cutting).items():
        for load in _loads(case, case.job.tools[tool], owner, at, wide[at], rates[at]):
            best = worst.get(load.name)
            if best is None or (load.ratio, -load.index) > (best.ratio, -best.index):
                worst[load.name] = load
    return tuple(
        worst[name] for name in ("chip", "speed", "power", "torque", "bending") if name in worst
    )


def _widest(case: Case) -> Floats:
    """The greatest engaged angle on each motion, rad; -1 where it was not measured."""
    wide = np.full(len(case.motions), -1.0)
    np.maximum.at(wide, case.cut.samples.motion, case.cut.samples.angle)
    return wide


def removal_rates(case: Case) -> Floats:
    """The greatest removal rate on each motion, mm3/min, as means over `STRETCH` of path.

    The larger of what the raster lost, and what depth and engaged angle say:
    depth times r (1 - cos angle) times feed.
    """
    facts, samples = case.cut.facts, case.cut.samples
    feeds = np.maximum(case.columns.feed, 1e-9)
    radii = np.array([*(tool.radius for tool in case.job.tools), 1.0])[case.tool_at]
    rates = np.zeros(len(case.motions))
    fed = np.flatnonzero(case.fed & case.known)
    lengths, numbers = case.columns.length[fed], case.tool_at
    lost = _running_rate(
        facts.removed[fed], lengths, feeds[fed], STRETCH * radii[fed], numbers[fed]
    )
    np.maximum.at(rates, fed, lost)
    of = samples.motion
    section = facts.depth[of] * radii[of] * (1 - np.cos(samples.angle))
    met = _running_rate(
        section * samples.length, samples.length, feeds[of], STRETCH * radii[of], numbers[of]
    )
    np.maximum.at(rates, of, met)
    return rates


def _running_rate(
    volume: Floats, length: Floats, feed: Floats, stretch: Floats, tool: npt.NDArray[np.int64]
) -> Floats:
    """Volume over time in the stretch of path that ends with each entry, mm3/min.

    No stretch reaches back over a change of tool.
    """
    if not volume.size:
        return volume
    path = np.concatenate([[0.0], np.cumsum(length)])
    lost = np.concatenate([[0.0], np.cumsum(volume)])
    time = np.concatenate([[0.0], np.cumsum(length / feed)])
    end = path[1:]
    changed = np.concatenate([[True], tool[1:] != tool[:-1]])
    since = path[:-1][changed][np.cumsum(changed) - 1]
    begin = np.maximum(end - stretch, since)
    taken = lost[1:] - np.interp(begin, path, lost)
    spent = time[1:] - np.interp(begin, path, time)
    rate: Floats = taken / np.maximum(spent, 1e-9)
    return rate


def _alike(case: Case, cutting: Ints) -> dict[tuple[int, str | None], Ints]:
    """Moves that cut by the tool and the operation that they are of."""
    turning = case.columns.length > 0
    found: dict[tuple[int, str | None], list[int]] = {}
    for k in cutting.tolist():
        motion, tool = case.motions[k], int(case.tool_at[k])
        if tool >= 0 and motion.state.rpm > 0 and turning[k]:
            found.setdefault((tool, case.owner(motion.line)), []).append(k)
    return {key: np.array(at, dtype=np.int64) for key, at in found.items()}


def _loads(
    case: Case, tool: Tool, owner: str | None, at: Ints, angle: Floats, rate: Floats
) -> Iterator[Load]:
    """Each quantity at its worst over the moves of a tool in one operation."""
    machine, material = case.job.machine, case.job.material
    rpm = np.array([case.motions[k].state.rpm for k in at.tolist()], dtype=np.float64)
    operation = next((op for op in case.plan.operations if op.id == owner), None)
    chip = np.minimum(case.columns.feed[at], machine.max_feed) / (rpm * tool.flutes)
    ahead = np.maximum(case.cut.facts.thickest[at], THINNEST)
    share = np.maximum(np.sin(np.minimum(angle, math.pi / 2)), ahead)
    chip = np.where(angle > 0, chip * share, chip)
    table = _table_chip(case, tool)
    if table > 0:
        yield _worst("chip", chip, CHIP_FACTOR * table, "mm", at)
    speed = math.pi * tool.diameter * rpm / 1000
    if (quickest := material.cutting_speed.get(tool.material, 0.0)) > 0:
        allowed = SPEED_FACTOR * quickest
        if operation is not None:
            allowed = max(allowed, math.pi * tool.diameter * operation.cutting.rpm / 1000)
        yield _worst("speed", speed, allowed, "m/min", at)
    power = rate * material.specific_cutting_force / 60e6
    if machine.power is not None:
        yield _worst("power", power / EFFICIENCY, machine.power, "kW", at)
    torque = _torque_at(machine, rpm)
    if torque is not None:
        yield _worst("torque", 9549.297 * power / rpm, torque, "N m", at)
    aside = np.flatnonzero(angle > 0)
    if tool.kind != "drill" and aside.size:
        bend = deflection(tool, 1.0) * (60000 * power / speed)[aside]
        finishing = operation is not None and operation.kind in _FINISHING
        yield _worst("bending", bend, FINISH_BEND if finishing else ROUGH_BEND, "mm", at[aside])


def _worst(name: str, measured: Floats, allowed: Floats | float, unit: str, at: Ints) -> Load:
    """The one that takes most of what is borne; the first of several."""
    borne = np.broadcast_to(np.asarray(allowed, dtype=np.float64), measured.shape)
    k = int(np.argmax(measured / borne))
    return Load(name, float(measured[k]), float(borne[k]), unit, int(at[k]))


def _torque_at(machine: Machine, rpm: Floats) -> Floats | None:
    """What the machine's entry allows at each speed, N m: the lower of peak and curve."""
    said: list[Floats] = []
    if machine.peak_torque is not None:
        said.append(np.full(rpm.shape, machine.peak_torque))
    if machine.torque_curve:
        speeds, torques = zip(*machine.torque_curve, strict=True)
        said.append(np.interp(rpm, speeds, torques))
    return np.minimum.reduce(said) if said else None


def deflection(tool: Tool, force: float) -> float:
    """How far the tip bends under a force across it, mm and N: a stepped cantilever.

    F / (3 E) (Lf^3 / If + (L^3 - Lf^3) / Is), the flutes with `CORE` of the diameter.
    """
    reach = tool.stickout
    fluted = min(tool.flute_length, reach)
    core = math.pi * (CORE * tool.diameter) ** 4 / 64
    shank = math.pi * tool.shank_diameter**4 / 64
    return (
        force / (3 * MODULUS[tool.material]) * (fluted**3 / core + (reach**3 - fluted**3) / shank)
    )


def _table_chip(case: Case, tool: Tool) -> float:
    """The material's chip load for the tool's diameter, between rows in proportion, mm."""
    rows = case.job.material.chip_load.get(tool.material, ())
    if not rows:
        return 0.0
    return float(np.interp(tool.diameter, [d for d, _ in rows], [c for _, c in rows]))
