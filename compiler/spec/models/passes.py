"""Passes: what is cut, in cutting order. One model for each kind, over the keys they share."""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Discriminator, Field, Tag, WithJsonSchema

from compiler.spec.models.base import Model, Pick, Point
from compiler.spec.models.scalars import (
    NAME_PATTERN,
    Angle,
    Feed,
    Levels,
    Name,
    PositiveLength,
    RadialDepth,
    Rpm,
    SmallCount,
    Speed,
    Text,
    Time,
    WithinHalfTurn,
    WithinQuarterTurn,
    YesNo,
)
from compiler.spec.models.scalars import Length as LengthValue
from compiler.spec.models.shapes import Allowance, Drawing

_NAME_SCHEMA = {"type": "string", "pattern": NAME_PATTERN}


def _listed(value: object) -> object:
    """One name stands for a list of one."""
    return [value] if isinstance(value, str) else value


Names = Annotated[
    tuple[Name, ...],
    Field(min_length=1, max_length=500),
    BeforeValidator(_listed),
    WithJsonSchema(
        {
            "anyOf": [
                _NAME_SCHEMA,
                {"type": "array", "items": _NAME_SCHEMA, "minItems": 1, "maxItems": 500},
            ]
        }
    ),
]


class Entry(Model):
    """How the tool may go down where there is no air."""

    max_ramp_angle: WithinQuarterTurn | None = Field(
        None, description="Steepest ramp or helix, degrees; default the material's."
    )
    helix_diameter: PositiveLength | None = Field(
        None, description="Diameter of the helix that the tool's centre runs; default worked out."
    )


class Cutting(Model):
    """Cutting data that the author fixes; what is not given is worked out and shown."""

    PICK = (Pick(("rpm", "speed"), 0, 1), Pick(("feed", "chip_load"), 0, 1))

    rpm: Rpm | None = Field(None, description="Spindle speed, rev/min.", examples=[4000])
    speed: Speed | None = Field(
        None, description="Surface speed; a bare number is ft/min in inch files, m/min in mm files."
    )
    feed: Feed | None = Field(None, description="Feed, length per minute.", examples=["30 in/min"])
    chip_load: PositiveLength | None = Field(
        None, description="Feed per tooth, a length.", examples=["0.002 in"]
    )
    entry_feed: Feed | None = Field(None, description="Feed of ramps, helices and plunges.")
    finish_feed: Feed | None = Field(None, description="Feed along finished walls.")


_CuttingOrAuto = Annotated[
    Annotated[Literal["auto"], Tag("<auto>")] | Annotated[Cutting, Tag("<written>")],
    Discriminator(lambda value: "<auto>" if isinstance(value, str) else "<written>"),
]


class Pass(Model):
    """Keys that all passes share."""

    PICK = (Pick(("radial_depth", "engagement"), 0, 1),)

    name: Name | None = Field(
        None, description="For `after` and overrides to point at; default the kind and its number."
    )
    tool: Name = Field(
        description="Which of the job's tools cuts; `auto`: the cutter of the job or of the crib "
        "with which the job is shortest.",
        examples=["T1", "auto"],
    )
    to: LengthValue | None = Field(
        None,
        description="Z of the floor; default the deepest `to` before it. Of a drill how deep the "
        "hole has its full diameter: the point goes on below it by the height of its cone.",
    )
    from_: LengthValue | None = Field(
        None, alias="from", description="Z where it begins; default what stands there."
    )
    regions: Names | None = Field(None, description="Only these keep regions, default all.")
    pattern: Literal["direction_parallel", "contour_parallel", "constant_engagement"] | None = (
        Field(None, description="How the cutter's rows run; default what fits the pass.")
    )
    axial_depth: PositiveLength | None = Field(
        None, description="Depth of each level; default what tool and material bear."
    )
    radial_depth: RadialDepth | None = Field(
        None,
        description="Width of cut: a length, or a percentage of the diameter.",
        examples=["40%"],
    )
    engagement: WithinHalfTurn | None = Field(
        None, description="Largest engaged angle of the cutter, degrees.", examples=[60]
    )
    allowance: Allowance | None = Field(
        None, description="Material left on walls and floors for a later pass."
    )
    direction: Literal["climb", "conventional", "both"] | None = Field(
        None, description="Climb or conventional cutting, or both by turns (to and fro)."
    )
    angle: Angle | None = Field(
        None, description="Direction of parallel rows, degrees from +X; default the longer side."
    )
    entry: Entry | None = Field(None, description="How the tool goes down where there is no air.")
    cutting: _CuttingOrAuto | None = Field(
        None, description="Speeds and feeds; default `auto`: from material, tool and machine."
    )
    coolant: Literal["flood", "mist", "air", "none"] | None = Field(
        None, description="Coolant; default the material's."
    )
    stop_before: YesNo = Field(False, description="Stops the program before this pass.")
    about: Text | None = Field(None, description="Text for the plan and the setup sheet.")


class Face(Pass):
    """Takes the stock's upper face down to `to`."""


class Rough(Pass):
    """Clears everything outside the keep regions, level by level, from the outside in."""


class Rest(Pass):
    """Clears what the tools before it left or could not reach."""

    after: Names | None = Field(
        None, description="Which passes' leavings it clears, default all before it."
    )
    count: Levels = Field(1, description="Levels of diminishing reach, default 1.")


class FinishFloor(Pass):
    """Takes the floor allowance in one level."""


class FinishWalls(Pass):
    """Takes the wall allowance around every keep region."""

    spring_passes: SmallCount = Field(
        0, description="Further rounds on the same line, default 0.", examples=[1]
    )
    compensation: Literal["none", "control"] = Field(
        "none",
        description="`control`: the walls' path can be shifted at the control by a wear offset "
        "(G41, G42 and the tool's D word), nominally 0; default none.",
    )
    wear_range: PositiveLength | None = Field(
        None,
        description="With `compensation: control`: how far the wear offset may be set either way "
        "from 0, on the radius; proven at both ends; default 0.1 mm (0.004 in).",
        examples=["0.002 in"],
    )


class HolesOfDrawing(Model):
    """Hole centres from the circles of a drawing."""

    drawing: Drawing = Field(description="The drawing whose circles are holes.")


_Points = Annotated[tuple[Point, ...], Field(min_length=1, max_length=2000)]
_PointsOrDrawing = Annotated[
    Annotated[HolesOfDrawing, Tag("<drawing>")] | Annotated[_Points, Tag("<points>")],
    Discriminator(lambda value: "<drawing>" if isinstance(value, dict) else "<points>"),
]


class DrillHoles(Pass):
    """Drills holes at points, or in the circles of a drawing."""

    at: _PointsOrDrawing = Field(
        description="Hole centres: a list of points [x, y], or `{drawing: ...}`.",
        examples=[[[0.5, 0.5], [2.5, 0.5]]],
    )
    cycle: Literal["spot", "plain", "peck", "chip_break"] = Field(
        "plain",
        description="A spot (`to` is where the tip ends, with a dwell there), a hole in one go, "
        "with full retracts between pecks, or with short ones; default plain.",
    )
    peck: PositiveLength | None = Field(
        None,
        description="Depth of each peck, from the height where feed begins; default one diameter.",
    )
    dwell: Time | None = Field(
        None, description="Seconds to stay at the bottom; default two turns for a spot, else none."
    )


class BreakEdges(Pass):
    """Chamfers the upper edges of keep regions."""

    width: PositiveLength = Field(description="Width of the chamfer, seen from above.")


class PassItem(Model):
    """One pass: exactly one kind."""

    PICK = (
        Pick(
            ("face", "rough", "rest", "finish_floor", "finish_walls", "drill", "break_edges"), 1, 1
        ),
    )

    face: Face | None = Field(None, description="Takes the upper face down to `to`.")
    rough: Rough | None = Field(
        None,
        description="Clears everything outside the keep regions.",
        examples=[{"tool": "T1", "to": -0.5, "pattern": "constant_engagement", "engagement": 60}],
    )
    rest: Rest | None = Field(None, description="Clears what the tools before it left.")
    finish_floor: FinishFloor | None = Field(None, description="Takes the floor allowance.")
    finish_walls: FinishWalls | None = Field(None, description="Takes the wall allowance.")
    drill: DrillHoles | None = Field(None, description="Drills holes.")
    break_edges: BreakEdges | None = Field(None, description="Chamfers upper edges.")

    @property
    def given(self) -> Pass:
        """The pass, whatever its kind."""
        found = getattr(self, self.kind)
        assert isinstance(found, Pass)
        return found
