"""What a first job is made of, beside what was surveyed: proposals, which a person is to check."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from compiler.geometry.near import Box
from compiler.survey.drills import Drilled
from compiler.survey.model import CutterRow, ShapeRow
from compiler.survey.rails import OpenLine
from compiler.units.number import Units

# common practice, no source: what is left for finishing, and what holding needs, in mm
WALL = {"mm": 0.25, "inch": 0.254}
FLOOR = {"mm": 0.1, "inch": 0.127}
BELOW_FLOOR = {"mm": 0.5, "inch": 0.508}
Pattern = Literal["contour_parallel", "constant_engagement"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A first job but for its shapes.

    Attributes:
        name: The job's name, file-name safe.
        file: The drawing or model, relative to the job.
        units: The job's units.
        shop: The shop file, relative to the job; empty for none.
        machine_why: Why that machine, where nobody named one.
        margin: Stock beyond the overall size, mm, but at the sides where rails end.
        box: What the stock goes round: the drawn blank, else all that stands, and the rails, mm.
        stock: The stock's box, mm.
        blank: The drawn loop that is the stock's outline as it is; None where that is the box.
        drilled: Holes that a drill of the crib makes, and those that are left out.
        lines: The drawing's open lines, those that are rails and those that are left out.
        thickness: Of the stock, mm; `said` lists what the caller was told and need not be checked.
        floor: Z that is cleared down to, mm.
        rough, rest: Cutters; `rest` None where one does it all.
        in_units: `units` to be written beside the drawing, where it does not say its own.
        up: A model's direction that points up.
        patterns: How the roughing and the rest pass clear.
        join_gap: Written beside the drawing where it is not the usual one, mm.
        from_crib: Whether the cutters are the shop's own.
        crib_falls_short: Whether it has some, but none that reaches down to the floor.
    """

    name: str
    file: str
    units: Units
    shop: str
    machine: str
    machine_why: str = ""
    material: str
    margin: float
    box: Box
    stock: Box
    blank: ShapeRow | None = None
    drilled: tuple[Drilled, ...] = ()
    lines: tuple[OpenLine, ...] = ()
    thickness: float
    floor: float
    rough: CutterRow
    rest: CutterRow | None
    in_units: Units | None = None
    up: str = "z"
    patterns: tuple[Pattern, Pattern] = ("contour_parallel", "contour_parallel")
    join_gap: float | None = None
    from_crib: bool = False
    crib_falls_short: bool = False
    said: frozenset[str] = field(default_factory=frozenset)
