"""Blocks, cutters and moves for tests of the simulation. Millimetres."""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.diagnostics import Span
from compiler.geometry import Arc, Line, Outline, Point, Region
from compiler.job.model import Tool
from compiler.read import Motion, Place, State
from compiler.simulate import Cut, simulate

CUTTING = State(units="mm", tool=1, feed=500.0, rpm=5000.0, spindle="cw", length_offset=1)
XYZ = tuple[float, float, float]


def block(x0: float, y0: float, x1: float, y1: float) -> Region:
    p = [Point(x0, y0), Point(x1, y0), Point(x1, y1), Point(x0, y1)]
    return Region((Outline(tuple(Line(p[k], p[(k + 1) % 4]) for k in range(4))),))


def disc(x: float, y: float, radius: float, *, hole: bool = False) -> Outline:
    a, b, c = Point(x + radius, y), Point(x - radius, y), Point(x, y)
    outline = Outline((Arc(a, b, c, True), Arc(b, a, c, True)))
    return outline.reversed() if hole else outline


def cutter(diameter: float = 10.0, kind: str = "end_mill", **changes: object) -> Tool:
    given: dict[str, object] = {
        "name": "T1",
        "number": 1,
        "kind": kind,
        "diameter": diameter,
        "flutes": 3,
        "flute_length": 30.0,
        "stickout": 40.0,
        "shank_diameter": diameter,
        "material": "carbide",
        "centre_cutting": True,
        "helix_angle": 0.5,
        "length_offset": 1,
        "diameter_offset": 1,
        "origin": Span("test.yaml", 1, 1, 1, 2),
    }
    return Tool(**{**given, **changes})  # type: ignore[arg-type]


def line(a: XYZ, b: XYZ, **changes: object) -> Motion:
    given = {"line": 1, "kind": "line", "start": Place(*a), "end": Place(*b), "state": CUTTING}
    return Motion(**{**given, **changes})  # type: ignore[arg-type]


def rapid(a: XYZ, b: XYZ) -> Motion:
    return line(a, b, kind="rapid")


def turn(a: XYZ, b: XYZ, centre: tuple[float, float], *, ccw: bool) -> Motion:
    return line(a, b, kind="arc", centre=Point(*centre), ccw=ccw)


def ring(x: float, y: float, radius: float, z: float, *, ccw: bool = True) -> Motion:
    at = (x + radius, y, z)
    return turn(at, at, (x, y), ccw=ccw)


def cut(
    motions: Sequence[Motion],
    tool: Tool | None = None,
    *,
    stock: Region | None = None,
    top: float = 0.0,
    bottom: float = -20.0,
    pitch: float = 0.1,
    skin: float = 0.0,
) -> Cut:
    return simulate(
        motions,
        {1: tool or cutter()},
        stock=stock or block(0, 0, 100, 100),
        top=top,
        bottom=bottom,
        pitch=pitch,
        skin=skin,
    )


def degrees(cut: Cut, motion: int) -> list[float]:
    """Engaged angles along one motion, its first and last eighth left out (run in and out)."""
    angles = [math.degrees(a) for a in cut.samples.angle[cut.samples.motion == motion]]
    edge = len(angles) // 8 + 1
    return angles[edge : len(angles) - edge]
