"""How the part lies on the machine: its datum, how it is held, the heights of rapids."""

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from compiler.spec.models.base import Model, Point
from compiler.spec.models.scalars import DatumText, Length, Name, PositiveLength, Text
from compiler.spec.models.shapes import DrawnPoint, Obstacle


class PickedPoint(Model):
    """A datum picked from a drawing."""

    drawing: DrawnPoint = Field(description="The drawing, and which of its points.")


def _kind_of_datum(value: object) -> str:
    if isinstance(value, str):
        return "<named>"
    return "<picked>" if isinstance(value, (dict, PickedPoint)) else "<point>"


_DatumPoint = Annotated[
    Annotated[DatumText, Tag("<named>")]
    | Annotated[PickedPoint, Tag("<picked>")]
    | Annotated[Point, Tag("<point>")],
    Discriminator(_kind_of_datum),
]


class Datum(Model):
    """Which point of the drawing becomes X0 Y0, and how it is found."""

    at: _DatumPoint = Field(
        (0.0, 0.0),
        description="A point [x, y], or `stock lower_left`, `lower_right`, `upper_left`, "
        "`upper_right`, `centre`, or `region NAME centre`, or `{drawing: ...}` for a point picked "
        "from a drawing; default [0, 0].",
        examples=[[0, 0], "stock lower_left", "region boss centre"],
    )
    work_offset: Literal["G54", "G55", "G56", "G57", "G58", "G59"] = Field(
        "G54", description="The work offset that holds it, default G54."
    )
    found_by: Text | None = Field(None, description="How the setter finds it, for the sheet.")


class Workholding(Model):
    """How the stock is held, and what that forbids."""

    method: Text | None = Field(None, description="How it is held, for the sheet.")
    lowest_cut: Length | None = Field(
        None,
        description="Nothing may be cut below this Z; default the stock's underside. Below the "
        "underside it says that drills, their points too, may come through so far; milling still "
        "ends at the underside.",
    )
    obstacles: dict[Name, Obstacle] = Field(
        {}, description="Where tool, shank and holder must never be, by name."
    )


class Heights(Model):
    """Where rapids run and feed begins."""

    clearance: Length | None = Field(
        None,
        description="Z of rapids across; default 2.5 mm (0.1 in) above the highest of stock, "
        "regions and obstacles.",
    )
    approach: PositiveLength | None = Field(
        None, description="Height above the material where feed begins, default 1.3 mm (0.05 in)."
    )
