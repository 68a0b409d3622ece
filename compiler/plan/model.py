"""The operation list: what will be cut by which tool between which heights, in which order.

The reviewable intermediate form. JSON with a published schema (`schemas/plan.schema.json`),
stable under `git diff`: millimetres and degrees, units in the names, rounded where printed.
"""

from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from compiler.job.model import CoolantKind, Direction, DrillCycle, PassKind, Pattern, Units


class PlanModel(BaseModel):
    """Frozen, strict about unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid", defer_build=True)


class SourcePlace(PlanModel):
    """Where in the spec something was said."""

    file: str
    line: int
    column: int


class Level(PlanModel):
    """One depth of an operation: material from `top_mm` down to `bottom_mm`, sparing `standing`."""

    top_mm: float
    bottom_mm: float
    standing: tuple[str, ...] = Field(description="Keep regions that stand higher than the bottom.")
    over: tuple[str, ...] = Field(
        default=(),
        description="Only above these keep regions (a terrace's top); empty: all over.",
    )


class Cutting(PlanModel):
    """Speeds and feeds of one operation, with how each came about."""

    rpm: float
    surface_speed_m_min: float
    feed_mm_min: float = Field(description="At the tool's centre, for the normal cut.")
    slot_feed_mm_min: float = Field(description="Where the cutter is engaged over half its width.")
    entry_feed_mm_min: float = Field(description="Down a ramp or helix.")
    plunge_feed_mm_min: float = Field(
        description="Straight down in air, the last millimetre above the floor."
    )
    finish_feed_mm_min: float
    chip_load_mm: float
    reasons: tuple[str, ...] = ()


class Operation(PlanModel):
    """One pass of the job, lowered."""

    id: str = Field(description="The pass's name, unique in the job.")
    kind: PassKind
    tool: str
    pattern: Pattern | None = None
    regions: tuple[str, ...] | None = Field(
        default=None, description="Walls of these keep regions only; null: all."
    )
    levels: tuple[Level, ...]
    wall_allowance_mm: float
    wall_allowance_by_region_mm: dict[str, float] = Field(default_factory=dict)
    floor_allowance_mm: float
    radial_depth_mm: float
    engagement_deg: float | None = Field(
        default=None, description="Limit of the engaged angle where the pattern promises one."
    )
    direction: Direction
    angle_deg: float | None = Field(default=None, description="Rows' angle; null: chosen.")
    max_ramp_angle_deg: float
    helix_diameter_mm: float | None = None
    spring_passes: int = 0
    compensation: Literal["none", "control"] = "none"
    wear_range_mm: float | None = Field(
        default=None,
        description="How far the control's wear offset (the tool's D number, nominally 0) may be "
        "set either way, on the radius; null: no compensation at the control.",
    )
    cycle: DrillCycle | None = Field(default=None, description="drill: how each hole is made.")
    peck_mm: float | None = None
    dwell_s: float = 0.0
    after: tuple[str, ...] = Field(default=(), description="rest: operations it follows up.")
    count: int = 1
    cutting: Cutting
    coolant: CoolantKind
    stop_before: bool = False
    about: str = ""
    origin: SourcePlace
    reasons: tuple[str, ...] = Field(
        default=(), description="Each default, clamp or reduction that mattered, and why."
    )


class PlannedTool(PlanModel):
    """A tool as the plan names it."""

    name: str
    number: int
    description: str
    diameter_mm: float


class Trial(PlanModel):
    """One way to fill the passes that leave their cutter open, and how long the job is with it."""

    tools: dict[str, str] = Field(description="By the pass's name, the cutter it was tried with.")
    estimate_s: float = Field(description="From areas, depths and feeds alone.")
    time_s: float | None = Field(
        default=None,
        description="Of the whole program, tool changes included; null: not planned in full.",
    )
    verdict: str = Field(description="`taken`, or why it was not.")

    def reckoned(self, estimate: float) -> float:
        """An estimate on the scale of this trial, planned in full: what is not reckoned (stops at
        corners, links) is taken to grow alike. Seconds.
        """
        if self.time_s is None or self.estimate_s <= 0:
            return estimate
        return estimate * self.time_s / self.estimate_s


class PassedOver(PlanModel):
    """A cutter that can't do a pass, and why."""

    operation: str
    tool: str
    why: str


class ToolChoice(PlanModel):
    """How the cutters of passes with `tool: auto` were chosen."""

    trials: tuple[Trial, ...] = Field(description="The one that was taken first.")
    passed_over: tuple[PassedOver, ...] = ()


class PlannedPlace(PlanModel):
    """Where one of several parts lies: its datum from that of the first."""

    x_mm: float
    y_mm: float
    work_offset: str


class PlannedParts(PlanModel):
    """Several parts on one table, in the order that they are gone through."""

    order: Literal["by_tool", "by_part"]
    is_said: bool = Field(description="Whether the job says the places; else they are made up.")
    places: tuple[PlannedPlace, ...]
    tool_changes: int
    saved_s: float = Field(description="Against the other order; below 0: it takes longer.")
    beside_mm: float | None = Field(
        default=None,
        description="How far cutters go beyond a part's blank; null before motions are planned.",
    )
    reasons: tuple[str, ...] = ()


class OperationList(PlanModel):
    """The whole plan of one setup."""

    version: Literal["plan/1"] = "plan/1"
    job: str
    number: str = ""
    revision: str = ""
    setup: str = Field(
        default="",
        description="Which setup of several this is.",
        exclude_if=lambda name: not name,
    )
    digest: str
    units: Units
    work_offset: str
    clearance_mm: float
    approach_mm: float
    tools: tuple[PlannedTool, ...]
    operations: tuple[Operation, ...]
    choice: ToolChoice | None = Field(
        default=None, description="Null where every pass names its cutter."
    )
    parts: PlannedParts | None = Field(
        default=None,
        description="Where several parts lie on the table.",
        exclude_if=lambda parts: parts is None,
    )
