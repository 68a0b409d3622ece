"""Holes of a drawing: which drill of the crib makes them, how deep, or why none does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.geometry import Point
from compiler.survey.model import DrillRow, ShapeRow, Survey

SAME_SIZE = 0.03  # mm: a drill this near a hole's diameter makes it (common practice, no source)
LEFT_BELOW = 1.0  # mm of stock left under a drill's point: what lies under it is not known
DEEP = 3.0  # diameters; holes deeper than that are pecked (common practice, no source)


@dataclass(frozen=True, slots=True, kw_only=True)
class Drilled:
    """Holes of one size on the same layers.

    Attributes:
        diameter: mm.
        at: Their centres.
        layers: Theirs.
        alone: Whether they are all the circles of these layers, so that layers may stand for them.
        drill: What makes them; None where nothing of the crib does, for `why`.
        to: Z down to which they have their diameter, mm.
    """

    diameter: float
    at: tuple[Point, ...]
    layers: tuple[str, ...]
    alone: bool
    drill: DrillRow | None = None
    to: float = 0.0
    why: str = ""

    @property
    def pecked(self) -> bool:
        """Whether the hole is deep for its diameter."""
        return -self.to > DEEP * self.diameter


def drilled(survey: Survey, thickness: float, floor: float) -> tuple[Drilled, ...]:
    """The drawing's holes, sized and grouped. They end within the stock: through it is for a person
    to say, who knows what lies under it."""
    rows = [row for row in survey.shapes if row.role == "hole" and row.diameter]
    groups: dict[tuple[tuple[str, ...], float], list[ShapeRow]] = {}
    for row in rows:
        groups.setdefault((row.layers, round(row.diameter or 0.0, 3)), []).append(row)
    return tuple(
        _drilled(group, survey, thickness, floor)
        for _, group in sorted(groups.items(), key=lambda g: g[0])
    )


def _drilled(rows: Sequence[ShapeRow], survey: Survey, thickness: float, floor: float) -> Drilled:
    layers, diameter = rows[0].layers, rows[0].diameter or 0.0
    others = [
        row
        for row in survey.shapes
        if row.diameter and set(row.layers) & set(layers) and all(row is not r for r in rows)
    ]
    found = Drilled(
        diameter=diameter,
        at=tuple(_centre(row) for row in rows),
        layers=layers,
        alone=not others,
    )
    fits = [d for d in survey.drills if abs(d.diameter - diameter) <= SAME_SIZE]
    if not fits:
        return _left_out(found, "no drill of that size is in the crib")
    drill = min(fits, key=lambda d: (abs(d.diameter - diameter), -d.reach, d.name))
    to = -(thickness - LEFT_BELOW - drill.tip)
    if to >= floor:
        return _left_out(found, "its point would come out before the hole is deeper than the floor")
    if drill.reach < -to:
        return _left_out(found, f"the drill {drill.name} is too short for them")
    return Drilled(
        diameter=diameter, at=found.at, layers=layers, alone=found.alone, drill=drill, to=to
    )


def _left_out(found: Drilled, why: str) -> Drilled:
    return Drilled(
        diameter=found.diameter, at=found.at, layers=found.layers, alone=found.alone, why=why
    )


def _centre(row: ShapeRow) -> Point:
    x0, y0, x1, y1 = row.region.outlines[0].bounds
    return Point((x0 + x1) / 2, (y0 + y1) / 2)
