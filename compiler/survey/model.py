"""What `measure` tells of a file: sizes, loops, faces, tight places, cutters that fit. In mm."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from compiler.geometry import Chain, Point, Region
from compiler.survey.outlines import Role, Told
from compiler.survey.tight import Tight
from compiler.units.number import Units


@dataclass(frozen=True, slots=True)
class LayerRow:
    """A layer: whether it shows, and how many lines and arcs it has."""

    name: str
    shown: str
    count: int


@dataclass(frozen=True, slots=True)
class LevelRow:
    """Horizontal faces at one height."""

    z: float
    facing: str
    count: int
    area: float


@dataclass(frozen=True, slots=True)
class Closed:
    """An opening that was closed: a round one by centre and diameter, any other by a place in it
    and the corners of a polygon that just covers it."""

    at: Point
    diameter: float = 0.0
    corners: tuple[Point, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeRow:
    """A closed loop of a drawing, or something that stands in a model.

    Attributes:
        area: mm2; of a loop without regard to what is in it, of a feature less its holes.
        depth: How many loops are round it; 0 for features.
        inside: A point that lies in it, and in none of the loops in it.
        top: A feature's height.
        foot: Where a feature with a sloped top begins to slope; None where it is level.
        diameter: Of a loop that is a full circle.
        layers: Layers of the loop's lines.
        with_holes: Layers of the loop and of the openings directly in it.
        role: What a drawing's loop is taken for.
        closed: Openings in it that were closed, since no cutter gets in.
        region: The shape itself.
    """

    area: float
    length: float
    depth: int
    inside: Point
    top: float | None = None
    foot: float | None = None
    diameter: float | None = None
    layers: tuple[str, ...] = ()
    with_holes: tuple[str, ...] = ()
    role: Role = "stands"
    closed: tuple[Closed, ...] = ()
    region: Region


@dataclass(frozen=True, slots=True)
class CutterRow:
    """An end mill of the crib: whether it passes the narrowest channel and fills every corner."""

    name: str
    diameter: float
    flute_length: float
    reach: float  # how deep a wall it comes along: its stickout, unless its shank is thicker
    passes: bool
    fills: bool


@dataclass(frozen=True, slots=True)
class DrillRow:
    """A drill of the crib; `reach` is how deep it goes at full diameter, `tip` its point's length,
    mm."""

    name: str
    diameter: float
    reach: float
    tip: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Survey:
    """All of it.

    Attributes:
        units: What one unit of the file is.
        said_by: Who said so.
        show: Units to print in.
        box: Overall: min x, min y, max x, max y; None where there is nothing.
        height: Lowest and highest Z of a model.
        tight: The smallest inside radius, 0 for a sharp one, and the narrowest channel.
        notes: What is left out or not cut, in words.
        told: How a drawing's loops were read.
        shop: Whether there is a shop whose crib was looked through.
    """

    file: str
    kind: Literal["drawing", "model"]
    format: str
    units: str
    said_by: str
    show: Units
    box: tuple[float, float, float, float] | None
    height: tuple[float, float] | None = None
    layers: tuple[LayerRow, ...] = ()
    levels: tuple[LevelRow, ...] = ()
    shapes: tuple[ShapeRow, ...] = ()
    runs: tuple[tuple[Chain, tuple[str, ...]], ...] = ()
    largest_gap: float = 0.0
    gaps: int = 0
    repeats: int = 0
    junctions: tuple[Point, ...] = ()
    tight: Tight = field(default_factory=Tight)
    notes: tuple[str, ...] = ()
    told: tuple[Told, ...] = ()
    cutters: tuple[CutterRow, ...] = ()
    drills: tuple[DrillRow, ...] = ()
    shop: bool = False

    @property
    def blank(self) -> ShapeRow | None:
        """The loop that is the blank."""
        return next((row for row in self.shapes if row.role == "blank"), None)


def standing_shapes(survey: Survey) -> list[ShapeRow]:
    """The shapes that become keep regions: features, or loops that stand."""
    return [row for row in survey.shapes if row.role == "stands"]
