"""Evidence: one entry for each obligation, held or broken, by what margin and where.

Written as `NAME.report.json` with a published schema (`schemas/report.schema.json`).
"""

from collections.abc import Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

ObligationName = Literal[
    "regions_stand",
    "floor_kept",
    "rapids_clear",
    "entries_safe",
    "engagement_held",
    "load_held",
    "holder_clear",
    "machine_fits",
    "nothing_left",
    "program_sane",
    "text_true",
]


class EvidenceModel(BaseModel):
    """Frozen, strict about unknown keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")


class Place(EvidenceModel):
    """Where in the work the worst was met: the tool tip's position, the line, who caused it."""

    x_mm: float | None = None
    y_mm: float | None = None
    z_mm: float | None = None
    program_line: int | None = None
    operation: str | None = None
    spec_file: str | None = None
    spec_line: int | None = None
    spec_column: int | None = None


class Obligation(EvidenceModel):
    """One thing the program must hold.

    `measured` and `allowed` are in `unit`; `margin` is how far inside (negative: broken by that
    much), in the same unit. None where the obligation is not a number.
    """

    name: ObligationName
    held: bool
    what: str = Field(description="In words: what was looked at and what was found.")
    measured: float | None = None
    allowed: float | None = None
    margin: float | None = None
    unit: str = ""
    worst: Place | None = None
    remedy: str = ""


class Leftover(EvidenceModel):
    """A place where material stays that the spec did not ask to stay."""

    x_mm: float
    y_mm: float
    area_mm2: float
    depth_mm: float
    reaching_diameter_mm: float | None = Field(
        default=None, description="The largest cutter that would clear it; null: none would."
    )
    fillet_radius_mm: float | None = Field(
        default=None,
        description="Left along the foot of walls by the cutter's corner radius, which this is.",
    )
    obstacle: str = Field(
        default="", description="The obstacle that alone keeps the cutter off, by name."
    )


class WearOffset(EvidenceModel):
    """An offset of the control's table that the program reads; all is proven from end to end."""

    number: int = Field(description="The D word.")
    tool: str
    nominal_mm: float = 0.0
    least_mm: float = Field(description="On the radius; minus takes more off the wall.")
    most_mm: float


class OperationFacts(EvidenceModel):
    """What one operation does, measured on the program that was read back."""

    operation: str
    tool: str
    first_line: int
    last_line: int
    time_s: float
    cut_length_mm: float
    rapid_length_mm: float
    lifts: int = Field(description="Retracts to clearance between first and last cut.")
    removed_mm3: float
    lowest_z_mm: float
    peak_engagement_deg: float | None = None
    share_over_limit: float | None = Field(
        default=None, description="Share of cutting length above the pattern's engagement limit."
    )


class ProveOutFacts(EvidenceModel):
    """The program that a job is tried with before it cuts, and what is proven of it."""

    file: str
    way: Literal["raised", "slowed"]
    raised_mm: float = Field(default=0.0, description="How much higher than the real program.")
    room_mm: float = Field(default=0.0, description="raised: least room above everything.")
    feed_share: float = Field(default=1.0, description="slowed: part of every feed.")
    stops: bool = Field(default=False, description="Stops before tools and first entries.")
    program_number: int | None = None
    program_digest: str
    lowest_z_mm: float = Field(description="The lowest that any tip comes.")
    time_s: float
    held: tuple[ObligationName, ...] = Field(description="What was asked of it and holds.")


class MadeFrom(EvidenceModel):
    """What a build was made from. A later build compares it and leaves alone what is as it was."""

    spec: str = Field(description="The job or family file, from the project's root.")
    member: str = Field(default="", description="The member of the family's table.")
    job: str = Field(description="Digest of the resolved job with the places of its values.")
    tool: str = Field(description="Digest of the compiler itself.")
    files: dict[str, str] = Field(description="Every file that was read, and its sha256.")
    commit: str = Field(default="", description="The commit that its sheet names, if any.")
    prove_out: str = Field(default="", description="How its prove-out program was asked for.")


class Report(EvidenceModel):
    """The evidence for one program."""

    version: Literal["report/1"] = "report/1"
    job: str
    revision: str = ""
    job_digest: str
    program_digest: str
    tool_version: str
    resolution_mm: float = Field(description="Plan pitch of the removal simulation.")
    obligations: tuple[Obligation, ...]
    leftovers: tuple[Leftover, ...] = ()
    operations: tuple[OperationFacts, ...] = ()
    wear_offsets: tuple[WearOffset, ...] = ()
    prove_out: ProveOutFacts | None = None
    time_s: float
    blocks: int
    removed_mm3: float
    made_from: MadeFrom | None = Field(
        default=None, description="What it was built from; filled when written."
    )
    outputs: dict[str, str] = Field(
        default_factory=dict,
        description="Files built with this report, and the sha256 of each; filled when written.",
    )

    @property
    def held(self) -> bool:
        """Whether every obligation holds."""
        return all(entry.held for entry in self.obligations)


class SetupReport(EvidenceModel):
    """The evidence for the program of one setup."""

    setup: str
    program: str = Field(description="Name of the program's file.")
    report: Report


class SetupsReport(EvidenceModel):
    """The evidence for a job of several setups: each begins with what the one before left."""

    version: Literal["setups-report/1"] = "setups-report/1"
    job: str
    revision: str = ""
    job_digest: str
    tool_version: str
    setups: tuple[SetupReport, ...] = Field(description="In the order of the setups.")
    time_s: float = Field(description="Of all programs, what the operator does between left out.")
    removed_mm3: float
    made_from: MadeFrom | None = Field(
        default=None, description="What it was built from; filled when written."
    )
    outputs: dict[str, str] = Field(
        default_factory=dict,
        description="Files built with this report, and the sha256 of each; filled when written.",
    )

    @property
    def held(self) -> bool:
        """Whether every obligation of every setup holds."""
        return all(each.report.held for each in self.setups)


def of_setups(reports: Sequence[tuple[str, str, Report]]) -> SetupsReport:
    """One report of several: for each setup its name, its program's file and its evidence."""
    first = reports[0][2]
    return SetupsReport(
        job=first.job,
        revision=first.revision,
        job_digest=first.job_digest,
        tool_version=first.tool_version,
        setups=tuple(SetupReport(setup=s, program=p, report=r) for s, p, r in reports),
        time_s=round(sum(report.time_s for _, _, report in reports), 3),
        removed_mm3=round(sum(report.removed_mm3 for _, _, report in reports), 3),
    )
