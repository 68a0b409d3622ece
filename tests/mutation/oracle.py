"""Harm by brute force, for classing mutants: shares nothing with reader, simulation and judge.

Its own few lines read the text (only the words that our writer emits). Regions are polygons of
chords within 0.0005 mm, and distances to them are a general geometry library's. The stock is a
lattice of points; whether the cutter covers a point is worked out exactly at each of them, so that
contact is never invented, though contact between the points can be missed. Harm is called from
`SURE` on: a region, an obstacle, material or the floor touched that much too far, a state that no
machine or tool should cut in, a chip or a cutting speed beyond what the tool is taken to bear. The
chip is that of the very point that was met: the feed per tooth times the cosine between the way of
the cutter and the place of its rim that came there first.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
import shapely.affinity
from textruns import Run, runs

from compiler.geometry import Arc, Region
from compiler.job.model import Job, Tool
from compiler.part.model import Part
from compiler.plan.model import OperationList

SURE = 0.01  # mm beyond what is asked
PITCH = 0.5  # mm between the points of the lattice
CHORD = 0.0005  # mm between an arc of a region and its chords
# Times the table's chip and cutting speed, which no tooth is taken to bear: what `load_held` says
# (starting values span that much: common practice, no source), and 2 % for what is rounded.
BORNE = 2.0 * 1.02
_KEPT = 40  # runs between two kept states of the stock


def flattened(region: Region) -> shapely.Geometry:
    """The region, arcs in chords."""
    rings = []
    for outline in region.outlines:
        points = []
        for s in outline.segments:
            count = 1
            if isinstance(s, Arc):
                step = 2 * math.acos(1 - min(1.0, CHORD / s.radius))
                count = max(8, math.ceil(abs(s.sweep) / step))
            points += [tuple(s.at(k / count)) for k in range(count)]
        rings.append((shapely.Polygon(points), outline.area))
    solid = shapely.union_all([r for r, area in rings if area > 0])
    return solid - shapely.union_all([r for r, area in rings if area < 0])


def _at_all(shape: shapely.Geometry, places: list[tuple[float, float]]) -> shapely.Geometry:
    """The shape of one part at each of several."""
    return shapely.union_all([shapely.affinity.translate(shape, x, y) for x, y in places])


def reach(tool: Tool, height: float) -> float:
    """A cutter's radius `height` mm above its tip."""
    if tool.kind in ("chamfer_mill", "drill") and tool.tip_angle > 0:
        return min(tool.radius, tool.tip_diameter / 2 + height * math.tan(tool.tip_angle / 2))
    corner = tool.corner_radius if tool.kind == "bull_mill" else 0.0
    corner = tool.radius if tool.kind == "ball_mill" else corner
    if height >= corner:
        return tool.radius
    return tool.radius - corner + math.sqrt(corner**2 - (corner - height) ** 2)


def _floor(plan: OperationList, tool: Tool) -> float:
    """The lowest that a tool is sent to; a drill's cone may go below."""
    levels = [lv.bottom_mm for op in plan.operations if op.tool == tool.name for lv in op.levels]
    point = tool.radius / math.tan(tool.tip_angle / 2) if tool.kind == "drill" else 0.0
    return min(levels, default=math.inf) - point


@dataclass
class Kept:
    """The stock before one run of the good program."""

    at: int
    heights: np.ndarray


class Oracle:
    """Judges texts of one job by brute force. Give it the good program first."""

    def __init__(self, job: Job, part: Part, plan: OperationList) -> None:
        self.job, self.part, self.plan = job, part, plan
        self.tools = {tool.number: tool for tool in job.tools}
        self.floors = {
            tool.number: min(
                (
                    lv.bottom_mm
                    for op in plan.operations
                    if op.tool == tool.name
                    for lv in op.levels
                ),
                default=math.inf,
            )
            - (tool.radius / math.tan(tool.tip_angle / 2) if tool.kind == "drill" else 0.0)
            for tool in job.tools
        }
        self.edges = {p.tool: p.width for p in job.passes if p.kind == "break_edges" and p.width}
        self.works = set(job.table.work_offsets) if job.table else {job.datum.work_offset}
        assert len(self.works) == 1, "parts in offsets of their own are nowhere beside each other"
        places = [(p.x, p.y) for p in job.table.places] if job.table else [(0.0, 0.0)]
        datum = job.datum.at
        self.holes = [
            (p.tool, at.x - datum.x + x, at.y - datum.y + y)
            for p in job.passes
            if p.kind == "drill"
            for at in p.at
            for x, y in places
        ]
        self.standing = [(s.top, _at_all(flattened(s.region), places)) for s in part.standing]
        self.obstacles = [(o.top, _at_all(flattened(o.region), places)) for o in part.obstacles]
        for _, shape in (*self.standing, *self.obstacles):
            shapely.prepare(shape)
        self.highest = max([part.stock_top, *(top for top, _ in (*self.standing, *self.obstacles))])
        stock = _at_all(flattened(part.stock), places)
        low_x, low_y, high_x, high_y = stock.bounds
        self.xs = np.arange(low_x + PITCH / 2, high_x, PITCH)
        self.ys = np.arange(low_y + PITCH / 2, high_y, PITCH)
        gx, gy = np.meshgrid(self.xs, self.ys)
        self.solid = shapely.contains_xy(stock, gx, gy)
        self._known: dict[tuple[object, ...], str] = {}
        self._good: list[Run] = []
        self._kept: list[Kept] = []

    def start(self, text: str) -> str:
        """Takes the good program, and keeps the stock along it; the harm that it does, if any."""
        self._good, self._kept = [], []
        keep: list[Kept] = []
        found = self._judge(runs(text), keep)
        self._good, self._kept = runs(text), keep
        return found

    def harm(self, text: str) -> str:
        """What clear harm the text does; empty where none is sure."""
        return self._judge(runs(text), None)

    def _judge(self, moves: list[Run], keep: list[Kept] | None) -> str:
        same = 0
        for a, b in zip(self._good, moves, strict=False):
            if a.key != b.key:
                break
            same += 1
        start = max((k.at for k in self._kept if k.at <= same), default=0)
        heights = next(
            (k.heights.copy() for k in self._kept if k.at == start),
            np.where(self.solid, self.part.stock_top, -1e9),
        )
        for index in range(start, len(moves)):
            run = moves[index]
            if keep is not None and index % _KEPT == 0:
                keep.append(Kept(index, heights.copy()))
            if run.key not in self._known:
                self._known[run.key] = self._state(run) or self._touches(run)
            if found := self._known[run.key]:
                return f"{found} in line {run.line}"
            if found := self._cut(run, heights):
                return f"{found} in line {run.line}"
        return ""

    def _state(self, run: Run) -> str:
        """Harm that the state does by itself."""
        if run.unstated:
            return f"moves with {run.unstated} not stated"
        low = run.points[:, 2].min()
        tool = self.tools.get(run.tool)
        if tool is None:
            return "" if low > self.highest else "no such tool"
        if low >= self.highest - 1e-9:
            return ""
        if run.offset != tool.length_offset and self.job.machine.program.length_offset:
            return "another length offset"
        if run.work not in self.works:
            return "another work offset"
        if run.rapid or low >= self.part.stock_top:
            return ""
        if run.spindle != "cw" or run.rpm <= 0:
            return "feeds with the spindle still or backwards"
        if run.rpm > self.job.machine.max_rpm + 1:
            return "turns faster than the machine"
        return ""

    def _touches(self, run: Run) -> str:
        """Regions, obstacles, floor: by exact distances."""
        tool = self.tools.get(run.tool)
        if tool is None:
            return ""
        given = self.job.workholding.lowest_cut
        through = tool.kind == "drill" and given is not None and given < self.part.lowest_cut
        lowest = given if through else self.part.lowest_cut
        if run.points[:, 2].min() < max(self.floors[tool.number], lowest) - SURE:
            return "below the floor"
        width = self.edges.get(tool.name, 0.0)
        if not self._in_hole(run, tool):
            for top, shape in self.standing:
                if self._near(run, shape, top, lambda h: reach(tool, h) - width):
                    return "gouges what stands"
        for top, shape in self.obstacles:
            if self._near(run, shape, top, lambda h: reach(tool, h)):
                return "meets an obstacle"
        bands = [(tool.flute_length, tool.shank_diameter / 2)]
        bands += [(tool.stickout, tool.holder.diameter / 2)] if tool.holder else []
        for above, radius in bands:
            for top, shape in (*self.standing, *self.obstacles):
                if self._near(run, shape, top - above, lambda _, r=radius: r):
                    return "shank or holder meets what stands"
        return ""

    def _in_hole(self, run: Run, tool: Tool) -> bool:
        across = np.ptp(run.points[:, :2], axis=0).max()
        x, y = run.points[0, :2]
        return across < 1e-6 and any(
            name == tool.name and math.hypot(x - a, y - b) < SURE / 2 for name, a, b in self.holes
        )

    def _near(self, run: Run, shape: shapely.Geometry, top: float, radius) -> bool:
        """Whether any stretch below `top` comes nearer than the radius at that height."""
        points = run.points[run.points[:, 2] < top - SURE]
        if not len(points):
            return False
        if np.ptp(points[:, 2]) < 1e-9 and len(points) > 1:
            need = radius(top - points[0, 2]) - SURE
            return need > 0 and bool(
                shapely.dwithin(shape, shapely.LineString(points[:, :2]), need)
            )
        need = np.array([radius(top - z) - SURE for z in points[:, 2]])
        distance = shapely.distance(shape, shapely.points(points[:, :2]))
        return bool((distance < need).any())

    def _cut(self, run: Run, heights: np.ndarray) -> str:
        """Takes the run off the stock; contact that must not be is harm."""
        tool = self.tools.get(run.tool)
        low = run.points[:, 2].min()
        if tool is None or low >= self.part.stock_top:
            return ""
        across = np.ptp(run.points[:, :2], axis=0).max()
        plunge = across < 1e-3 and run.points[-1, 2] < run.points[0, 2] and tool.kind != "drill"
        if self._shank_hits(run, tool, heights):
            return "shank or holder meets stock"
        met, share = False, 0.0
        for window, d2, z, ahead in self._covers(run, tool):
            part = heights[window]
            if tool.kind in ("chamfer_mill", "drill") and tool.tip_angle > 0:
                out = np.maximum(np.sqrt(d2) - tool.tip_diameter / 2, 0)
                z = z + out / math.tan(tool.tip_angle / 2)
            hit = (d2 < (tool.radius - SURE) ** 2) & (part > z + SURE)
            if hit.any():
                met = True
                if run.rapid:
                    return "rapid through material"
                if plunge:
                    return "plunges into material"
                if (part - z)[hit].max() > tool.flute_length + SURE:
                    return "cuts deeper than the flutes"
                share = max(share, ahead(hit))
            if not run.rapid:
                cut = d2 <= tool.radius**2
                part[cut] = np.minimum(part, z)[cut]
        return self._overloaded(run, tool, share) if met else ""

    def _overloaded(self, run: Run, tool: Tool, share: float) -> str:
        """Chip and cutting speed against the material's tables; `share` of the feed is met."""
        material, machine = self.job.material, self.job.machine
        if run.rapid or run.rpm <= 0:
            return ""
        speed = math.pi * tool.diameter * run.rpm / 1000
        planned = max(
            (o.cutting.rpm for o in self.plan.operations if o.tool == tool.name), default=0
        )
        most = material.cutting_speed.get(tool.material, math.inf)
        if speed > BORNE * most and run.rpm > 1.02 * planned:
            return "burns the tool: too much speed"
        rows = material.chip_load.get(tool.material, ())
        if not rows:
            return ""
        table = np.interp(tool.diameter, *zip(*rows, strict=True))
        chip = share * min(run.feed, machine.max_feed) / (run.rpm * tool.flutes)
        return "breaks teeth: too much feed" if chip > BORNE * table else ""

    def _shank_hits(self, run: Run, tool: Tool, heights: np.ndarray) -> bool:
        bands = [(tool.flute_length, tool.shank_diameter / 2)]
        bands += [(tool.stickout, tool.holder.diameter / 2)] if tool.holder else []
        for above, radius in bands:
            if radius <= tool.radius or run.points[:, 2].min() + above >= self.part.stock_top:
                continue
            for window, d2, z, _ in self._covers(run, tool, radius):
                far = (d2 < (radius - SURE) ** 2) & (d2 > tool.radius**2)
                if (far & (heights[window] > z + above + SURE)).any():
                    return True
        return False

    def _covers(self, run: Run, tool: Tool, radius: float | None = None):
        """Windows of the lattice, squared distances there to the path, the tip's height, and how
        squarely the rim first comes to the points of a mask: the greatest cosine, 0 where none is
        new.
        """
        r = radius or tool.radius
        level = np.ptp(run.points[:, 2]) < 1e-6
        if run.circle is not None and level:
            yield from self._ring(run, r)
            return
        points = run.points[[0, -1]] if level else run.points
        if len(points) == 1:
            points = np.vstack([points, points])
        for a, b in pairwise(points):
            window = self._window(np.minimum(a, b)[:2] - r, np.maximum(a, b)[:2] + r)
            if window is None:
                continue
            x, y = self.xs[window[1]] - a[0], self.ys[window[0]][:, None] - a[1]
            dx, dy = b[0] - a[0], b[1] - a[1]
            square = max(dx * dx + dy * dy, 1e-12)
            t = np.clip((x * dx + y * dy) / square, 0, 1)

            def ahead(hit, x=x, y=y, dx=dx, dy=dy, square=square) -> float:
                new = hit & (x * x + y * y >= r * r)
                aside = ((x * dy - y * dx) ** 2 / square)[new]
                return float(np.sqrt(np.maximum(1 - aside / r**2, 0)).max(initial=0.0))

            # of two ends the higher: contact on a slope is never invented; straight down it is true
            z = max(a[2], b[2]) if dx * dx + dy * dy > 1e-12 else min(a[2], b[2])
            yield window, (x - t * dx) ** 2 + (y - t * dy) ** 2, z, ahead

    def _ring(self, run: Run, r: float):
        """A level arc: radial distance inside the sweep, that of the ends outside."""
        cx, cy, radius, first, turn = run.circle
        flat = run.points[:, :2]
        window = self._window(flat.min(axis=0) - r - 0.2, flat.max(axis=0) + r + 0.2)
        if window is None:
            return
        x, y = self.xs[window[1]] - cx, self.ys[window[0]][:, None] - cy
        angle = (np.arctan2(y, x) - first) % math.tau
        inside = angle <= turn if turn > 0 else math.tau - angle <= -turn
        inside |= abs(turn) > math.tau - 1e-9
        d2 = (np.hypot(x, y) - radius) ** 2
        ends = np.minimum(
            *((x - (px - cx)) ** 2 + (y - (py - cy)) ** 2 for px, py in (flat[0], flat[-1]))
        )

        def ahead(hit) -> float:
            """By the law of cosines, at the cutter's centre when it comes to the point."""
            new = hit & ((x - (flat[0, 0] - cx)) ** 2 + (y - (flat[0, 1] - cy)) ** 2 >= r * r)
            cosine = ((radius**2 + r**2 - x * x - y * y) / max(2 * radius * r, 1e-9))[new]
            return float(np.sqrt(np.maximum(1 - cosine**2, 0)).max(initial=0.0))

        yield window, np.where(inside, d2, ends), float(run.points[0, 2]), ahead

    def _window(self, low: np.ndarray, high: np.ndarray) -> tuple[slice, slice] | None:
        i0, i1 = np.searchsorted(self.xs, (low[0], high[0]))
        j0, j1 = np.searchsorted(self.ys, (low[1], high[1]))
        return None if i0 == i1 or j0 == j1 else (slice(j0, j1), slice(i0, i1))
