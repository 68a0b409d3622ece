"""What a program says, block by block: motions in millimetres, and the state they run in.

The reader knows no plan. A coordinate that the text does not fix is `nan`: where the axes stand at
the start, after a tool change, after a move in machine coordinates. `Place.home` names the axes
that stand at the machine's own end of travel meanwhile.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Literal

from compiler.geometry import Point

# How near to a code or whole number a value must be to mean it (NISTIR 6556 sec. 3.3.2.1).
WHOLE = 0.0001
MM_PER = {"mm": 1.0, "inch": 25.4}

Spindle = Literal["off", "cw", "ccw"]
Side = Literal["off", "left", "right"]


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
    compensation: Side = "off"  # G41: the centre runs left of the path as written; G42: right
    diameter_offset: int | None = None  # the D word in force; None: G40
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
    machine: str = ""  # axes that move in machine coordinates: they end at home, or unknown
    radius: float = field(init=False, compare=False)  # of an arc, from its start, mm; else 0
    sweep: float = field(init=False, compare=False)  # of an arc, rad, positive counter-clockwise
    plan_length: float = field(init=False, compare=False)  # seen from above, mm; `nan` if unknown
    length: float = field(init=False, compare=False)  # in space, mm; `nan` if unknown

    def __post_init__(self) -> None:
        """Measures are asked for many times over: worked out once."""
        radius = sweep = 0.0
        across = math.hypot(self.end.x - self.start.x, self.end.y - self.start.y)
        if self.centre is not None:
            radius = math.hypot(self.start.x - self.centre.x, self.start.y - self.centre.y)
            sweep = self._sweep(closed=across < 1e-9)
            across = abs(sweep) * radius
        object.__setattr__(self, "radius", radius)
        object.__setattr__(self, "sweep", sweep)
        object.__setattr__(self, "plan_length", across)
        object.__setattr__(self, "length", math.hypot(across, self.end.z - self.start.z))

    def _sweep(self, *, closed: bool) -> float:
        """Turned angle; a full turn where the arc ends where it starts."""
        assert self.centre is not None
        if closed:
            return math.tau if self.ccw else -math.tau
        ax, ay = self.start.x - self.centre.x, self.start.y - self.centre.y
        bx, by = self.end.x - self.centre.x, self.end.y - self.centre.y
        turn = math.atan2(ax * by - ay * bx, ax * bx + ay * by) % math.tau
        return turn if self.ccw else turn - math.tau


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
        for name, written in self.words:  # noqa: SIM110 - asked often; a generator takes thrice as long
            if name == letter and abs(written - value) <= WHOLE:
                return True
        return False


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
