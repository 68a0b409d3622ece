"""What a program's fed moves sweep, as solids of manifold3d, and the stock without them."""

from __future__ import annotations

import math
from collections import defaultdict
from itertools import pairwise

from manifold3d import CrossSection, FillRule, Manifold, OpType

from compiler.geometry import Arc, Region
from compiler.job.model import Tool
from compiler.judge.case import Case
from compiler.read import Motion

SAGITTA = 0.01  # mm between arcs and chords
CIRCLE = 64  # sides


def removed_volume(case: Case) -> float:
    """Mm3 that the moves of flat and pointed cutters take off the stock."""
    return float((stock_of(case) ^ swept(case)).volume())


def stock_of(case: Case) -> Manifold:
    """The raw block, as it lies."""
    part = case.part
    stock = _section(part.stock).extrude(part.stock_top - part.stock_bottom)
    return stock.translate((0, 0, part.stock_bottom))


def swept(case: Case) -> Manifold:
    """All that the fed moves sweep below the stock's top, with everything above it."""
    part = case.part
    level: dict[float, list[CrossSection]] = defaultdict(list)
    solids: list[Manifold] = []
    for motion, tool in zip(case.motions, case.tools, strict=True):
        low = min(motion.start.z, motion.end.z)
        if motion.kind == "rapid" or not low < part.stock_top:
            continue
        assert tool is not None
        places = _places(motion)
        if tool.kind in ("drill", "chamfer_mill"):
            solids += [_pointed(tool, a, b, part.stock_top + 1) for a, b in pairwise(places)]
            continue
        assert tool.kind in ("end_mill", "face_mill")
        round_ = _disc(tool.radius)
        if abs(motion.start.z - motion.end.z) < 1e-9:
            discs = [round_.translate((x, y)) for x, y, _ in places]
            hulls = [CrossSection.batch_hull([a, b]) for a, b in pairwise(discs)]
            level[round(low, 6)].append(_united(hulls))
        else:
            solids += [
                _slope(round_, a, b, max(part.stock_top, a[2], b[2]) + 1)
                for a, b in pairwise(places)
            ]
    for z, shapes in level.items():
        prism = _united(shapes).extrude(part.stock_top + 1 - z)
        solids.append(prism.translate((0, 0, z)))
    return Manifold.batch_boolean(solids, OpType.Add)


def _united(shapes: list[CrossSection]) -> CrossSection:
    return CrossSection.batch_boolean(shapes, OpType.Add)


def _disc(radius: float) -> CrossSection:
    """A polygon with the circle's area."""
    return CrossSection.circle(_equal_area(radius), CIRCLE)


def _slope(
    disc: CrossSection, a: tuple[float, float, float], b: tuple[float, float, float], top: float
) -> Manifold:
    """What a flat cutter sweeps on a straight slope, with everything above."""
    ends = [disc.extrude(top - z).translate((x, y, z)) for x, y, z in (a, b)]
    return Manifold.batch_hull(ends)


def _pointed(
    tool: Tool, a: tuple[float, float, float], b: tuple[float, float, float], top: float
) -> Manifold:
    """What a cone with a shank above it sweeps on a straight way: the hull of both ends."""
    rise = (tool.radius - tool.tip_diameter / 2) / math.tan(tool.tip_angle / 2)
    ends = []
    for x, y, z in (a, b):
        tip = max(tool.tip_diameter / 2, 1e-3)
        cone = Manifold.cylinder(rise, tip, _equal_area(tool.radius), CIRCLE)
        shank = _disc(tool.radius).extrude(max(top, z + rise + 1) - z - rise)
        ends += [cone.translate((x, y, z)), shank.translate((x, y, z + rise))]
    return Manifold.batch_hull(ends)


def _equal_area(radius: float) -> float:
    step = math.tau / CIRCLE
    return radius * math.sqrt(step / math.sin(step))


def _places(motion: Motion) -> list[tuple[float, float, float]]:
    """The ends of a line; an arc's or helix's chords."""
    start, end, centre = motion.start, motion.end, motion.centre
    if centre is None:
        return [(start.x, start.y, start.z), (end.x, end.y, end.z)]
    step = 2 * math.acos(1 - min(1.0, SAGITTA / motion.radius))
    count = max(2, math.ceil(abs(motion.sweep) / step))
    first = math.atan2(start.y - centre.y, start.x - centre.x)
    turn = abs(motion.sweep) / count
    radius = motion.radius * math.sqrt(turn / math.sin(turn))  # chords that keep the arc's area
    found = []
    for k in range(count + 1):
        angle = first + motion.sweep * k / count
        z = start.z + (end.z - start.z) * k / count
        x, y = math.cos(angle), math.sin(angle)
        found.append((centre.x + radius * x, centre.y + radius * y, z))
    return found


def _section(region: Region) -> CrossSection:
    """A region with its arcs in chords."""
    rings = []
    for outline in region.outlines:
        ring: list[tuple[float, float]] = []
        for s in outline.segments:
            count = 1
            if isinstance(s, Arc):
                count = math.ceil(abs(s.sweep) / (2 * math.acos(1 - min(1.0, SAGITTA / s.radius))))
            ring += [tuple(s.at(k / count)) for k in range(count)]
        rings.append(ring)
    return CrossSection(rings, FillRule.EvenOdd)
