"""The shape of a tool: its end by distance from the axis, shank and holder above. mm, rad."""

import math
from dataclasses import dataclass

from compiler.job.model import Tool


@dataclass(frozen=True, slots=True)
class Profile:
    """A flat of radius `flat`, then a corner arc or a cone up to `radius`, then the cylinder.

    One of `corner` (arc's radius) and `slope` (rise per mm outwards) is zero; both for a flat end.
    """

    radius: float
    flat: float
    corner: float = 0.0
    slope: float = 0.0

    @property
    def is_flat(self) -> bool:
        """Whether the end is a plain disc."""
        return self.corner == 0.0 and self.slope == 0.0

    def radius_at(self, height: float) -> float:
        """The largest radius at or below `height` above the tip; 0 below the tip."""
        if height < 0:
            return 0.0
        if self.corner:
            if height >= self.corner:
                return self.radius
            return self.flat + math.sqrt(self.corner**2 - (self.corner - height) ** 2)
        if self.slope:
            return min(self.radius, self.flat + height / self.slope)
        return self.radius


def profile_of(tool: Tool) -> Profile:
    """The profile that a tool's dimensions describe."""
    r = tool.radius
    match tool.kind:
        case "bull_mill" if tool.corner_radius > 0:
            return Profile(r, r - tool.corner_radius, corner=tool.corner_radius)
        case "ball_mill":
            return Profile(r, 0.0, corner=r)
        case "chamfer_mill" | "drill" if tool.tip_angle > 0:
            return Profile(r, tool.tip_diameter / 2, slope=1 / math.tan(tool.tip_angle / 2))
        case _:
            return Profile(r, r)


@dataclass(frozen=True, slots=True)
class Band:
    """A part of the tool that does not cut: from `above` the tip upwards, with a radius."""

    name: str
    above: float
    radius: float


def bands(tool: Tool) -> tuple[Band, ...]:
    """Shank and, where the shop describes one, holder."""
    found = [Band("shank", tool.flute_length, tool.shank_diameter / 2)]
    if tool.holder is not None:
        found.append(Band("holder", tool.stickout, tool.holder.diameter / 2))
    return tuple(found)
