"""What a strategy hands to the linker: runs of the cutter in the plane, not yet joined or lowered.

A strategy knows nothing of heights, rapids or feeds in mm/min. It says where the cutter's centre
runs at depth, what each piece is for, and how it may get there.
"""

from dataclasses import dataclass
from enum import StrEnum

from compiler.geometry import Segment
from compiler.motion import Role, Side


class Way(StrEnum):
    """How a stroke's start may be reached."""

    OPEN = "open"  # its start lies in air or cleared area: come down straight, or link at depth
    BORE = "bore"  # its start lies in material: helix or ramp down there first


@dataclass(frozen=True, slots=True)
class Piece:
    """One line or arc of a stroke: what it is for, and the part of the normal feed it bears."""

    segment: Segment
    role: Role = Role.CUT
    feed_factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Stroke:
    """One continuous run at one depth, cut in the order given.

    After it, everything within the tool's radius of its pieces is cleared at this depth. With a
    `side` the control compensates along it: switched on by its first piece, off by its last, both
    straight.
    """

    pieces: tuple[Piece, ...]
    way: Way = Way.OPEN
    closed: bool = False  # ends where it starts
    side: Side | None = None
