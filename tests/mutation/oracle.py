"""Harm by brute force: positions along every move, a quarter of a millimetre apart, against shapes.

Shares nothing with the judge: its own few lines read the text (only the words that our writer
emits), polygons are flattened finely by a general geometry library, and material is a set of level
discs on a coarse grid. Slow, plain, and only sure of clear cases: harm below `SURE` is not called.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

import numpy as np
import shapely

from compiler.geometry import Arc, Region
from compiler.job.model import Job
from compiler.part.model import Part

SURE = 0.02  # mm of gouge, well beyond what is allowed and what flattening errs
STEP = 0.25  # mm between positions
PITCH = 0.5  # mm of the material grid

_WORD = re.compile(r"([A-Z])\s*([-+]?[0-9.]+)")


@dataclass(frozen=True)
class Run:
    """Positions of one move, rows of x, y, z; whether it is a rapid, turning, and the tool."""

    line: int
    points: np.ndarray
    rapid: bool
    turning: bool
    tool: int


def runs(text: str) -> list[Run]:
    """The moves of a program, sampled. Raises ValueError where even this reader is lost."""
    x = y = z = math.nan
    unit, motion, turning, tool, picked, rpm = 1.0, 0, False, 0, 0, 0.0
    found: list[Run] = []
    for number, raw in enumerate(text.split("\n"), start=1):
        words = _WORD.findall(re.sub(r"\([^)]*\)|;.*", "", raw.upper()))
        given = {letter: float(value) for letter, value in words if letter not in "GM"}
        for letter, value in words:
            code = float(value)
            if letter == "G" and code in (20, 21):
                unit = 25.4 if code == 20 else 1.0
            elif letter == "G" and code in (0, 1, 2, 3):
                motion = int(code)
            elif letter == "M" and code in (3, 4, 5):
                turning = code == 3
            elif letter == "M" and code == 6:
                tool, turning = picked, False
            elif letter == "T":
                picked = int(code)
            elif letter == "S":
                rpm = code
            elif letter == "M" and code in (2, 30):
                return found
        if not given.keys() & {"X", "Y", "Z"}:
            continue
        to = [
            given[a] * unit if a in given else old for a, old in zip("XYZ", (x, y, z), strict=True)
        ]
        points = _sampled((x, y, z), to, motion, given, unit)
        x, y, z = to
        if points is not None:
            found.append(Run(number, points, motion == 0, turning and rpm > 0, tool))
    return found


def _sampled(start, to, motion: int, given: dict[str, float], unit: float) -> np.ndarray | None:
    a, b = np.array(start), np.array(to)
    if np.isnan(a).any() or np.isnan(b).any():
        return None
    if motion < 2:
        count = max(1, math.ceil(float(np.linalg.norm(b - a)) / STEP))
        return a + np.linspace(0, 1, count + 1)[:, None] * (b - a)
    cx, cy = a[0] + given.get("I", 0.0) * unit, a[1] + given.get("J", 0.0) * unit
    radius = math.hypot(a[0] - cx, a[1] - cy)
    first = math.atan2(a[1] - cy, a[0] - cx)
    turn = (math.atan2(b[1] - cy, b[0] - cx) - first) % math.tau
    if motion == 2:
        turn -= math.tau
    if math.hypot(*(b - a)[:2]) < 1e-6:
        turn = math.tau if motion == 3 else -math.tau
    t = np.linspace(0, 1, max(2, math.ceil(abs(turn) * radius / STEP)) + 1)
    angle = first + t * turn
    return np.stack(
        [cx + radius * np.cos(angle), cy + radius * np.sin(angle), a[2] + t * (b[2] - a[2])], axis=1
    )


def flattened(region: Region) -> shapely.Geometry:
    """The region, arcs in chords within 0.001 mm."""
    rings = []
    for outline in region.outlines:
        points = []
        for s in outline.segments:
            count = 1 if not isinstance(s, Arc) else max(8, int(abs(s.sweep) * s.radius**0.5 * 23))
            points += [tuple(s.at(k / count)) for k in range(count)]
        rings.append((shapely.Polygon(points), outline.area))
    solid = shapely.union_all([r for r, area in rings if area > 0])
    return solid - shapely.union_all([r for r, area in rings if area < 0])


class Oracle:
    """Judges texts of one job by brute force."""

    def __init__(self, job: Job, part: Part, floor: float) -> None:
        self.radius = {tool.number: tool.radius for tool in job.tools}
        self.floor = floor
        self.part = part
        self.standing = [(s.top, flattened(s.region)) for s in part.standing]
        for _, shape in self.standing:
            shapely.prepare(shape)
        low_x, low_y, high_x, high_y = part.stock.bounds
        self.xs = np.arange(low_x + PITCH / 2, high_x, PITCH)
        self.ys = np.arange(low_y + PITCH / 2, high_y, PITCH)
        gx, gy = np.meshgrid(self.xs, self.ys)
        stock = flattened(part.stock)
        self.solid = shapely.contains_xy(stock, gx, gy)

    def harm(self, text: str) -> str:
        """What clear harm the text does; empty where none is sure."""
        heights = np.where(self.solid, self.part.stock_top, -1e9)
        for run in runs(text):
            radius = self.radius.get(run.tool)
            if radius is None:
                return "no such tool"
            if not run.rapid and not run.turning and run.points[:, 2].min() < self.part.stock_top:
                return "feeds with the spindle still"
            if run.points[:, 2].min() < self.floor - SURE:
                return "below the floor"
            if gouge := self._gouge(run, radius):
                return gouge
            if said := self._cut(run, radius, heights):
                return said
        return ""

    def _gouge(self, run: Run, radius: float) -> str:
        for top, shape in self.standing:
            low = run.points[run.points[:, 2] < top - SURE]
            if not low.size:
                continue
            distance = shapely.distance(shape, shapely.points(low[:, 0], low[:, 1]))
            if (distance < radius - SURE).any():
                return "gouges what stands"
        return ""

    def _cut(self, run: Run, radius: float, heights: np.ndarray) -> str:
        steep = False
        if len(run.points) > 1:
            drop = run.points[0, 2] - run.points[-1, 2]
            across = math.hypot(*(run.points[-1] - run.points[0])[:2])
            steep = drop > 0.1 and across < 0.1
        for px, py, pz in run.points:
            if pz >= self.part.stock_top:
                continue
            i0, i1 = np.searchsorted(self.xs, (px - radius, px + radius))
            j0, j1 = np.searchsorted(self.ys, (py - radius, py + radius))
            if i0 == i1 or j0 == j1:
                continue
            window = heights[j0:j1, i0:i1]
            d2 = (self.xs[i0:i1] - px) ** 2 + (self.ys[j0:j1, None] - py) ** 2
            deep = (d2 < (radius - 1.5 * PITCH) ** 2) & (window > pz + 0.3)
            if deep.any() and run.rapid:
                return "rapid through material"
            if deep.any() and steep:
                return "plunges into material"
            if not run.rapid:
                window[(d2 < radius**2) & (window > pz)] = pz
        return ""
