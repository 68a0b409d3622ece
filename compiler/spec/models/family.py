"""Families: one job with parameters, for many members."""

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, ValidationInfo

from compiler.spec.models.base import Model, Pick
from compiler.spec.models.leaf import Leaf, refused
from compiler.spec.models.scalars import (
    Angle,
    Expression,
    FileName,
    FilePath,
    Length,
    LongText,
    Name,
    ParameterName,
    Text,
    WholeNumber,
)


def _number_or_text(value: object, info: ValidationInfo) -> object:
    if isinstance(value, bool | int | float | str):
        return value
    raise refused("E105", "expected a number or text", "write one value, as `3` or `2 in`")


# what a parameter may be given: a number, a quantity as text, a choice, true or false
Given = Annotated[Any, Leaf(_number_or_text, {"type": ["number", "string", "boolean"]})]
_Number = Annotated[float, Field(strict=True, allow_inf_nan=False)]


class Parameter(Model):
    """A named value: what kind it is, its default, and its limits."""

    PICK = (Pick(("length", "angle", "count", "number", "choice", "value"), 1, 1),)

    length: Length | None = Field(None, description="A length, with its default.")
    angle: Angle | None = Field(None, description="An angle, degrees, with its default.")
    count: WholeNumber | None = Field(None, description="A whole number, with its default.")
    number: _Number | None = Field(None, description="A bare number, with its default.")
    choice: Name | None = Field(None, description="One of the words in `of`, with its default.")
    value: Expression | None = Field(
        None, description="Worked out from other parameters; members can't set it."
    )
    of: Annotated[tuple[Name, ...], Field(min_length=1, max_length=100)] | None = Field(
        None, description="The words to choose from."
    )
    min: Given | None = Field(None, description="Smallest allowed value.")
    max: Given | None = Field(None, description="Largest allowed value.")
    about: Text | None = Field(None, description="What it means, for people.")


class Check(Model):
    """Something that must hold of the parameters."""

    that: Expression = Field(description="An expression that must be true.")
    else_: LongText = Field(alias="else", description="What to tell the author where it is not.")


class Definitions(Model):
    """Parameters and checks, in a family or in a job of its own."""

    parameters: Annotated[dict[ParameterName, Parameter], Field(max_length=200)] = Field(
        {}, description="Named values that members set."
    )
    checks: Annotated[tuple[Check, ...], Field(max_length=100)] = Field(
        (), description="What must hold of the parameters."
    )


# a table written out here, or the CSV file that holds it
Members = Annotated[
    Annotated[FilePath, Tag("<name>")]
    | Annotated[
        dict[FileName, dict[ParameterName, Given]],
        Field(min_length=1, max_length=5000),
        Tag("<written>"),
    ],
    Discriminator(lambda value: "<name>" if isinstance(value, str) else "<written>"),
]


class Family(Definitions):
    """A family file. Its `job` is a job whose values may hold `${ ... }`."""

    spec: Literal["family/1"] = Field(description="Which language this is: family/1.")
    name: Text = Field(description="What the family is called.")
    title: Text | None = Field(None, description="What its parts are called, for people.")
    about: LongText | None = Field(None, description="What it is for, for people.")
    members: Members | None = Field(
        None,
        description="Its members: name to values for the parameters; or a CSV file of them, "
        "relative to this file.",
        examples=[{"ring-50": {"tube": "50 mm"}}, "rings.csv"],
    )
    job: dict[str, Any] = Field(description="A job whose values may hold `${ ... }`.")
