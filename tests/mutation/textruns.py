"""A program's text as sampled runs of the tool's tip, read in the plainest way there is."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np

CYCLES = (73, 81, 82, 83)
CHIP = 0.254  # mm: how far a control backs off between pecks; the controls' own choice
STEP = 0.25  # mm between positions
SAGITTA = 0.0005  # mm between an arc and its positions' chords

_WORD = re.compile(r"([A-Z])\s*([-+]?[0-9.]+)")
_COMMENT = re.compile(r"\([^)]*\)|;.*")


@dataclass(frozen=True)
class Run:
    """Positions of one move, rows of x, y, z, and the state it runs in. Mm, mm/min."""

    line: int
    key: tuple[object, ...]  # everything that counts, the line aside
    points: np.ndarray
    circle: tuple[float, float, float, float, float] | None  # centre, radius, first angle, turn
    rapid: bool
    spindle: str
    rpm: float
    feed: float
    tool: int
    offset: int | None
    work: str
    unstated: str


class _State:
    """What the words said so far hold for."""

    def __init__(self) -> None:
        self.at = (math.nan, math.nan, math.nan)
        self.unit: float | None = None
        self.motion = 0
        self.absolute = True
        self.spindle, self.rpm, self.feed = "off", 0.0, 0.0
        self.tool = self.picked = 0
        self.offset: int | None = None
        self.work = "G54"
        self.cycle: dict[str, float] = {}  # R, Z and Q of holes, mm

    def take(self, letter: str, value: float, given: dict[str, float]) -> None:
        """One word's effect on the state."""
        code = round(value * 10)
        match letter, code:
            case "G", 200 | 210:
                self.unit = 25.4 if code == 200 else 1.0
            case "G", 0 | 10 | 20 | 30 | 730 | 810 | 820 | 830:
                self.motion = code // 10
            case "G", 800:
                self.motion = 0
            case "G", 900 | 910:
                self.absolute = code == 900
            case "G", 430:
                self.offset = int(given.get("H", -1))
            case "G", 490:
                self.offset = None
            case "G", 540 | 550 | 560 | 570 | 580 | 590:
                self.work = f"G{code // 10}"
            case "M", 30 | 40 | 50:
                self.spindle = {30: "cw", 40: "ccw", 50: "off"}[code]
            case "M", 60:
                self.tool, self.spindle = self.picked, "off"
                self.at = (math.nan, math.nan, math.nan)
            case "T", _:
                self.picked = int(value)
            case "S", _:
                self.rpm = value


_cache: dict[tuple[object, ...], tuple[np.ndarray | None, tuple[float, ...] | None]] = {}


def runs(text: str) -> list[Run]:
    """The moves of a program, sampled. Raises ValueError where even this reader is lost."""
    s = _State()
    found: list[Run] = []
    for number, raw in enumerate(text.split("\n"), start=1):
        words = [(a, float(b)) for a, b in _WORD.findall(_COMMENT.sub("", raw.upper()))]
        given = {letter: value for letter, value in words if letter not in "GM"}
        for letter, value in sorted(words, key=lambda w: "TSFMG".find(w[0])):
            s.take(letter, value, given)
        if any(letter == "M" and value in (2, 30) for letter, value in words):
            return found
        unit = s.unit or 1.0
        if "F" in given:
            s.feed = given["F"] * unit
        if given.keys() & {"X", "Y", "Z"} and not any(
            w in (("G", 53.0), ("G", 28.0)) for w in words
        ):
            if s.motion in CYCLES:
                found += _hole(s, number, given, unit)
            elif (run := _run(s, number, given, unit)) is not None:
                found.append(run)
        elif any(w in (("G", 53.0), ("G", 28.0)) for w in words):
            s.at = (s.at[0], s.at[1], math.nan)
    return found


def _hole(s: _State, number: int, given: dict[str, float], unit: float) -> list[Run]:
    """A hole by a cycle, absolute, back up to where it began."""
    code, clear = s.motion, s.at[2]
    s.cycle.update({letter: given[letter] * unit for letter in "RZQ" if letter in given})
    x, y = (given[a] * unit if a in given else s.at[k] for k, a in enumerate("XY"))
    if not {"R", "Z"} <= s.cycle.keys():
        raise ValueError("a cycle without its heights")
    top, bottom, peck = s.cycle["R"], s.cycle["Z"], s.cycle.get("Q", 0.0)
    if code in (73, 83) and peck <= 0:
        raise ValueError("pecks of no depth")
    steps = [(0, clear), (0, top)]
    depth = top - peck if code in (73, 83) else bottom
    while depth > bottom + 1e-9:
        steps.append((1, depth))
        steps += [(0, depth + CHIP)] if code == 73 else [(0, top), (0, depth + CHIP)]
        depth -= peck
    found = []
    for motion, z in [*steps, (1, bottom), (0, clear)]:
        s.motion = motion
        run = _run(s, number, {"X": x, "Y": y, "Z": z}, 1.0)
        found += [] if run is None else [run]
    s.motion = code
    return found


def _run(s: _State, number: int, given: dict[str, float], unit: float) -> Run | None:
    base = (0.0, 0.0, 0.0) if s.absolute else s.at
    to = tuple(base[k] + given[a] * unit if a in given else s.at[k] for k, a in enumerate("XYZ"))
    centre = (given.get("I", 0.0) * unit, given.get("J", 0.0) * unit) if s.motion > 1 else None
    shape = (s.at, to, s.motion, centre)
    if shape not in _cache:
        _cache[shape] = _sampled(s.at, to, s.motion, centre)
    points, circle = _cache[shape]
    s.at = to
    if points is None:
        return None
    unstated = "units" if s.unit is None else ""
    state = (s.spindle, s.rpm, s.feed, s.tool, s.offset, s.work, unstated)
    spindle, rpm, feed, tool, offset, work, _ = state
    return Run(
        number, (shape, state), points, circle, s.motion == 0, spindle, rpm, feed, tool, offset,
        work, unstated,
    )  # fmt: skip


def _sampled(start, to, motion: int, centre):
    a, b = np.array(start), np.array(to)
    if np.isnan(a).any() or np.isnan(b).any():
        return None, None
    if motion < 2:
        level = abs(b[2] - a[2]) < 1e-9
        count = 1 if level else max(1, math.ceil(float(np.linalg.norm(b - a)) / STEP))
        return a + np.linspace(0, 1, count + 1)[:, None] * (b - a), None
    cx, cy = a[0] + centre[0], a[1] + centre[1]
    radius = math.hypot(a[0] - cx, a[1] - cy)
    first = math.atan2(a[1] - cy, a[0] - cx)
    turn = (math.atan2(b[1] - cy, b[0] - cx) - first) % math.tau
    if motion == 2:
        turn -= math.tau
    if math.hypot(*(b - a)[:2]) < 1e-6:
        turn = math.tau if motion == 3 else -math.tau
    step = 2 * math.acos(max(-1.0, 1 - SAGITTA / max(radius, SAGITTA)))
    count = max(2, math.ceil(abs(turn) / step), math.ceil(abs(turn) * radius / STEP))
    t = np.linspace(0, 1, min(count, 20000) + 1)
    angle = first + t * turn
    points = np.stack(
        [cx + radius * np.cos(angle), cy + radius * np.sin(angle), a[2] + t * (b[2] - a[2])], axis=1
    )
    return points, (cx, cy, radius, first, turn)
