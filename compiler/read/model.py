"""What a program says, block by block: motions in millimetres, and the state they run in.

The reader knows no plan. A coordinate that the text does not fix is `nan`: where the axes stand at
the start, after a tool change, after a move in machine coordinates. `Place.home` names the axes
that stand at the machine's own end of travel meanwhile.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from compiler.geometry import Point

Spindle = Literal["off", "cw", "ccw"]


@dataclass(frozen=True, slots=True)
class Place:
    """A position of the tool's tip in work coordinates, mm; `nan` where the text does not say."""

    x: float = math.nan
    y: float = math.nan
    z: float = math.nan
    home: str = ""  # the axes, as "Z", that stand at the machine's home

    @property
    def known(self) -> bool:
        """Whether all three coordinates are fixed by the text."""
        return not (math.isnan(self.x) or math.isnan(self.y) or math.isnan(self.z))

    @property
    def xy(self) -> Point:
        """Its plan position."""
        return Point(self.x, self.y)


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """The modal state of the control. Feeds mm/min whatever the text's units."""

    motion: str = "G80"
    plane: int = 17
    absolute: bool = True
    units: Literal["mm", "inch"] | None = None  # None: not yet stated, lengths are refused
    length_offset: int | None = None  # the H word in force; None: G49
    cycle_return: int = 98
    work_offset: str = "G54"
    per_minute: bool = True
    spindle: Spindle = "off"
    rpm: float = 0.0
    mist: bool = False
    flood: bool = False
    feed: float = 0.0
    tool: int | None = None  # in the spindle
    selected: int | None = None  # by the last T word


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """One move of the tip: a rapid, a fed line, or a fed arc (a helix where z differs)."""

    line: int  # of the text, from 1
    kind: Literal["rapid", "line", "arc"]
    start: Place
    end: Place
    state: State
    centre: Point | None = None
    ccw: bool = False
    machine: bool = False  # in machine coordinates: the end is home, or not known

    @property
    def sweep(self) -> float:
        """Turned angle of an arc, rad, positive counter-clockwise; a full turn where it closes."""
        if self.centre is None:
            return 0.0
        a, b = self.start.xy.minus(self.centre), self.end.xy.minus(self.centre)
        closed = math.hypot(self.start.x - self.end.x, self.start.y - self.end.y) < 1e-9
        turn = math.tau if closed else math.atan2(a.cross(b), a.dot(b)) % math.tau
        if self.ccw or closed:
            return turn if self.ccw else -turn
        return turn - math.tau

    @property
    def radius(self) -> float:
        """Of an arc, from its start, mm; 0 for a straight move."""
        return 0.0 if self.centre is None else self.start.xy.distance(self.centre)

    @property
    def plan_length(self) -> float:
        """Length seen from above, mm; `nan` where an end is not known."""
        if self.centre is not None:
            return abs(self.sweep) * self.radius
        return math.hypot(self.end.x - self.start.x, self.end.y - self.start.y)

    @property
    def length(self) -> float:
        """Along the move in space, mm; `nan` where an end is not known."""
        return math.hypot(self.plan_length, self.end.z - self.start.z)


@dataclass(frozen=True, slots=True)
class Dwell:
    """A stay of so many seconds."""

    line: int
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """One line that says something.

    `words` are letter and value as written, `state` is that after the block.
    """

    line: int
    words: tuple[tuple[str, float], ...]
    state: State
    motions: tuple[Motion, ...] = ()
    dwell: float = 0.0
    comment: str = ""

    def codes(self, letter: str) -> tuple[float, ...]:
        """The values of one letter's words, in the order written."""
        return tuple(value for name, value in self.words if name == letter)

    def says(self, letter: str, value: float) -> bool:
        """Whether the word stands in this block."""
        return any(name == letter and abs(v - value) < 1e-6 for name, v in self.words)


@dataclass(frozen=True, slots=True, kw_only=True)
class Program:
    """A whole text that was read without a refusal, up to its end word."""

    blocks: tuple[Block, ...]
    ended: bool  # by M2 or M30
    lines: int

    @property
    def motions(self) -> tuple[Motion, ...]:
        """All motions in order."""
        return tuple(motion for block in self.blocks for motion in block.motions)
