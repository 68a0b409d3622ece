"""The two pieces that outlines are made of: straight lines and circular arcs."""

from __future__ import annotations

import math
from dataclasses import dataclass

from compiler.geometry.point import Point

TAU = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Line:
    """A straight piece from `start` to `end`."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Its length, mm."""
        return self.start.distance(self.end)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """min x, min y, max x, max y."""
        (ax, ay), (bx, by) = self.start, self.end
        return (min(ax, bx), min(ay, by), max(ax, bx), max(ay, by))

    def at(self, t: float) -> Point:
        """The place a fraction `t` (0..1) along it."""
        return Point(
            self.start.x + t * (self.end.x - self.start.x),
            self.start.y + t * (self.end.y - self.start.y),
        )

    def tangent(self, t: float = 0.0) -> Point:
        """Unit direction of travel, the same all along."""
        return self.end.minus(self.start).unit()

    def reversed(self) -> Line:
        """The same piece, walked the other way."""
        return Line(self.end, self.start)

    def part(self, t0: float, t1: float) -> Line:
        """The stretch between two fractions, t0 < t1."""
        return Line(self.at(t0), self.at(t1))


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular piece from `start` to `end` round `centre`, counter-clockwise where `ccw`.

    Sweeps more than nothing and at most a full turn; `start == end` is the full turn. The radius
    is that of `start`; makers of arcs see to it that `end` lies on the same circle to 1e-9 mm.
    """

    start: Point
    end: Point
    centre: Point
    ccw: bool

    @property
    def radius(self) -> float:
        """Distance from centre to start, mm."""
        return self.start.distance(self.centre)

    @property
    def start_angle(self) -> float:
        """Direction from centre to start, rad."""
        return math.atan2(self.start.y - self.centre.y, self.start.x - self.centre.x)

    @property
    def sweep(self) -> float:
        """Turned angle, rad: positive counter-clockwise, in (0, 2 pi] or [-2 pi, 0)."""
        end = math.atan2(self.end.y - self.centre.y, self.end.x - self.centre.x)
        turn = (end - self.start_angle) % TAU
        if self.ccw:
            return turn if turn > 0 and self.start != self.end else TAU
        turn = TAU - turn
        return -turn if turn > 0 and self.start != self.end else -TAU

    @property
    def length(self) -> float:
        """Along the arc, mm."""
        return abs(self.sweep) * self.radius

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """min x, min y, max x, max y."""
        start, sweep, radius = self.start_angle, self.sweep, self.radius
        low, high = (start, start + sweep) if sweep > 0 else (start + sweep, start)
        xs = [self.start.x, self.end.x]
        ys = [self.start.y, self.end.y]
        quarter = math.ceil(low / (math.pi / 2))
        while quarter * math.pi / 2 <= high:
            match quarter % 4:
                case 0:
                    xs.append(self.centre.x + radius)
                case 1:
                    ys.append(self.centre.y + radius)
                case 2:
                    xs.append(self.centre.x - radius)
                case _:
                    ys.append(self.centre.y - radius)
            quarter += 1
        return (min(xs), min(ys), max(xs), max(ys))

    def at(self, t: float) -> Point:
        """The place a fraction `t` (0..1) along it; the ends exactly."""
        if t <= 0:
            return self.start
        if t >= 1:
            return self.end
        angle = self.start_angle + t * self.sweep
        radius = self.radius
        return Point(
            self.centre.x + radius * math.cos(angle), self.centre.y + radius * math.sin(angle)
        )

    def tangent(self, t: float = 0.0) -> Point:
        """Unit direction of travel at a fraction along it."""
        outward = self.at(t).minus(self.centre).unit()
        return outward.left() if self.ccw else outward.left().times(-1)

    def reversed(self) -> Arc:
        """The same piece, walked the other way."""
        return Arc(self.end, self.start, self.centre, not self.ccw)

    def part(self, t0: float, t1: float) -> Arc:
        """The stretch between two fractions, t0 < t1."""
        return Arc(self.at(t0), self.at(t1), self.centre, self.ccw)


Segment = Line | Arc
