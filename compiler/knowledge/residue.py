"""What a round cutter can't reach in a corner, and what it leaves between rows and on walls.

Lengths in any one unit, angles in radians; plane geometry throughout.

>>> round(in_corner(5.0, math.pi / 2).gap, 6)
2.071068
"""

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Residue:
    """What stays in an inside corner.

    Attributes:
        area: Of the material left, in the plane.
        gap: From the drawn corner to the cutter's rim, along the bisector.
        wall: Length of each wall that is not finished; 0 where the corner has a fillet.
    """

    area: float
    gap: float
    wall: float


def in_corner(radius: float, corner: float, fillet: float = 0.0) -> Residue:
    """What a cutter of that radius leaves in an inside corner of that angle between its walls.

    `fillet` is the drawn radius of the corner; nothing is left where it is not less than the
    cutter's.
    """
    if fillet >= radius:
        return Residue(0.0, 0.0, 0.0)
    half = corner / 2
    shape = 1 / math.tan(half) - (math.pi - corner) / 2
    return Residue(
        area=(radius**2 - fillet**2) * shape,
        gap=(radius - fillet) * (1 / math.sin(half) - 1),
        wall=radius / math.tan(half) if fillet == 0 else 0.0,
    )


def largest_step(radius: float, corner: float) -> float:
    """The largest step between offset rows that leaves no ridge at a sharp turn of that angle.

    s <= r (1 + sin(angle / 2)): the outer row clears the bisector to r / sin(angle / 2), the inner
    one reaches back by r.
    """
    return radius * (1 + math.sin(corner / 2))


def feed_mark(feed_per_tooth: float, diameter: float) -> float:
    """Height of the feed marks on a wall, about fz^2 / (4 D)."""
    return feed_per_tooth**2 / (4 * diameter)
