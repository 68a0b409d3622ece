"""The job file: everything that one job says; and a member of a family, which says what differs."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, WithJsonSchema

from compiler.spec.models.base import Model, NameOr, Pick
from compiler.spec.models.family import Check, Given, Parameter
from compiler.spec.models.parts import Parts
from compiler.spec.models.passes import PassItem
from compiler.spec.models.scalars import (
    Effort,
    FileName,
    FilePath,
    Length,
    LongText,
    Name,
    ParameterName,
    PositiveLength,
    Room,
    Text,
)
from compiler.spec.models.setting import Datum, Heights, Workholding
from compiler.spec.models.setups import Setup
from compiler.spec.models.shapes import KeepRegion, StockOutline
from compiler.spec.models.shop import Machine, Material
from compiler.spec.models.tools import JobTool


class Stock(Model):
    """The blank."""

    PICK = (Pick(("outline", "around"), 1, 1),)

    outline: StockOutline | None = Field(
        None,
        description="Its outline: any shape, or `{around: keep_regions, margin: ...}`.",
        examples=[{"rectangle": {"from": [0, 0], "to": [7, 5]}}],
    )
    around: Literal["keep_regions", "drawing", "model"] | None = Field(
        None, description="In place of an outline: the bounding box of keep regions and so on."
    )
    margin: Room | None = Field(None, description="With `around`: added on every side, default 0.")
    top: Length = Field(0.0, description="Z of its upper face, default 0.")
    thickness: PositiveLength = Field(description="From upper face to underside.", examples=[1.0])


def _kind_of_tolerance(value: object) -> str:
    is_class = isinstance(value, str) and value.strip().lower().startswith("iso")
    return "<class>" if is_class else "<length>"


_Tolerance = Annotated[
    Annotated[Literal["ISO 2768-f", "ISO 2768-m", "ISO 2768-c", "ISO 2768-v"], Tag("<class>")]
    | Annotated[PositiveLength, Tag("<length>")],
    Discriminator(_kind_of_tolerance),
]


class Inspection(Model):
    """A row of the first-article list."""

    what: Text = Field(description="What is measured.", examples=["Boss diameter"])
    nominal: Length = Field(description="Its nominal size.")
    plus: Room | None = Field(
        None,
        description="How much more is allowed; default 0, or with no `minus` either the "
        "general tolerance.",
    )
    minus: Room | None = Field(
        None,
        description="How much less is allowed; default 0, or with no `plus` either the "
        "general tolerance.",
    )
    gauge: Text | None = Field(None, description="What it is measured with.")


class Head(Model):
    """What every job file begins with; all but name and spec is for people."""

    spec: Literal["job/1"] = Field(description="Which language this is: job/1.")
    name: FileName = Field(
        description="Names the output files: letters, digits, `-` and `_`.",
        examples=["eyepiece-bracket"],
    )
    title: Text | None = Field(None, description="What the part is called, for people.")
    number: Text | None = Field(None, description="Job number, for people.", examples=["OB-0117"])
    revision: Text | None = Field(None, description="Revision, for people.", examples=["B"])
    notes: Annotated[tuple[LongText, ...], Field(max_length=50)] = Field(
        (), description="Notes for the setup sheet."
    )


class JobBody(Model):
    """What is cut, out of what, on what, with what."""

    PICK = (Pick(("passes", "setups"), 1, 1), Pick(("keep_regions", "setups"), 1, 1))

    units: Literal["inch", "mm"] = Field(description="Units of bare numbers in this file.")
    shop: FilePath | None = Field(
        None,
        description="The shop file with machines, cutters and materials, relative to this file.",
        examples=["../shop.yaml"],
    )
    machine: NameOr[Machine] = Field(
        description="A machine of the shop file, a built-in one, or one written out here.",
        examples=["knee_mill"],
    )
    material: NameOr[Material] = Field(
        description="A material of the shop file, a built-in one, or one written out here.",
        examples=["aluminium_6061"],
    )
    stock: Stock = Field(description="The blank that the part is cut from.")
    datum: Datum = Field(default_factory=Datum, description="Where X0 Y0 is; default [0, 0], G54.")
    workholding: Workholding = Field(
        default_factory=Workholding, description="How the stock is held, and where no tool may be."
    )
    heights: Heights = Field(
        default_factory=Heights, description="Z of rapids across, and where feed begins."
    )
    keep_regions: Annotated[dict[Name, KeepRegion], Field(min_length=1)] | None = Field(
        None, description="What must be left standing, by name; at least one."
    )
    tools: dict[Name, JobTool] = Field(
        {},
        description="What this job cuts with, by name, as T1; passes with `tool: auto` need none.",
    )
    passes: Annotated[tuple[PassItem, ...], Field(min_length=1, max_length=200)] | None = Field(
        None, description="What is done, in cutting order."
    )
    parts: Parts | None = Field(
        None, description="The same part several times on one table, cut by one program."
    )
    setups: Annotated[tuple[Setup, ...], Field(min_length=1, max_length=12)] | None = Field(
        None,
        description="In place of `passes` and `keep_regions`: the setups, in order. Each starts "
        "from the material that the one before left.",
    )
    inspection: Annotated[tuple[Inspection, ...], Field(max_length=200)] = Field(
        (), description="Rows for the first-article list."
    )
    effort: Effort = Field(
        1,
        description="How many times the usual length of path may be planned, default 1: long "
        "paths of small cutters take long to plan and to prove.",
        examples=[4],
    )
    general_tolerance: _Tolerance | None = Field(
        None,
        description="What holds for every length that has no tolerance of its own: a class of "
        "ISO 2768-1 (f, m, c or v), or a length either way. The first-article list then has the "
        "sizes of all regions and the floor.",
        examples=["ISO 2768-m", 0.005],
    )


class Job(Head, JobBody):
    """A job file."""

    parameters: dict[ParameterName, Parameter] = Field(
        {}, description="Named values for `${ ... }` in this file."
    )
    checks: Annotated[tuple[Check, ...], Field(max_length=100)] = Field(
        (), description="What must hold of the parameters."
    )


class Member(Head):
    """A member of a family: which family, and what differs."""

    from_: FilePath = Field(alias="from", description="The family file, relative to this file.")
    with_: dict[ParameterName, Given] = Field(
        {}, alias="with", description="Values for the family's parameters."
    )
    override: Annotated[
        dict[str, Any],
        WithJsonSchema({"type": "object"}),
    ] = Field(
        {},
        description="Changes to the expanded job: mappings merge by key, lists are replaced "
        "whole, null takes a key away (RFC 7396); a pass is reached by its name.",
    )
