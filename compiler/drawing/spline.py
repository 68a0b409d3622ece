"""B-splines cut into Bezier curves by inserting knots until every inner knot is full.

Boehm's knot insertion, on weighted control points so that rational splines (circles among them)
stay exact: W. Boehm, "Inserting new knots into B-spline curves", Computer-Aided Design 12 (1980)
199-201 [from memory].
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

from compiler.drawing.plane import Bezier, Weighted


def beziers(points: Sequence[Weighted], knots: Sequence[float], degree: int) -> list[Bezier]:
    """The spline's pieces, in order. Pieces of no extent are left out.

    Args:
        points: Control points as (x w, y w, w).
        knots: Non-decreasing, `len(points) + degree + 1` of them.
        degree: 1 or more.

    Raises ValueError where the counts do not agree or the knots fall.
    """
    if degree < 1 or len(points) <= degree or len(knots) != len(points) + degree + 1:
        raise ValueError("control points, knots and degree do not agree")
    if any(b < a for a, b in itertools.pairwise(knots)):
        raise ValueError("the knots are not in order")
    net, row = list(points), list(knots)
    low, high = knots[degree], knots[len(points)]
    if not low < high:
        raise ValueError("the knots span nothing")
    for value in sorted({k for k in knots if low <= k <= high}):
        for _ in range(degree - row.count(value)):
            net, row = _inserted(net, row, degree, value)
    return _cut(net, row, degree, low, high)


def _cut(
    net: list[Weighted], row: list[float], degree: int, low: float, high: float
) -> list[Bezier]:
    made = []
    for i in range(degree, len(net)):
        if low <= row[i] < row[i + 1] <= high:
            made.append(Bezier(tuple(net[i - degree : i + 1])))
    return made


def _inserted(
    net: list[Weighted], row: list[float], degree: int, value: float
) -> tuple[list[Weighted], list[float]]:
    # the last span that begins at or before the value
    span = max(i for i in range(degree, len(net)) if row[i] <= value)
    new: list[Weighted] = net[: span - degree + 1]
    for i in range(span - degree + 1, span + 1):
        wide = row[i + degree] - row[i]
        share = (value - row[i]) / wide if wide > 0 else 0.0
        before, after = net[i - 1], net[i]
        new.append(
            (
                before[0] + share * (after[0] - before[0]),
                before[1] + share * (after[1] - before[1]),
                before[2] + share * (after[2] - before[2]),
            )
        )
    new += net[span:]
    return new, [*row[: span + 1], value, *row[span + 1 :]]
