"""The planned motions, raised or slowed; everything else about them stays."""

from __future__ import annotations

import math
from dataclasses import replace

from compiler.job.model import Job, Units
from compiler.motion import Motions, Move, OperationPath, Point3, Rapid
from compiler.part.model import Part

STEP: dict[Units, float] = {"mm": 1.0, "inch": 0.05 * 25.4}  # mm: a height is a round figure


def lowest(motions: Motions) -> float:
    """The lowest that any tool's tip comes, Z in mm."""
    return min(move.to.z for path in motions.paths for move in path.moves)


def highest(part: Part) -> float:
    """The highest of stock, regions and obstacles, Z in mm."""
    tops = [s.top for s in part.standing] + [o.top for o in part.obstacles]
    return max([part.stock_top, *tops])


def into_air(job: Job, part: Part, motions: Motions) -> float:
    """How far up the lowest tip passes everything by the approach, mm, in whole steps."""
    needed = highest(part) + part.approach - lowest(motions)
    step = STEP[job.units]
    return max(1, math.ceil(needed / step - 1e-9)) * step


def raised(motions: Motions, by: float) -> Motions:
    """All of it higher by so many mm."""

    def up(move: Move) -> Move:
        return replace(move, to=Point3(move.to.x, move.to.y, move.to.z + by))

    def path(of: OperationPath) -> OperationPath:
        holes = tuple(
            replace(hole, retract=hole.retract + by, bottom=hole.bottom + by) for hole in of.holes
        )
        return replace(of, moves=tuple(up(move) for move in of.moves), holes=holes)

    return Motions(tuple(path(of) for of in motions.paths))


def slowed(motions: Motions, share: float) -> Motions:
    """Every feed less: its part that is left, above 0 up to 1. Speeds stay."""

    def slower(move: Move) -> Move:
        return move if isinstance(move, Rapid) else replace(move, feed=move.feed * share)

    def path(of: OperationPath) -> OperationPath:
        holes = tuple(replace(hole, feed=hole.feed * share) for hole in of.holes)
        return replace(of, moves=tuple(slower(move) for move in of.moves), holes=holes)

    return Motions(tuple(path(of) for of in motions.paths))
