"""Cutter radius compensation: where the tool's centre runs when G41 or G42 shifts the path.

NISTIR 6556 sec. 3.5.10 and appendix B. The text gives one path, the control runs another, parallel
to it at the offset's radius: on the left of travel for G41, on the right for G42. Round an outer
corner it turns on an arc about the corner; into an inner corner that it can't roll in it does not
go. The offset's value stands in the control's table, not in the text: whoever reads must say it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from compiler.geometry import Point
from compiler.read.refusal import RefusalError

CORNER = 0.01  # rad: a smaller angle between two moves is no corner
_SAME = 1e-9  # mm


@dataclass(frozen=True, slots=True)
class Leg:
    """One move of the centre in the plane: straight, or an arc about `centre`."""

    to: Point
    centre: Point | None = None
    ccw: bool = False
    at_corner: bool = False  # put in by the control, at the height that the tool has there


@dataclass(slots=True)
class Compensation:
    """What the control remembers from G41 or G42 to G40.

    `radius` is the shift to the side, mm, not below zero: a negative offset shifts to the other
    side. `corner` is where the last move ends as the text has it, None before the first one.
    """

    left: bool
    radius: float
    corner: Point | None = None
    scale: float = 1.0  # mm in a unit of the text, for messages

    @classmethod
    def on(cls, left: bool, offset: float, scale: float) -> Compensation:
        """Switched on to a side, with the offset's radius, mm; negative shifts the other way."""
        return cls(left if offset >= 0 else not left, abs(offset), scale=scale)

    def straight(self, here: Point, to: Point) -> list[Leg]:
        """The legs from the centre's place for a straight move to `to`. Raises RefusalError."""
        if self.corner is None:
            return self._first(here, to)
        corner = self.corner
        if corner.distance(to) < _SAME:
            return []
        beside = self._beside(to.minus(corner).unit())
        legs = self._round_corner(here, corner.plus(beside))
        self.corner = to
        return [*legs, Leg(to.plus(beside))]

    def arc(self, here: Point, to: Point, centre: Point, *, ccw: bool) -> list[Leg]:
        """The legs for an arc from the last programmed place to `to`. Raises RefusalError."""
        corner = self.corner
        if corner is None:
            raise RefusalError(
                "the first move after G41 or G42 is an arc",
                "begin the compensation on a straight move longer than the offset",
            )
        inward = ccw == self.left
        if inward and min(corner.distance(centre), to.distance(centre)) <= self.radius:
            raise RefusalError(
                f"the arc's radius of {to.distance(centre) / self.scale:.4f} is not above the "
                f"offset's {self.radius / self.scale:.4f}, so that the cutter can't roll in it",
                "give the corner a larger radius, or work with a smaller offset",
            )
        sign = -1.0 if inward else 1.0
        out_start = corner.minus(centre).unit()
        out_end = to.minus(centre).unit()
        legs = self._round_corner(here, corner.plus(out_start, sign * self.radius))
        self.corner = to
        return [*legs, Leg(to.plus(out_end, sign * self.radius), centre, ccw)]

    def _first(self, here: Point, to: Point) -> list[Leg]:
        """On to the path: the centre comes to rest on the offset's circle about the programmed
        place, where the way there touches that circle (a right angle, sec. B.3).
        """
        across = here.distance(to)
        if across < _SAME or across <= self.radius:
            raise RefusalError(
                "the first move after G41 or G42 is not longer than the offset's radius",
                "begin the compensation on a straight move longer than the offset",
            )
        back = math.atan2(here.y - to.y, here.x - to.x)
        lean = math.acos(self.radius / across)
        angle = back - lean if self.left else back + lean
        self.corner = to
        return [Leg(Point(to.x, to.y).plus(Point(math.cos(angle), math.sin(angle)), self.radius))]

    def _beside(self, along: Point) -> Point:
        """From the path to the centre, for a direction of travel."""
        return along.left().times(self.radius if self.left else -self.radius)

    def _round_corner(self, here: Point, begin: Point) -> list[Leg]:
        """An arc about an outer corner from the centre's place to where the next move begins."""
        corner = self.corner
        assert corner is not None
        if self.radius == 0:
            return []
        a, b = here.minus(corner), begin.minus(corner)
        turn = math.atan2(a.cross(b), a.dot(b))
        outward = -turn if self.left else turn
        # straight back is an outer corner too, whichever sign its half turn is given
        if abs(abs(turn) - math.pi) <= CORNER:
            outward = math.pi
        if outward < -CORNER:
            raise RefusalError(
                "the path turns a sharp inner corner while the control compensates",
                "round the corner with an arc whose radius is above the offset's",
            )
        if outward <= CORNER:
            return []
        return [Leg(begin, corner, not self.left, at_corner=True)]
