"""Curves before they become lines and arcs: exact under every flat mapping.

A block may be stretched more along X than along Y; a circle in it is then an ellipse. So blocks are
unfolded on these three kinds, whose mapped images are of the same kind, and only what comes out at
the end is turned into lines and arcs.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from compiler.geometry import Point

TAU = 2 * math.pi


@dataclass(frozen=True, slots=True)
class Flat:
    """A mapping of the plane: x' = a x + c y + e, y' = b x + d y + f."""

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    def point(self, p: Point) -> Point:
        """Where a point goes."""
        return Point(
            self.a * p.x + self.c * p.y + self.e,
            self.b * p.x + self.d * p.y + self.f,
        )

    def vector(self, v: Point) -> Point:
        """Where a displacement goes."""
        return Point(self.a * v.x + self.c * v.y, self.b * v.x + self.d * v.y)

    def after(self, first: Flat) -> Flat:
        """The mapping that does `first` and then this one."""
        u, v = self.vector(Point(first.a, first.b)), self.vector(Point(first.c, first.d))
        w = self.point(Point(first.e, first.f))
        return Flat(u.x, u.y, v.x, v.y, w.x, w.y)


def scaling(factor: float) -> Flat:
    """The same size in other units."""
    return Flat(a=factor, d=factor)


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight piece."""

    start: Point
    end: Point

    def mapped(self, by: Flat) -> Straight:
        """Its image."""
        return Straight(by.point(self.start), by.point(self.end))


@dataclass(frozen=True, slots=True)
class Elliptic:
    """centre + u cos t + v sin t for t from t0 to t1 > t0: arcs and ellipses of every position."""

    centre: Point
    u: Point
    v: Point
    t0: float = 0.0
    t1: float = TAU

    def mapped(self, by: Flat) -> Elliptic:
        """Its image."""
        return Elliptic(
            by.point(self.centre), by.vector(self.u), by.vector(self.v), self.t0, self.t1
        )

    def at(self, t: float) -> tuple[Point, Point]:
        """The place at `t`, and the derivative there."""
        cos, sin = math.cos(t), math.sin(t)
        place = self.centre.plus(self.u, cos).plus(self.v, sin)
        return place, self.v.times(cos).plus(self.u, -sin)

    @property
    def is_circular(self) -> bool:
        """Whether it lies on a circle, to one part in 1e9."""
        big = max(self.u.norm(), self.v.norm())
        return (
            abs(self.u.norm() - self.v.norm()) <= 1e-9 * big
            and abs(self.u.dot(self.v)) <= 1e-9 * big * big
        )


Weighted = tuple[float, float, float]  # x w, y w, w


@dataclass(frozen=True, slots=True)
class Bezier:
    """A rational Bezier curve by its weighted control points, for t from 0 to 1."""

    points: tuple[Weighted, ...]

    def mapped(self, by: Flat) -> Bezier:
        """Its image."""
        return Bezier(
            tuple(
                (
                    by.a * x + by.c * y + by.e * w,
                    by.b * x + by.d * y + by.f * w,
                    w,
                )
                for x, y, w in self.points
            )
        )

    def at(self, t: float) -> tuple[Point, Point]:
        """The place at `t`, and the derivative there (de Casteljau)."""
        row = self.points
        degree = len(row) - 1
        while len(row) > 2:
            row = tuple(_between(p, q, t) for p, q in itertools.pairwise(row))
        x, y, w = _between(row[0], row[1], t)
        dx, dy, dw = (degree * (q - p) for p, q in zip(row[0], row[1], strict=True))
        place = Point(x / w, y / w)
        return place, Point((dx - place.x * dw) / w, (dy - place.y * dw) / w)


def _between(p: Weighted, q: Weighted, t: float) -> Weighted:
    s = 1.0 - t
    return (s * p[0] + t * q[0], s * p[1] + t * q[1], s * p[2] + t * q[2])


Curve = Straight | Elliptic | Bezier
