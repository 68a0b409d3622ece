"""What a solid model is to a mill that cuts from above: sections, faces, and what it cannot reach.

bytes ──read──► Solid ──orient──► Solid ──section, silhouette──► Region
                                  │──faces──────────────► heights, slopes, undercuts
                                  └──features───────────► standing regions with their tops
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal

from compiler.geometry import Point, Region

LEVEL = 1e-4
"""Heights nearer than this are one, mm."""

BESIDE = 1e-3
"""How far beside a horizontal face a section is taken, mm: in the face itself it is undefined."""

Facing = Literal["up", "down", "wall", "slope", "overhang"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Solid:
    """A closed body, or several, in mm.

    Attributes:
        shape: The kernel's own shape.
        units: The file's length unit, as it says it.
        box: min x, min y, min z, max x, max y, max z.
        bodies: How many separate bodies there are.
    """

    shape: Any
    units: str
    box: tuple[float, float, float, float, float, float]
    bodies: int

    @property
    def bottom(self) -> float:
        """Its lowest Z."""
        return self.box[2]

    @property
    def top(self) -> float:
        """Its highest Z."""
        return self.box[5]


@dataclass(frozen=True, slots=True, kw_only=True)
class Face:
    """One face as seen from above.

    Attributes:
        facing: `up` and `down` are horizontal, `wall` vertical, `slope` rises, `overhang` has
            some of its surface turned down.
        kind: The surface, as `plane`, `cylinder`.
        low, high: Its lowest and highest Z, mm.
        waist: The height at which a face that turns over is widest: of its centre or axis, kept
            between low and high; None where there is no one such height.
        radius: Of a cylinder, mm; 0 for all else.
        hollow: Whether the material lies outside of its curve, as in a hole or an inside corner.
        at: A place on it.
    """

    facing: Facing
    kind: str
    area: float
    low: float
    high: float
    waist: float | None
    radius: float
    hollow: bool
    at: Point


@dataclass(frozen=True, slots=True)
class Feature:
    """Something that stands: its outline, and the Z of its upper face.

    `foot` is where an upper face that is not level begins; more is then left standing than the
    model has.
    """

    region: Region
    top: float
    foot: float | None = None

    @property
    def sloped(self) -> bool:
        """Whether its upper face is not level."""
        return self.foot is not None


@dataclass(frozen=True, slots=True)
class Uncut:
    """Faces of a kind that milling from above with straight tools does not make."""

    what: str
    count: int
    area: float
    low: float
    high: float
    at: Point
