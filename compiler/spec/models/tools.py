"""Cutters, as a crib or a job writes them. Dimension names and meanings follow ISO 13399."""

from typing import Literal

from pydantic import Field

from compiler.spec.models.base import Model, Pick
from compiler.spec.models.scalars import (
    Angle,
    Flutes,
    Name,
    PositiveLength,
    Room,
    Text,
    ToolNumber,
    WithinHalfTurn,
    YesNo,
)


class Holder(Model):
    """What grips the tool, as a cylinder above the stickout."""

    diameter: PositiveLength = Field(description="Its diameter.", examples=["1-1/4 in"])
    length: PositiveLength = Field(description="Its length.", examples=["2 in"])


class Cutter(Model):
    """Dimensions that all cutters have."""

    diameter: PositiveLength = Field(
        description="Cutting diameter (ISO 13399 DC).", examples=["1/4", "6 mm"]
    )
    flutes: Flutes = Field(description="Number of cutting edges (ISO 13399 ZEFP).", examples=[3])
    flute_length: PositiveLength | None = Field(
        None, description="Usable length of cut (ISO 13399 APMX), default twice the diameter."
    )
    stickout: PositiveLength | None = Field(
        None,
        description="From the tip to the holder's face (ISO 13399 LPR), "
        "default the flute length and one diameter.",
    )
    shank_diameter: PositiveLength | None = Field(
        None, description="Shank diameter (ISO 13399 DMM), default the cutting diameter."
    )
    material: Literal["hss", "carbide"] = Field(
        "hss", description="What the cutter is made of, default hss."
    )
    centre_cutting: YesNo = Field(
        False, description="Whether its end cuts to the middle, default false."
    )
    helix_angle: Angle | None = Field(
        None, description="Flute helix angle (ISO 13399 FHA), degrees, default 30."
    )
    holder: Holder | None = Field(None, description="What grips it; default: not checked.")


class EndMill(Cutter):
    """A square end mill."""


class BullMill(Cutter):
    """An end mill with rounded corners."""

    corner_radius: PositiveLength = Field(description="Corner radius (ISO 13399 RE).")


class BallMill(Cutter):
    """An end mill with a full round end."""


class FaceMill(Cutter):
    """A mill for faces."""


class ChamferMill(Cutter):
    """A pointed mill for edges."""

    tip_angle: WithinHalfTurn = Field(
        1.5707963267948966, description="Included angle of the tip, degrees, default 90."
    )
    tip_diameter: Room = Field(0.0, description="Diameter of the flat at the tip, default 0.")


class Drill(Cutter):
    """A twist drill."""

    flutes: Flutes = Field(2, description="Number of cutting edges, default 2.")
    tip_angle: WithinHalfTurn = Field(
        2.0594885173533086, description="Included point angle (ISO 13399 SIG), default 118."
    )


CUTTER_KINDS = ("end_mill", "bull_mill", "ball_mill", "face_mill", "chamfer_mill", "drill")


class CribTool(Model):
    """A cutter kept in the shop's crib: exactly one kind."""

    PICK = (Pick(CUTTER_KINDS, 1, 1),)

    end_mill: EndMill | None = Field(
        None,
        description="A square end mill.",
        examples=[{"diameter": "1/4", "flutes": 3, "flute_length": "3/4", "stickout": 1}],
    )
    bull_mill: BullMill | None = Field(None, description="An end mill with rounded corners.")
    ball_mill: BallMill | None = Field(None, description="An end mill with a full round end.")
    face_mill: FaceMill | None = Field(None, description="A mill for faces.")
    chamfer_mill: ChamferMill | None = Field(None, description="A pointed mill for edges.")
    drill: Drill | None = Field(None, description="A twist drill.")
    number: ToolNumber | None = Field(
        None, description="The T word; default from the tool's name, as T3, else its place."
    )
    length_offset: ToolNumber | None = Field(
        None, description="The H word, default the tool's number."
    )
    diameter_offset: ToolNumber | None = Field(
        None, description="The D word, default the tool's number."
    )
    about: Text | None = Field(None, description="Text for the setup sheet.")

    @property
    def cutter(self) -> Cutter:
        """The dimensions, whatever the kind."""
        found = getattr(self, self.kind)
        assert isinstance(found, Cutter)
        return found


class JobTool(CribTool):
    """A tool of a job: a cutter from the shop's crib by name, or one written out."""

    PICK = (Pick((*CUTTER_KINDS, "crib"), 1, 1),)

    crib: Name | None = Field(None, description="Name of a cutter in the shop's crib.")
