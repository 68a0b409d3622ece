"""A place or a displacement in the plane."""

from __future__ import annotations

import math
from typing import NamedTuple


class Point(NamedTuple):
    """X and Y, mm. Also a vector; arithmetic is by name, a tuple's `+` stays a tuple's."""

    x: float
    y: float

    def plus(self, other: Point, times: float = 1.0) -> Point:
        """This point moved by `times` the other."""
        return Point(self.x + times * other.x, self.y + times * other.y)

    def minus(self, other: Point) -> Point:
        """The vector from the other to this."""
        return Point(self.x - other.x, self.y - other.y)

    def times(self, factor: float) -> Point:
        """This vector, scaled."""
        return Point(self.x * factor, self.y * factor)

    def dot(self, other: Point) -> float:
        """Scalar product."""
        return self.x * other.x + self.y * other.y

    def cross(self, other: Point) -> float:
        """Z of the vector product: positive where `other` lies to the left."""
        return self.x * other.y - self.y * other.x

    def left(self) -> Point:
        """This vector turned a quarter to the left."""
        return Point(-self.y, self.x)

    def norm(self) -> float:
        """Its length."""
        return math.hypot(self.x, self.y)

    def unit(self) -> Point:
        """Its direction. Raises ZeroDivisionError for no direction at all."""
        norm = math.hypot(self.x, self.y)
        return Point(self.x / norm, self.y / norm)

    def distance(self, other: Point) -> float:
        """How far apart the two are."""
        return math.hypot(self.x - other.x, self.y - other.y)

    def angle(self) -> float:
        """Direction from +X, in -pi..pi."""
        return math.atan2(self.y, self.x)
