"""What every obligation looks at: the program as it was read, the stock as it was cut, the job.

The plan is here for what it promises (limits, allowances, who owns a line), never for how it got
its motions.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.geometry import Point
from compiler.job.model import Job, Tool
from compiler.judge.distance import Tracks
from compiler.judge.model import Place
from compiler.motion import Motions
from compiler.part.model import Part
from compiler.plan.model import Operation, OperationList
from compiler.read import Columns, Motion, Program
from compiler.simulate import Cut
from compiler.simulate.profile import Profile, profile_of
from compiler.units.figures import feed
from compiler.units.number import LENGTH_DECIMALS, SHORT, fixed, in_units

# How far a rounded, proven position may be out without harm, mm: what `regions_stand` allows.
SLACK = 0.0025


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Everything at hand. Arrays run over `motions`, which are the program's in order."""

    job: Job
    part: Part
    plan: OperationList
    planned: Motions
    program: Program
    line_owner: Sequence[str | None]
    motions: tuple[Motion, ...]
    columns: Columns  # the motions'
    tools: tuple[Tool | None, ...]  # in the spindle during each motion
    tool_at: npt.NDArray[np.int64]  # and their places in the job; -1 where there is none
    owner_at: npt.NDArray[np.int64]  # the operations that own their lines, by place; -1: none
    profiles: dict[str, Profile]
    tracks: Tracks
    z_low: npt.NDArray[np.float64]  # nan where an end is not known
    z_high: npt.NDArray[np.float64]
    fed: npt.NDArray[np.bool_]
    known: npt.NDArray[np.bool_]
    cut: Cut
    seconds: Sequence[float]
    offsets: Mapping[int, float]  # radius in the control's table by D number, mm

    def operation(self, index: int) -> Operation | None:
        """The planned operation that owns a motion's line."""
        name = self.owner(self.motions[index].line)
        return next((op for op in self.plan.operations if op.id == name), None)

    def owner(self, line: int) -> str | None:
        """Who owns a program line, from 1."""
        return self.line_owner[line - 1] if 0 < line <= len(self.line_owner) else None

    def towards_wall(self, motion: Motion) -> float:
        """By how much the control's offset shifts this motion towards the wall it runs along, mm:
        what the machinist then asks it to take off beyond the nominal.
        """
        if motion.state.compensation == "off" or motion.state.diameter_offset is None:
            return 0.0
        return max(0.0, -self.offsets.get(motion.state.diameter_offset, 0.0))

    def place(
        self,
        index: int | None = None,
        *,
        line: int | None = None,
        at: Point | None = None,
        z: float | None = None,
    ) -> Place:
        """A place for the report: a motion's end (or `at`, `z`), its line, who owns it."""
        motion = self.motions[index] if index is not None else None
        line = motion.line if motion is not None else line
        owner = self.owner(line) if line is not None else None
        operation = next((op for op in self.plan.operations if op.id == owner), None)
        origin = operation.origin if operation is not None else None
        if motion is not None:
            at = at or motion.end.xy
            z = motion.end.z if z is None else z
        return Place(
            x_mm=_finite(at.x if at is not None else None),
            y_mm=_finite(at.y if at is not None else None),
            z_mm=_finite(z),
            program_line=line,
            operation=owner,
            spec_file=origin.file if origin else None,
            spec_line=origin.line if origin else None,
            spec_column=origin.column if origin else None,
        )

    @property
    def highest(self) -> float:
        """Nothing stands above this: stock, regions, obstacles."""
        tops = [s.top for s in self.part.standing] + [o.top for o in self.part.obstacles]
        return max([self.part.stock_top, *tops])

    def length(self, mm: float) -> str:
        """A length in the job's units, for messages."""
        units = self.job.units
        return f"{fixed(in_units(mm, units), LENGTH_DECIMALS[units])} {SHORT[units]}"

    def feed(self, mm_min: float) -> str:
        """A feed in the job's units, for messages."""
        return feed(mm_min, self.job.units)


def _finite(value: float | None) -> float | None:
    return None if value is None or math.isnan(value) else round(value, 4) + 0.0


def tools_in_spindle(job: Job, motions: Sequence[Motion]) -> npt.NDArray[np.int64]:
    """For each motion the place among the job's tools of the one that M6 brought in, or -1."""
    places = {tool.number: k for k, tool in reversed(list(enumerate(job.tools)))}
    found = [-1 if m.state.tool is None else places.get(m.state.tool, -1) for m in motions]
    return np.array(found, dtype=np.int64)


def owners_of(
    plan: OperationList, line_owner: Sequence[str | None], motions: Sequence[Motion]
) -> npt.NDArray[np.int64]:
    """For each motion the place in the plan of the operation that owns its line, or -1."""
    places = {op.id: k for k, op in enumerate(plan.operations)}
    by_line = np.array([-1, *(places.get(name or "", -1) for name in line_owner)], dtype=np.int64)
    lines = np.array([m.line for m in motions], dtype=np.int64)
    return by_line[np.where((lines > 0) & (lines < by_line.size), lines, 0)]


def tracks_of(m: Columns) -> Tracks:
    """The plan view of motions; unknown ends give `nan`, which no comparison holds for."""
    start = np.arctan2(m.ay - m.cy, m.ax - m.cx)
    return Tracks(m.ax, m.ay, m.bx, m.by, m.cx, m.cy, m.radius, start, m.sweep).bounded()


def profiles_of(job: Job) -> dict[str, Profile]:
    """The end shape of each tool, by name."""
    return {tool.name: profile_of(tool) for tool in job.tools}
