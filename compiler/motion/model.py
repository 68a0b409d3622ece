"""Tool-centre motions: exact, in millimetres, work coordinates, each owned by an operation.

The tip's centre is what moves. A path begins at `start`, reached by a rapid across at clearance
height and down, which the writer does not invent: it is in `moves` like everything else.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from compiler.geometry import Point
from compiler.job.model import CoolantKind, DrillCycle

# To which side of travel the control shifts the path by an offset of its own (G41, G42).
Side = Literal["left", "right"]


class Role(StrEnum):
    """What a fed move is for. Evidence and pictures tell them apart; the control does not."""

    CUT = "cut"
    LEAD = "lead"  # tangent run on or off a cut, cuts little or nothing
    LINK = "link"  # at depth through cleared area
    PLUNGE = "plunge"  # straight down, only in air
    RAMP = "ramp"  # down along a slope or helix, into material
    RETRACT = "retract"  # straight up, fed


@dataclass(frozen=True, slots=True)
class Point3:
    """A place of the tool's tip, mm."""

    x: float
    y: float
    z: float

    @property
    def xy(self) -> Point:
        """Its plan position."""
        return Point(self.x, self.y)


@dataclass(frozen=True, slots=True)
class Rapid:
    """A traverse at the machine's own rate. Either straight up or down, or level at clearance."""

    to: Point3


@dataclass(frozen=True, slots=True)
class Straight:
    """A fed straight line, `feed` in mm/min. `side`: the control compensates along it.

    `dwell` is how long the tool stays at its end, s.
    """

    to: Point3
    feed: float
    role: Role
    side: Side | None = None
    dwell: float = 0.0


@dataclass(frozen=True, slots=True)
class Turn:
    """A fed arc in the XY plane about `centre`; a helix where `to.z` differs from where it starts.

    Ends where it starts: a full turn.
    """

    to: Point3
    centre: Point
    ccw: bool
    feed: float
    role: Role
    side: Side | None = None


Move = Rapid | Straight | Turn


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """One hole as a drilling cycle says it, in mm, mm/min and s. Its moves stand in the path too.

    `retract` is the Z where feed begins and to which pecks go back, `bottom` that of the tip.
    """

    at: Point
    retract: float
    bottom: float
    feed: float
    peck: float = 0.0
    dwell: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class OperationPath:
    """All moves of one operation with one tool. The first move starts from anywhere at clearance.

    `moves[0]` is a Rapid to a place at clearance height; the last one ends at clearance height.
    """

    operation: str  # the operation's id in the plan
    tool: str  # the tool's name in the job
    rpm: float
    coolant: CoolantKind
    stop_before: bool
    moves: tuple[Move, ...]
    part: int = 0  # of several on the table, from 1; 0: the only one
    cycle: DrillCycle | None = None  # of all its holes
    holes: tuple[Hole, ...] = ()


@dataclass(frozen=True, slots=True)
class Motions:
    """The whole job's motions, in cutting order. The writer sees to tool changes between them."""

    paths: tuple[OperationPath, ...]

    @property
    def of_one_part(self) -> Motions:
        """Those of the first of several parts on the table; all where there is but one."""
        return Motions(tuple(path for path in self.paths if path.part <= 1))
