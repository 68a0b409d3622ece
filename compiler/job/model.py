"""The job as typed values. Lengths are millimetres, angles radians, feeds mm/min, speeds rpm.

Comes out of `spec.resolve`; shapes are already exact `geometry.Region`s in the drawing's
coordinates (the datum is applied by `part`). Every item carries the span of the spec that made it.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from compiler.diagnostics import Span
from compiler.geometry import Chain, Point, Region
from compiler.geometry.pose import Pose
from compiler.units.number import Units as Units  # the job's word for it

ToolKind = Literal["end_mill", "bull_mill", "ball_mill", "face_mill", "chamfer_mill", "drill"]
ToolMaterial = Literal["hss", "carbide"]
CoolantKind = Literal["flood", "mist", "air", "none"]
PassKind = Literal["face", "rough", "rest", "finish_floor", "finish_walls", "drill", "break_edges"]
Pattern = Literal["direction_parallel", "contour_parallel", "constant_engagement"]
Direction = Literal["climb", "conventional", "both"]
DrillCycle = Literal["spot", "plain", "peck", "chip_break"]
ToleranceClass = Literal["f", "m", "c", "v"]  # ISO 2768-1: fine, medium, coarse, very coarse

AUTO = "auto"
"""What a pass says for its tool where the cutter is to be chosen from the crib."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Title:
    """What people read: on the sheet and in the program's head. None of it steers the cutter."""

    name: str
    title: str = ""
    number: str = ""
    revision: str = ""
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ProgramStyle:
    """How a control wants its text.

    `decimals` None means the standard's own (mm 3, arcs 4; inch 4, arcs 5). `opening` and
    `closing` are blocks of the shop's own, checked by the reader like the rest.
    """

    standard: Literal["rs274ngc", "iso6983"] = "rs274ngc"
    decimals: int | None = None
    line_numbers: bool = False
    arcs: Literal["centre", "radius"] = "centre"
    comments: Literal["parentheses", "semicolon", "none"] = "parentheses"
    program_number: int | None = None
    max_line_length: int = 80
    length_offset: bool = True
    helices: Literal["arcs", "lines"] = "arcs"
    cycles: Literal["expanded", "canned"] = "expanded"
    dwell: Literal["p_seconds", "p_milliseconds", "x_seconds"] = "p_seconds"
    opening: tuple[str, ...] = ()
    closing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Machine:
    """A mill's limits. None where the shop did not say: it is then not checked, and said so."""

    name: str
    travel: tuple[float, float, float] | None = None  # mm
    max_rpm: float
    min_rpm: float = 0.0
    power: float | None = None  # kW at the spindle motor
    peak_torque: float | None = None  # N m
    torque_curve: tuple[tuple[float, float], ...] = ()  # rows of (rpm, N m), rising in rpm
    max_feed: float  # mm/min
    rapid: float  # mm/min
    acceleration: float = 500.0  # mm/s2
    tool_change: Literal["manual", "automatic"] = "manual"
    change_time: float = 60.0  # s
    program: ProgramStyle = field(default_factory=ProgramStyle)


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """What the stock is made of, as cutting sees it.

    cutting_speed: m/min by tool material. chip_load: by tool material, rows of (diameter mm,
    mm per tooth), rising in diameter. sources: for each number its published source or mark.
    """

    name: str
    title: str = ""
    iso_group: str = ""  # ISO 513 letter; empty outside the standard (plastics)
    hardness: str = ""
    specific_cutting_force: float  # N/mm2
    cutting_speed: Mapping[ToolMaterial, float]
    chip_load: Mapping[ToolMaterial, tuple[tuple[float, float], ...]]
    max_ramp_angle: float  # rad
    slot_depth: float  # axial depth in a full slot, as a fraction of the diameter
    side_depth: float  # axial depth at a light side cut, as a fraction of the diameter
    cautions: tuple[str, ...] = ()
    sources: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Holder:
    """What grips the tool: a cylinder."""

    diameter: float
    length: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """A cutter in its holder. Dimension names and meanings follow ISO 13399."""

    name: str  # as the job calls it, as T1
    number: int  # the T word; 0 for a cutter in the crib whose number nobody said
    kind: ToolKind
    diameter: float
    flutes: int
    flute_length: float
    stickout: float
    shank_diameter: float
    material: ToolMaterial
    centre_cutting: bool
    helix_angle: float  # rad
    corner_radius: float = 0.0
    tip_angle: float = 0.0  # rad, included
    tip_diameter: float = 0.0
    holder: Holder | None = None
    length_offset: int  # the H word
    diameter_offset: int  # the D word
    crib: str = ""  # its name in the shop's crib, if it came from there
    about: str = ""
    origin: Span

    @property
    def radius(self) -> float:
        """Half the cutting diameter."""
        return self.diameter / 2


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """The blank: an outline, its upper face and its thickness."""

    region: Region
    top: float
    thickness: float
    origin: Span

    @property
    def bottom(self) -> float:
        """Z of the underside."""
        return self.top - self.thickness


@dataclass(frozen=True, slots=True, kw_only=True)
class Datum:
    """Which point of the drawing becomes X0 Y0, and how the setter finds it.

    `said` is the author's own way of naming the point, for the sheet.
    """

    at: Point
    said: str
    work_offset: str = "G54"
    found_by: str = ""
    origin: Span | None = None  # of the point, where the author gave one


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenChain:
    """An open outline across the stock; all stock on the side that stands, stands."""

    chain: Chain
    stands: Literal["left", "right"]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepRegion:
    """What must be left standing, by name. Either a closed shape or an open chain."""

    name: str
    shape: Region | OpenChain
    top: float
    tolerance: float | None = None
    wall_allowance: float | None = None  # overrides the pass's
    floor_allowance: float | None = None
    about: str = ""
    origin: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Obstacle:
    """Where tool, shank and holder must never be: from below up to `top`."""

    name: str
    region: Region
    top: float
    origin: Span


@dataclass(frozen=True, slots=True, kw_only=True)
class Workholding:
    """How the stock is held, and what that forbids."""

    method: str = ""
    lowest_cut: float | None = None
    obstacles: tuple[Obstacle, ...] = ()
    origin: Span | None = None  # of `lowest_cut`, where the author gave it


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Z of rapids across, and how far above the material feed begins."""

    clearance: float
    approach: float
    origin: Span | None = None  # of `heights.clearance`, where the author gave it


@dataclass(frozen=True, slots=True, kw_only=True)
class CuttingGiven:
    """What the author fixed of the cutting data; None is worked out. Speed m/min, feeds mm/min."""

    rpm: float | None = None
    speed: float | None = None
    feed: float | None = None
    chip_load: float | None = None
    entry_feed: float | None = None
    finish_feed: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """How the tool may go down where there is no air."""

    max_ramp_angle: float | None = None  # rad; None: the material's
    helix_diameter: float | None = None  # of the centre's path


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One pass, in cutting order. A key that was left out is None; its default is in `plan`.

    `spans` gives the place of each key that was given, `origin` that of the whole pass.
    """

    kind: PassKind
    name: str
    tool: str
    to: float | None = None
    start: float | None = None  # the key `from`
    regions: tuple[str, ...] | None = None  # None: all
    pattern: Pattern | None = None
    axial_depth: float | None = None
    radial_depth: float | None = None  # mm; a percentage is already of the tool's diameter
    radial_share: float | None = None  # of the diameter, while the cutter is not chosen
    engagement: float | None = None  # rad
    wall_allowance: float | None = None
    floor_allowance: float | None = None
    direction: Direction | None = None
    angle: float | None = None  # rad
    entry: Entry = field(default_factory=Entry)
    cutting: CuttingGiven = field(default_factory=CuttingGiven)
    coolant: CoolantKind | None = None
    stop_before: bool = False
    after: tuple[str, ...] | None = None  # rest: which passes; None: all before
    count: int = 1  # rest: levels of diminishing reach
    spring_passes: int = 0  # finish_walls
    compensation: Literal["none", "control"] = "none"  # finish_walls
    wear_range: float | None = None  # finish_walls: how far the control's offset may be set from 0
    at: tuple[Point, ...] = ()  # drill
    cycle: DrillCycle = "plain"  # drill
    peck: float | None = None  # drill
    dwell: float | None = None  # drill: s at the bottom
    width: float | None = None  # break_edges
    about: str = ""
    origin: Span
    spans: Mapping[str, Span] = field(default_factory=dict)

    @property
    def is_open(self) -> bool:
        """Whether its cutter is still to be chosen from the crib."""
        return self.tool == AUTO


@dataclass(frozen=True, slots=True, kw_only=True)
class Inspection:
    """A row of the first-article list, mm; no `plus` and `minus`: the general tolerance holds."""

    what: str
    nominal: float
    plus: float | None
    minus: float | None
    gauge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """Which setup of several a job is, and how the part came to lie so.

    `pose` takes what was seen in the setup before, in its drawing's coordinates, to what is seen
    here. `least_radius` is that of the smallest cutter that clears in any of the setups, and
    `most_diameter` that of the widest tool, mm.
    """

    name: str
    number: int  # from 1
    count: int
    title: str = ""
    pose: Pose = field(default_factory=Pose)
    breaks_through: bool = False
    least_radius: float | None = None
    most_diameter: float = 0.0
    origin: Span

    @property
    def label(self) -> str:
        """As people say it: `setup 2 of 2, underside`."""
        return f"setup {self.number} of {self.count}, {self.name}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Several parts on one table, cut by one program.

    `places` are those of each part's datum from the first one's, mm. Where the author does not say
    them (`is_said`), they are made up so that the parts are apart: nothing follows from how far.
    """

    places: tuple[Point, ...]
    is_said: bool
    work_offsets: tuple[str, ...]  # one for each part
    order: Literal["by_tool", "by_part"] | None  # None: what takes less time
    origin: Span

    @property
    def has_offsets(self) -> bool:
        """Whether each part has a work offset of its own."""
        return len(set(self.work_offsets)) > 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Job:
    """Everything the author said, resolved; of several setups, what was said of one of them.

    Coordinates are still the drawing's own, as seen from above in this setup.
    """

    title: Title
    units: Units
    digest: str  # sha256 of the resolved job, hex
    spec_file: str  # as the user may read it, relative to the root
    machine: Machine
    material: Material
    stock: Stock
    datum: Datum
    workholding: Workholding
    heights: Heights
    keep_regions: tuple[KeepRegion, ...]
    tools: tuple[Tool, ...]
    passes: tuple[Pass, ...]
    inspection: tuple[Inspection, ...] = ()
    general_tolerance: ToleranceClass | float | None = None  # of ISO 2768-1, or mm either way
    effort: int = 1  # times the usual bound on a path's length; no part of the digest
    crib: tuple[Tool, ...] = ()  # the shop's other cutters, for remedies and for `tool: auto`
    setup: Setup | None = None  # None: the only one
    table: Table | None = None  # None: a single part

    @property
    def open_passes(self) -> tuple[Pass, ...]:
        """The passes whose cutter is still to be chosen from the crib."""
        return tuple(asked for asked in self.passes if asked.is_open)

    @property
    def lowest_drilled(self) -> float:
        """Z that drills may come down to, mm: as the holding says, through the stock where it says
        so; else the stock's underside.
        """
        given = self.workholding.lowest_cut
        return self.stock.bottom if given is None else given

    @property
    def output_name(self) -> str:
        """What its output files are named by: `NAME`, or `NAME.SETUP` where there are several."""
        return self.title.name if self.setup is None else f"{self.title.name}.{self.setup.name}"

    def tool(self, name: str) -> Tool:
        """The tool of that name. Raises KeyError for none; `resolve` has checked that."""
        for tool in self.tools:
            if tool.name == name:
                return tool
        raise KeyError(name)
