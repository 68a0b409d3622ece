"""The shop file: machines, cutters and materials, kept once for all jobs."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from compiler.spec.models.base import Model, Pick
from compiler.spec.models.leaf import refused
from compiler.spec.models.scalars import (
    Acceleration,
    Block,
    CuttingForce,
    Decimals,
    Feed,
    Fraction,
    LineLength,
    LongText,
    Name,
    PositiveLength,
    Power,
    ProgramNumber,
    Rpm,
    Speed,
    Text,
    Time,
    Torque,
    UnitPower,
    WithinQuarterTurn,
    YesNo,
)
from compiler.spec.models.tools import CribTool


class Axes(Model):
    """Travel of the axes."""

    x: PositiveLength = Field(description="Travel in X.")
    y: PositiveLength = Field(description="Travel in Y.")
    z: PositiveLength = Field(description="Travel in Z.")


_Curve = Annotated[tuple[tuple[Rpm, Torque], ...], Field(min_length=1, max_length=50)]


class Spindle(Model):
    """What the spindle can do."""

    max_rpm: Rpm = Field(description="Fastest spindle speed, rev/min.")
    min_rpm: Rpm | None = Field(None, description="Slowest spindle speed, rev/min, default none.")
    power: Power | None = Field(
        None, description="Spindle motor power; a bare number is hp in inch files, kW in mm files."
    )
    peak_torque: Torque | None = Field(
        None, description="Peak torque; a bare number is ft lbf in inch files, N m in mm files."
    )
    torque_curve: _Curve | None = Field(
        None,
        description="Torque by speed: rows of [rpm, torque], straight between them; default: the "
        "peak torque at every speed, as far as the power goes.",
        examples=[[[100, 30], [1500, 30], [6000, 8]]],
    )


class MachineFeed(Model):
    """How fast the axes move."""

    max: Feed = Field(description="Fastest cutting feed, length per minute.")
    rapid: Feed | None = Field(None, description="Rapid rate, default the fastest cutting feed.")
    acceleration: Acceleration | None = Field(
        None, description="Acceleration of the axes, length per second squared."
    )


class Program(Model):
    """How a control wants its text."""

    standard: Literal["rs274ngc", "iso6983"] = Field(
        "rs274ngc", description="Which standard the program follows, default rs274ngc."
    )
    decimals: Decimals | None = Field(
        None,
        description="Decimals of all coordinates; default 3 in mm and 4 in inches, and one more "
        "on arcs, which few decimals move most.",
    )
    line_numbers: YesNo = Field(False, description="Whether blocks carry N words, default false.")
    arcs: Literal["centre", "radius"] = Field(
        "centre", description="Arcs by centre (I J) or by radius (R), default centre."
    )
    comments: Literal["parentheses", "semicolon", "none"] = Field(
        "parentheses", description="How comments are written, default parentheses."
    )
    program_number: ProgramNumber | None = Field(
        None, description="Number for the O word, default none."
    )
    max_line_length: LineLength = Field(80, description="Longest line, characters, default 80.")
    length_offset: YesNo = Field(
        True, description="Whether tool length offsets are called with G43 H, default true."
    )
    helices: Literal["arcs", "lines"] = Field(
        "arcs",
        description="A helix as helical arcs, or as short straight ramps for a control that has "
        "none; default arcs.",
    )
    cycles: Literal["expanded", "canned"] = Field(
        "expanded",
        description="Holes as single moves, or by the standard's canned cycles (G81 to G83, in "
        "iso6983 G73 too); default expanded.",
    )
    dwell: Literal["p_seconds", "p_milliseconds", "x_seconds"] = Field(
        "p_seconds",
        description="How G4 says how long: by P in seconds or milliseconds, or by X in seconds; "
        "default p_seconds.",
    )
    opening: Annotated[tuple[Block, ...], Field(max_length=20)] = Field(
        (), description="Blocks of the shop's own at the beginning."
    )
    closing: Annotated[tuple[Block, ...], Field(max_length=20)] = Field(
        (), description="Blocks of the shop's own at the end."
    )

    @model_validator(mode="after")
    def _own_blocks_fit(self) -> Self:
        for key in ("opening", "closing"):
            longest = max((len(block) for block in getattr(self, key)), default=0)
            if longest > self.max_line_length:
                raise refused(
                    "E114",
                    f"a block of `{key}` has {longest} characters; the control takes "
                    f"{self.max_line_length}",
                    "make the block shorter, or give the control's own `max_line_length`",
                    keys=key,
                )
        return self


class Machine(Model):
    """A milling machine's limits."""

    name: Name | None = Field(
        None, description="What it is called, where it is written out in a job."
    )
    axes: Axes | None = Field(None, description="Travel; default: not checked.")
    spindle: Spindle = Field(description="Speeds, power and torque of the spindle.")
    feed: MachineFeed = Field(description="Cutting feed, rapid rate and acceleration.")
    tool_change: Literal["manual", "automatic"] = Field(
        "manual", description="How tools are changed, default manual."
    )
    change_time: Time | None = Field(
        None, description="Seconds for a tool change, default 60 by hand, 8 automatic."
    )
    program: Program = Field(default_factory=Program, description="How its control wants its text.")
    about: Text | None = Field(None, description="Text for people.")


class SpeedByTool(Model):
    """Surface speed for each tool material."""

    hss: Speed | None = Field(None, description="With high-speed steel.")
    carbide: Speed | None = Field(None, description="With carbide.")


_ChipLoads = Annotated[
    tuple[tuple[PositiveLength, PositiveLength], ...], Field(min_length=1, max_length=50)
]


class ChipLoadByTool(Model):
    """Chip load for each tool material, by diameter."""

    hss: _ChipLoads | None = Field(
        None, description="With high-speed steel: rows of [diameter, feed per tooth]."
    )
    carbide: _ChipLoads | None = Field(
        None, description="With carbide: rows of [diameter, feed per tooth]."
    )


class Material(Model):
    """What stock is made of, as cutting sees it."""

    PICK = (Pick(("specific_cutting_force", "unit_power"), 1, 1),)

    name: Name | None = Field(
        None, description="What it is called, where it is written out in a job."
    )
    iso_group: Literal["P", "M", "K", "N", "S", "H"] | None = Field(
        None, description="Work material group of ISO 513; none for plastics."
    )
    hardness: Text | None = Field(None, description="For people, as `95 HB`.")
    specific_cutting_force: CuttingForce | None = Field(
        None, description="Cutting force per chip section, N/mm2."
    )
    unit_power: UnitPower | None = Field(
        None,
        description="Power per removal rate; a bare number is hp/(in3/min) in inch files, "
        "kW/(cm3/min) in mm files.",
    )
    cutting_speed: SpeedByTool = Field(description="Surface speed for each tool material.")
    chip_load: ChipLoadByTool = Field(description="Feed per tooth for each tool material.")
    max_ramp_angle: WithinQuarterTurn | None = Field(
        None, description="Steepest ramp into it, degrees, default 3."
    )
    slot_depth: Fraction | None = Field(
        None, description="Axial depth in a full slot, as a fraction of the diameter, default 0.5."
    )
    side_depth: Fraction | None = Field(
        None,
        description="Axial depth at a light side cut, as a fraction of the diameter, default 1.",
    )
    cautions: Annotated[tuple[LongText, ...], Field(max_length=20)] = Field(
        (), description="What to beware of, for the setup sheet."
    )
    about: Text | None = Field(None, description="Text for people, as where the numbers are from.")


class Shop(Model):
    """A shop file."""

    spec: Literal["shop/1"] = Field(description="Which language this is: shop/1.")
    name: Text | None = Field(None, description="What the shop is called.")
    units: Literal["inch", "mm"] = Field(description="Units of bare numbers in this file.")
    machines: dict[Name, Machine] = Field({}, description="Machines, by name.")
    crib: dict[Name, CribTool] = Field({}, description="Cutters, by name.")
    materials: dict[Name, Material] = Field({}, description="Materials, by name.")
