"""No rapid touches material, a keep region or an obstacle, by the straight way or the dog-leg.

Regions and obstacles by exact distance; material on the raster, as it stands at that moment,
where contact in the outermost 0.02 mm of the rim is not told from a wall that is merely passed. A
rapid from where the text does not know the height must end above everything.
"""

import math

import numpy as np

from compiler.judge.case import SLACK, Case, tracks_of
from compiler.judge.declared import declared_holes
from compiler.judge.legs import ways
from compiler.judge.model import Obligation
from compiler.judge.spared import nearest
from compiler.read import Motion, columns
from compiler.units.number import counted


def check(case: Case) -> Obligation:
    """The first rapid that touches anything, else the least height of rapids across."""
    return _from_unknown(case) or _standing(case) or _material(case) or _held(case)


def _held(case: Case) -> Obligation:
    across = [
        k
        for k, m in enumerate(case.motions)
        if m.kind == "rapid" and case.known[k] and m.plan_length > 1e-9
    ]
    if not across:
        return Obligation(name="rapids_clear", held=True, what="No rapid goes across.", unit="mm")
    lowest = min(across, key=lambda k: float(case.z_low[k]))
    room = float(case.z_low[lowest]) - case.highest
    said = f"{counted(len(across), 'rapid')} across"
    return Obligation(
        name="rapids_clear",
        held=True,
        what=f"{said}, the lowest {case.length(room)} above everything."
        if room >= 0
        else f"{said}; the lowest runs through cleared space.",
        measured=float(case.z_low[lowest]),
        allowed=case.highest,
        margin=room if room >= 0 else 0.0,
        unit="mm",
        worst=case.place(lowest),
    )


def _broken(case: Case, index: int, what: str, remedy: str, depth: float) -> Obligation:
    return Obligation(
        name="rapids_clear",
        held=False,
        what=what,
        measured=depth,
        allowed=0.0,
        margin=-depth,
        unit="mm",
        worst=case.place(index),
        remedy=remedy,
    )


def _from_unknown(case: Case) -> Obligation | None:
    """Rapids whose start the text does not fix: up, home, or to a height above everything."""
    for k, motion in enumerate(case.motions):
        if motion.kind != "rapid" or case.known[k]:
            continue
        if motion.machine:
            if fault := _in_machine(case, k):
                return fault
            continue
        height = motion.end.z
        if math.isnan(height):
            if "Z" in motion.end.home:
                continue
            what = "A rapid goes across at a height that the program has not stated."
        elif height < case.highest:
            what = (
                f"A rapid goes down to Z {case.length(height)} from a height that the program "
                "has not stated."
            )
        elif math.isnan(motion.start.z) and not math.isnan(motion.end.x) and _moves_across(motion):
            what = "A rapid goes across and to a height at once, from a height not stated."
            if "Z" in motion.start.home:
                continue
        else:
            continue
        remedy = f"give Z {case.length(case.part.clearance)} by itself first"
        return _broken(
            case, k, what, remedy, max(0.0, case.highest - height) if height == height else 0.0
        )
    return None


def _in_machine(case: Case, index: int) -> Obligation | None:
    """Moves in machine coordinates: Z to its end of travel only, X and Y only above everything."""
    motion = case.motions[index]
    high = "Z" in motion.start.home or motion.start.z >= case.highest
    if "Z" in motion.machine and "Z" not in motion.end.home:
        what = "A rapid goes to a height in machine coordinates, which the text does not place."
    elif motion.machine.strip("Z") and not high:
        what = "A rapid goes across in machine coordinates from a height that is not clear."
    else:
        return None
    remedy = "send Z home by itself first"
    return _broken(case, index, what, remedy, 0.0)


def _moves_across(motion: Motion) -> bool:
    return motion.start.x != motion.end.x or motion.start.y != motion.end.y


def _material(case: Case) -> Obligation | None:
    rapids = np.array([m.kind == "rapid" for m in case.motions], dtype=bool)
    hit = np.flatnonzero(rapids & case.cut.facts.touched)
    if not hit.size:
        return None
    k = int(hit[0])
    depth = float(case.cut.facts.depth[k])
    remedy = (
        f"retract to Z {case.length(case.part.clearance)} first, and come down by feed "
        f"from {case.length(case.part.approach)} above the material"
    )
    return _broken(case, k, f"A rapid runs {case.length(depth)} deep into material.", remedy, depth)


def _standing(case: Case) -> Obligation | None:
    """Exact distances of all ways of every low rapid to regions and obstacles."""
    low: list[Motion] = []
    source: list[int] = []
    for k, motion in enumerate(case.motions):
        if motion.kind == "rapid" and case.known[k] and case.z_low[k] < case.highest:
            for way in ways(motion):
                low.append(way)
                source.append(k)
    if not low:
        return None
    tracks = tracks_of(columns(low))
    holes = declared_holes(case)[source]
    z_low = np.array([min(m.start.z, m.end.z) for m in low])

    def radius_at(motion: Motion, height: float) -> float:
        tool = next((t for t in case.job.tools if t.number == motion.state.tool), None)
        return case.profiles[tool.name].radius_at(height) if tool is not None else 0.0

    most = max((tool.radius for tool in case.job.tools), default=0.0)
    things = [(f"keep region `{s.name}`", s.region, s.top, holes) for s in case.part.standing]
    nowhere = np.zeros(len(low), dtype=bool)
    things += [(f"obstacle `{o.name}`", o.region, o.top, nowhere) for o in case.part.obstacles]
    for name, region, top, skip in things:
        found = nearest(low, tracks, z_low, region, top, radius_at, most_radius=most, skip=skip)
        if found.room < -SLACK:
            what = f"A rapid runs {case.length(-found.room)} into {name}."
            remedy = f"retract to Z {case.length(case.part.clearance)} before going across"
            return _broken(case, source[found.index], what, remedy, -found.room)
    return None
