"""The part: what must stand, what must go, where no tool may be. In work coordinates, millimetres.

The datum is at X0 Y0 here and in everything after: plan, motions, program, evidence.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from compiler.diagnostics import Span
from compiler.geometry import Region

if TYPE_CHECKING:
    from shapely import MultiPolygon, Polygon


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """A keep region, cut to what the stock holds of it and, for an open one, closed by the stock.

    `outline_region` is unbounded-side safe: for an open region it reaches beyond the stock by the
    margin given in `Part.air`, so that its wall runs out into the air at both ends.
    """

    name: str
    region: Region  # for walls and for deciding; open ones reach into the air beyond the stock
    top: float
    is_open: bool
    tolerance: float | None
    wall_allowance: float | None
    floor_allowance: float | None
    about: str
    origin: Span
    made_in: str = ""  # the earlier setup that finished it; empty: asked for in this one
    hidden: bool = False  # finished from the other side: not to be seen from above


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """A feature that a setup before finished, as it lies now: a wall, or a floor.

    A wall goes round `region` between `low` and `high`. A floor covers `region` at both; where
    `faces_down` it was cut from the other side, and what is below it is hollow.
    """

    name: str
    setup: str
    kind: Literal["wall", "floor"]
    region: Region
    low: float
    high: float
    faces_down: bool
    origin: Span


Side = Literal["above", "below"]


@dataclass(frozen=True, slots=True)
class Gone:
    """Material that setups before took away: within `area` all above `height`, or all below it.

    Polygons for deciding; inside what was really cut, so that nothing is taken for air that is not.
    """

    area: Polygon | MultiPolygon
    height: float
    side: Side


@dataclass(frozen=True, slots=True, kw_only=True)
class Blocked:
    """An obstacle: tool, shank and holder stay out of `region` below `top`."""

    name: str
    region: Region
    top: float
    origin: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """The solid question that the planner answers and the judge asks again.

    `air` is how far beyond the stock open regions reach, mm: more than any tool's diameter needs.
    """

    stock: Region
    stock_top: float
    stock_bottom: float
    standing: tuple[Standing, ...]
    obstacles: tuple[Blocked, ...]
    lowest_cut: float  # the stock's underside or workholding's limit, whichever is higher
    clearance: float
    approach: float
    air: float
    made: tuple[Made, ...] = ()  # by the setups before
    gone: tuple[Gone, ...] = ()  # what they took off the stock

    @property
    def own(self) -> tuple[Standing, ...]:
        """What this setup asks for, less what the setups before finished."""
        return tuple(s for s in self.standing if not s.made_in)

    @property
    def visible(self) -> tuple[Standing, ...]:
        """What stands and is seen from above."""
        return tuple(s for s in self.standing if not s.hidden)

    def tops(self) -> tuple[float, ...]:
        """The distinct heights of standing regions below the stock's top, highest first."""
        return tuple(sorted({s.top for s in self.standing if s.top < self.stock_top}, reverse=True))

    def standing_at(self, floor: float) -> tuple[Standing, ...]:
        """The regions that stand higher than `floor`: what a cut down to it must spare."""
        return tuple(s for s in self.standing if s.top > floor + 1e-9)
