"""Drilling cycles G81, G82 and G83 as the moves they stand for (NISTIR 6556 sec. 3.5.16). mm.

G73 is not in the report: common practice, no source, for pecks with a short way back by rapid.
"""

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from compiler.read.far import check_count
from compiler.read.groups import CHIP_BREAKING, whole
from compiler.read.model import Place
from compiler.read.refusal import RefusalError

# G83 comes back down by rapid "to a bit above" the last depth; the report leaves the bit open.
PECK_GAP = 0.254
PECKING = (CHIP_BREAKING, 830)


@dataclass(frozen=True, slots=True)
class Sticky:
    """What a cycle remembers from block to block: the R plane, depth, peck and dwell; mm, s."""

    code: int
    retract: float
    depth: float
    peck: float = 0.0
    dwell: float = 0.0


@dataclass(frozen=True, slots=True)
class Leg:
    """One move of a cycle: rapid or fed to a place, or a dwell there."""

    rapid: bool
    to: Place
    dwell: float = 0.0


def resolve(
    code: int,
    words: Mapping[str, float],
    before: Sticky | None,
    z_now: float,
    *,
    scale: float,
    absolute: bool,
) -> Sticky:
    """The cycle's figures from the block and what it remembers. Raises RefusalError."""
    same = before if before is not None and before.code == code else None
    if "R" in words:
        retract = words["R"] * scale + (0.0 if absolute else z_now)
    elif before is not None and absolute:
        retract = before.retract
    else:
        raise RefusalError("the cycle needs `R`, the height it starts and ends at")
    if "Z" in words:
        depth = words["Z"] * scale + (0.0 if absolute else retract)
    elif same is not None and absolute:
        depth = same.depth
    else:
        raise RefusalError("the cycle needs `Z`, its depth")
    if retract < depth:
        raise RefusalError("the cycle's `R` lies below its `Z`")
    dwell = words.get("P", same.dwell if same and code == 820 else None)
    if code == 820 and dwell is None:
        raise RefusalError("G82 needs `P`, the dwell at depth")
    if dwell is not None and dwell < 0:
        raise RefusalError("`P` is negative")
    peck = words["Q"] * scale if "Q" in words else (same.peck if same else 0.0)
    if code in PECKING and peck <= 0:
        name = f"G{code // 10}"
        raise RefusalError(f"{name} needs `Q`, the depth of a peck, above zero")
    if code in PECKING:
        check_count("Q", (retract - depth) / peck, "pecks of a hole")
    return Sticky(code, retract, depth, peck, dwell or 0.0)


def places(
    words: Mapping[str, float], start: Place, *, scale: float, absolute: bool
) -> list[Place]:
    """Where the holes are: as often as the L word says, once by default."""
    count = whole("L", words.get("L", 1.0), least=1)
    check_count("L", count, "holes")
    x, y = words.get("X", 0.0) * scale, words.get("Y", 0.0) * scale
    found: list[Place] = []
    here = start
    for _ in range(count):
        if absolute:
            here = Place(x if "X" in words else here.x, y if "Y" in words else here.y, here.z)
        else:
            here = Place(here.x + x, here.y + y, here.z)
        found.append(here)
    return found


def expand(cycle: Sticky, start: Place, at: list[Place], *, to_old_z: bool) -> Iterator[Leg]:
    """The legs over all places `at` (their z is ignored), from `start`."""
    clear = max(cycle.retract, start.z) if to_old_z else cycle.retract
    here = start
    if here.z < cycle.retract:
        here = Place(here.x, here.y, cycle.retract)
        yield Leg(True, here)
    for target in at:
        for z in (here.z, cycle.retract):
            step = Place(target.x, target.y, z)
            if step != here:
                yield Leg(True, step)
                here = step
        yield from _down_and_up(cycle, target)
        here = Place(target.x, target.y, clear)
        yield Leg(True, here)


def _down_and_up(cycle: Sticky, at: Place) -> Iterator[Leg]:
    """From the R plane to depth, in pecks for some; the last retract is the caller's."""
    bottom = Place(at.x, at.y, cycle.depth)
    if cycle.code not in PECKING:
        yield Leg(False, bottom)
        if cycle.code == 820:
            yield Leg(False, bottom, cycle.dwell)
        return
    count = math.ceil((cycle.retract - cycle.depth) / cycle.peck - 1e-9)
    for k in range(1, count + 1):
        z = max(cycle.depth, cycle.retract - k * cycle.peck)
        yield Leg(False, Place(at.x, at.y, z))
        if k < count and cycle.code == CHIP_BREAKING:
            yield Leg(True, Place(at.x, at.y, min(cycle.retract, z + PECK_GAP)))
        elif k < count:
            yield Leg(True, Place(at.x, at.y, cycle.retract))
            yield Leg(True, Place(at.x, at.y, min(cycle.retract, z + PECK_GAP)))
