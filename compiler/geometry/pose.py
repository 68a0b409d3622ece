"""How one view of a solid becomes another: turned over, by quarter turns, and moved. Exact.

    pose = Pose.of_box(bounds, over="y", quarters=0, lift=...)
    pose.of(region)        the same area as it is seen from the other side
    pose.height(z)         the same height as it is counted there

Millimetres. A view is from above, X to the right, Y away from the viewer, Z up (ISO 841).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeVar

from compiler.geometry.outline import Chain, Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line
from compiler.geometry.transform import ORIGIN, mirrored, moved, turned

G = TypeVar("G", Point, Line, Arc, Chain, Outline, Region)
Box = tuple[float, float, float, float]
Over = Literal["none", "x", "y"]

QUARTER = 1.5707963267948966  # rad; `turned` takes whole quarters exactly


@dataclass(frozen=True, slots=True, kw_only=True)
class Pose:
    """Turned over about an axis (`over`), then by quarters counter-clockwise, then moved.

    Turned over about X, Y changes its sign; about Y, X does. Both change that of Z. `lift` is
    added to heights after that.
    """

    over: Over = "none"
    quarters: int = 0
    shift: Point = ORIGIN
    lift: float = 0.0

    @classmethod
    def of_box(cls, box: Box, over: Over, quarters: int, lift: float) -> Pose:
        """The pose after which the box's lower left corner is where the box's was before."""
        bare = cls(over=over, quarters=quarters)
        low_x, low_y, _, _ = bare.box(box)
        shift = Point(box[0] - low_x, box[1] - low_y)
        return cls(over=over, quarters=quarters, shift=shift, lift=lift)

    @property
    def flips(self) -> bool:
        """Whether the other side is up after it."""
        return self.over != "none"

    def of(self, thing: G) -> G:
        """The thing in plan, as it is seen after. A chain keeps its start and end."""
        if self.over == "x":
            thing = mirrored(thing, "x")
        elif self.over == "y":
            thing = mirrored(thing, "y")
        if self.quarters % 4:
            thing = turned(thing, QUARTER * (self.quarters % 4))
        return moved(thing, self.shift)

    def box(self, box: Box) -> Box:
        """The box round a box."""
        one, other = self.of(Point(box[0], box[1])), self.of(Point(box[2], box[3]))
        return (
            min(one.x, other.x),
            min(one.y, other.y),
            max(one.x, other.x),
            max(one.y, other.y),
        )

    def height(self, z: float) -> float:
        """A height, as it is counted after."""
        return (-z if self.flips else z) + self.lift

    def matrix(self) -> tuple[float, float, float, float, float, float]:
        """(a, b, d, e, x, y): x' = a x + b y + x, y' = d x + e y + y."""
        origin = self.of(ORIGIN)
        across, away = self.of(Point(1.0, 0.0)), self.of(Point(0.0, 1.0))
        # signs of whole quarters, free of what adding the shift did to them
        a, d = round(across.x - origin.x), round(across.y - origin.y)
        b, e = round(away.x - origin.x), round(away.y - origin.y)
        return (float(a), float(b), float(d), float(e), origin.x, origin.y)

    def between(self, before: Point, after: Point) -> Pose:
        """The same for coordinates that count from a datum: `before` it and `after` it."""
        shift = self.of(before).minus(after)
        return Pose(over=self.over, quarters=self.quarters, shift=shift, lift=self.lift)
