"""A difference of two jobs as a value: every renderer prints this and nothing else.

JSON with a published schema (`schemas/diff.schema.json`).
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field


class DiffModel(BaseModel):
    """Frozen, strict about unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Side(DiffModel):
    """One of the two jobs."""

    said: str = Field(description="As it was asked for: a file, FILE#MEMBER, REVISION:FILE.")
    job: str
    digest: str = Field(description="Of the resolved job: formatting and comments do not count.")


class ValueChange(DiffModel):
    """A value that was set, changed or taken away. None: it is not there."""

    key: str
    before: str | None
    after: str | None
    set_by_before: str = ""
    set_by_after: str = ""


class Figure(DiffModel):
    """A number or word of the plan or the evidence, before and after, as people read it."""

    name: str
    before: str
    after: str


class RegionChange(DiffModel):
    """What became of a keep region or the stock, in work coordinates: from X0 Y0 of the datum."""

    name: str
    what: Literal["added", "removed", "moved", "reshaped", "height", "same outline"]
    moved_mm: tuple[float, float] | None = Field(
        default=None, description="The whole outline, unturned and of the same shape, by so much."
    )
    differs_mm: float | None = Field(
        default=None, description="Largest distance from a point of one outline to the other."
    )
    area_before_mm2: float | None = None
    area_after_mm2: float | None = None
    top_before_mm: float | None = None
    top_after_mm: float | None = None


class ItemChange(DiffModel):
    """A tool or an operation: there before, there after, and what differs in it."""

    name: str
    what: Literal["added", "removed", "changed"]
    figures: tuple[Figure, ...] = ()


class Margin(DiffModel):
    """An obligation's margin, before and after; negative is broken by so much."""

    name: str
    unit: str
    before: float | None
    after: float | None
    held_before: bool
    held_after: bool


class Difference(DiffModel):
    """All that changes from one job to the other."""

    version: Literal["diff/1"] = "diff/1"
    before: Side
    after: Side
    units: Literal["inch", "mm"] = Field(description="Those that texts are in: the second job's.")
    values: tuple[ValueChange, ...] = ()
    unchanged_values: int = 0
    regions: tuple[RegionChange, ...] = ()
    unchanged_regions: int = 0
    tools: tuple[ItemChange, ...] = ()
    unchanged_tools: int = 0
    operations: tuple[ItemChange, ...] = ()
    unchanged_operations: int = 0
    order_changed: bool = Field(
        default=False, description="Operations that both have come in another order."
    )
    totals: tuple[Figure, ...] = Field(
        default=(), description="Time, program size and so on, those that differ."
    )
    unchanged_totals: int = 0
    margins: tuple[Margin, ...] = ()
    unchanged_margins: int = 0
    compared: Literal["the cut", "the plan", "values"] = Field(
        default="the cut", description="How far both jobs could be followed."
    )
    same_program: bool | None = Field(
        default=None, description="Whether both programs are the same but for digests in comments."
    )

    @property
    def is_empty(self) -> bool:
        """Whether nothing changes."""
        return not (
            self.values
            or self.regions
            or self.tools
            or self.operations
            or self.order_changed
            or self.totals
            or self.margins
        )


class FamilyDifference(DiffModel):
    """All that changes from one table of members to another."""

    version: Literal["diff-family/1"] = "diff-family/1"
    before: str
    after: str
    changed: tuple[Difference, ...] = Field(description="Members that both have and that differ.")
    added: tuple[str, ...] = ()
    removed: tuple[str, ...] = ()
    unchanged: int = 0

    @property
    def is_empty(self) -> bool:
        """Whether nothing changes."""
        return not (self.changed or self.added or self.removed)
