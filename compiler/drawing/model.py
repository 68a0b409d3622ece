"""What a drawing is once read: lines and arcs in millimetres, each with its layer, and the rest.

    bytes ──document──► entities ──entities, blocks──► Drawing ──select, join──► Joined ──► Region

Nothing is dropped without a word: what is no line work is counted in `left_out`; what is line work
but cannot be cut as drawn is a `Fault`, and becomes an error where its layer is asked for.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from compiler.geometry import Chain, Outline, Point, Segment
from compiler.geometry.near import Box

CURVE_TOLERANCE = 0.002
"""How far the arcs made from a spline or an ellipse may lie off it, mm: less than the 0.0025 mm by
which a finished wall may be off."""

JOIN_GAP = 0.13
"""Ends nearer than this are joined unless the job says otherwise, mm: 0.005 inch (common practice,
no source)."""

SAME_PLACE = 0.001
"""Ends this near are one and no gap, mm: drawings round to four inch decimals and coarser."""


@dataclass(frozen=True, slots=True)
class Drawn:
    """A line or arc as it stands in the drawing, with where it comes from."""

    segment: Segment
    layer: str
    kind: str  # the entity's own name, as LINE
    smooth: bool = False  # made from a spline or an ellipse, within CURVE_TOLERANCE


@dataclass(frozen=True, slots=True)
class Mark:
    """A POINT entity: a place that a datum or a hole may be picked from."""

    at: Point
    layer: str


@dataclass(frozen=True, slots=True)
class Fault:
    """An entity that cannot be used as it is; an error where its layer is asked for."""

    code: str
    message: str
    help: str
    layer: str


@dataclass(frozen=True, slots=True)
class LeftOut:
    """Entities that are no line work to cut, and why, as `5 TEXT (text)`."""

    kind: str
    why: str
    count: int


@dataclass(frozen=True, slots=True)
class Layer:
    """A layer, what is on it, and whether it shows."""

    name: str
    shown: Literal["shown", "frozen", "off"]
    count: int  # lines and arcs taken from it


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawing:
    """A drawing's model space, in mm.

    Attributes:
        units: What one drawing unit is, as `inch`; `said_by` tells who said so.
        factor: mm per drawing unit.
        drawn: Lines and arcs of shown layers, in the order of the file.
    """

    version: str
    units: str
    said_by: Literal["drawing", "spec"]
    factor: float
    drawn: tuple[Drawn, ...]
    marks: tuple[Mark, ...] = ()
    layers: tuple[Layer, ...] = ()
    left_out: tuple[LeftOut, ...] = ()
    faults: tuple[Fault, ...] = ()

    @property
    def bounds(self) -> Box | None:
        """min x, min y, max x, max y of all lines and arcs, mm; None where there are none."""
        return overall([d.segment for d in self.drawn])


@dataclass(frozen=True, slots=True)
class Loop:
    """A closed outline, counter-clockwise, and the layers that its pieces are on."""

    outline: Outline
    layers: tuple[str, ...]
    count: int  # entities that it was made of


@dataclass(frozen=True, slots=True)
class Run:
    """An open chain, from its leftmost end (the lower one of two that are equally far left)."""

    chain: Chain
    layers: tuple[str, ...]
    count: int


@dataclass(frozen=True, slots=True)
class Junction:
    """A place where more than two ends meet; `doubtful` where loops go on in several ways."""

    at: Point
    ends: int
    layers: tuple[str, ...]
    doubtful: bool


@dataclass(frozen=True, slots=True)
class Gap:
    """Two ends that were joined although they did not meet."""

    at: Point
    width: float


@dataclass(frozen=True, slots=True)
class Joined:
    """Line work put together.

    Attributes:
        loops: Closed outlines that no junction leaves in doubt.
        faces: Closed outlines from line work with junctions: the smallest areas it bounds.
        runs: What closes nothing.
        gaps: Joined gaps wider than SAME_PLACE, widest first.
        repeats: Entities or parts of them that lay on others, and were taken once.
    """

    loops: tuple[Loop, ...]
    faces: tuple[Loop, ...] = ()
    runs: tuple[Run, ...] = ()
    junctions: tuple[Junction, ...] = ()
    gaps: tuple[Gap, ...] = ()
    repeats: int = 0


def overall(segments: list[Segment]) -> Box | None:
    """The box round segments; None where there are none."""
    boxes = [segment.bounds for segment in segments]
    if not boxes:
        return None
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )
