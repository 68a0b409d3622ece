"""The setups of a job: the same part held several times, each with its own program."""

from typing import Annotated, Literal

from pydantic import Field

from compiler.spec.models.base import Model, NameOr
from compiler.spec.models.passes import PassItem
from compiler.spec.models.scalars import (
    FileName,
    Length,
    LongText,
    Name,
    QuarterTurns,
    Text,
    YesNo,
)
from compiler.spec.models.setting import Datum, Heights, Workholding
from compiler.spec.models.shapes import KeepRegion
from compiler.spec.models.shop import Machine


class Setup(Model):
    """One setup: how the part lies, how it is held, what is cut there."""

    name: FileName = Field(
        description="Names the setup's outputs, as NAME.SETUP.nc; letters, digits, `-` and `_`.",
        examples=["top", "underside"],
    )
    title: Text | None = Field(None, description="What is done here, for people.")
    notes: Annotated[tuple[LongText, ...], Field(max_length=50)] = Field(
        (), description="Notes for this setup's sheet, after those of the job."
    )
    turned: Literal["over_x", "over_y", "none"] = Field(
        "none",
        description="How the part is turned from the setup before: `over_x` about the X axis, so "
        "that Y is reversed; `over_y` about the Y axis, so that X is reversed; `none`: the same "
        "side stays up. Not in the first setup.",
    )
    quarter_turns: QuarterTurns = Field(
        0,
        description="Quarter turns counter-clockwise seen from above, after turning over. The "
        "lower left corner of the stock's box stays where it was.",
    )
    seen: Literal["from_above", "as_drawn"] = Field(
        "from_above",
        description="Whose X and Y the keep regions and holes of this setup are in: `from_above`, "
        "as one sees them in this setup; `as_drawn`, those of the first setup, turned for you. "
        "Datum and obstacles are always as seen from above here.",
    )
    top: Length | None = Field(
        None,
        description="Z of the face that is up in this setup (the raw stock's), default the "
        "stock's `top`.",
    )
    breaks_through: YesNo = Field(
        False,
        description="Whether cuts here may open into what setups before have cleared from the "
        "other side. Without it such a cut is an error.",
    )
    machine: NameOr[Machine] | None = Field(
        None, description="The machine of this setup, default that of the job."
    )
    datum: Datum = Field(default_factory=Datum, description="Where X0 Y0 is in this setup.")
    workholding: Workholding = Field(
        default_factory=Workholding, description="How the part is held here."
    )
    heights: Heights = Field(
        default_factory=Heights, description="Z of rapids across, and where feed begins."
    )
    keep_regions: dict[Name, KeepRegion] = Field(
        {},
        description="What must be left standing on the side that is up. What setups before "
        "finished is spared without being named.",
    )
    tools: Annotated[tuple[Name, ...], Field(min_length=1)] | None = Field(
        None, description="Which of the job's tools are at hand here, default all."
    )
    passes: Annotated[tuple[PassItem, ...], Field(min_length=1, max_length=200)] = Field(
        description="What is done here, in cutting order."
    )
