"""Makes the drawing and the model of the guider plate, the same bytes every time.

    python specs/drawings/make.py            writes both beside this file

The plate carries a guide camera beside a telescope's focuser: a clamp ring, a lug for the cable
and a square pad. The DXF is written out tag by tag, with what drawings from elsewhere are like:
arcs as bulges, a pad from a block that is turned a quarter and has gaps at its corners, a ring
whose two halves run in different directions, text and a centre line on layers of their own. The
STEP needs the solid kernel (`pip install '.[solid]'`).
"""

from __future__ import annotations

import io
import math
import re
from collections.abc import Iterable
from pathlib import Path

HERE = Path(__file__).resolve().parent

STOCK = (100.0, 70.0, 12.0)  # mm
FLOOR = -6.0
RING = (35.0, 38.0, 22.0, 12.0)  # centre, outer and inner radius
RING_TOP = 0.0
LUG = (78.0, 24.0, 50.0, 8.0)  # a rounded slot along Y: x, from y, to y, radius
LUG_TOP = -2.0
PAD = (46.0, 3.0, 20.0, 6.0)  # a rectangle: x, y, width, height
PAD_TOP = -3.0
GAP = 0.04  # at each corner of the pad, on both sides

Tags = list[tuple[int, object]]


def drawing() -> bytes:
    """The drawing as DXF, version R12."""
    tags: Tags = [
        *section("HEADER", [(9, "$ACADVER"), (1, "AC1009"), (9, "$INSUNITS"), (70, 4)]),
        *section("TABLES", layers("RING", "LUG", "PAD", "CENTRE", "TEXT")),
        *section("BLOCKS", pad_block()),
        *section("ENTITIES", [*ring(), *lug(), *pad(), *notes()]),
        (0, "EOF"),
    ]
    return "".join(f"{code:3d}\r\n{value}\r\n" for code, value in tags).encode("ascii")


def section(name: str, tags: Iterable[tuple[int, object]]) -> Tags:
    return [(0, "SECTION"), (2, name), *tags, (0, "ENDSEC")]


def layers(*names: str) -> Tags:
    table: Tags = [(0, "TABLE"), (2, "LAYER"), (70, len(names))]
    for name in names:
        table += [(0, "LAYER"), (2, name), (70, 0), (62, 7), (6, "CONTINUOUS")]
    return [*table, (0, "ENDTAB")]


def line(layer: str, x0: float, y0: float, x1: float, y1: float) -> Tags:
    return [(0, "LINE"), (8, layer), (10, x0), (20, y0), (11, x1), (21, y1)]


def arc(layer: str, x: float, y: float, radius: float, start: float, end: float) -> Tags:
    return [
        *[(0, "ARC"), (8, layer), (10, x), (20, y), (40, radius)],
        *[(50, start), (51, end)],
    ]


def polyline(layer: str, corners: Iterable[tuple[float, float, float]]) -> Tags:
    tags: Tags = [(0, "POLYLINE"), (8, layer), (66, 1), (70, 1)]
    for x, y, bulge in corners:
        tags += [(0, "VERTEX"), (8, layer), (10, x), (20, y), (42, bulge)]
    return [*tags, (0, "SEQEND")]


def ring() -> Tags:
    """Its outside as two arcs out of order, its bore as two half-turn bulges."""
    x, y, outer, inner = RING
    return [
        *arc("RING", x, y, outer, 200, 90),
        *arc("RING", x, y, outer, 90, 200),
        *polyline("RING", [(x - inner, y, -1), (x + inner, y, -1)]),
    ]


def lug() -> Tags:
    x, low, high, radius = LUG
    return polyline(
        "LUG",
        [
            (x + radius, low, 0),
            (x + radius, high, 1),
            (x - radius, high, 0),
            (x - radius, low, 1),
        ],
    )


def pad_block() -> Tags:
    """The pad lying on its side, its corner at the origin, each side a little short."""
    _, _, wide, high = PAD
    sides = [
        line("0", GAP, 0, high - GAP, 0),
        line("0", high, wide - GAP, high, GAP),
        line("0", high - GAP, wide, GAP, wide),
        line("0", 0, GAP, 0, wide - GAP),
    ]
    return [
        *[(0, "BLOCK"), (8, "0"), (2, "PAD"), (70, 0), (10, 0.0), (20, 0.0), (3, "PAD")],
        *(tag for side in sides for tag in side),
        *[(0, "ENDBLK"), (8, "0")],
    ]


def pad() -> Tags:
    x, y, wide, _ = PAD
    return [(0, "INSERT"), (8, "PAD"), (2, "PAD"), (10, x + wide), (20, y), (50, 90.0)]


def notes() -> Tags:
    x, y, outer, _ = RING
    return [
        *line("CENTRE", x - outer - 3, y, x + outer + 3, y),
        *[(0, "TEXT"), (8, "TEXT"), (10, 2.0), (20, 64.0), (40, 3.0), (1, "GUIDER PLATE MT-0240")],
    ]


def model() -> bytes:
    """The finished part as STEP: the plate up to its floor, and what stands on it."""
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeEdge as Edge
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace, BRepBuilderAPI_MakeWire
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCylinder
    from OCP.BRepPrimAPI import BRepPrimAPI_MakePrism as Prism
    from OCP.GC import GC_MakeArcOfCircle
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt, gp_Vec

    width, depth, thick = STOCK
    up = gp_Dir(0, 0, 1)
    part = BRepPrimAPI_MakeBox(gp_Pnt(0, 0, -thick), gp_Pnt(width, depth, FLOOR)).Shape()
    x, y, outer, inner = RING
    at = gp_Ax2(gp_Pnt(x, y, FLOOR), up)
    tube = BRepAlgoAPI_Cut(
        BRepPrimAPI_MakeCylinder(at, outer, RING_TOP - FLOOR).Shape(),
        BRepPrimAPI_MakeCylinder(at, inner, RING_TOP - FLOOR).Shape(),
    ).Shape()
    x, low, high, radius = LUG

    def end(y: float, out: float) -> object:
        return GC_MakeArcOfCircle(
            gp_Pnt(x - out * radius, y, FLOOR),
            gp_Pnt(x, y - out * radius, FLOOR),
            gp_Pnt(x + out * radius, y, FLOOR),
        ).Value()

    edges = [
        Edge(end(low, 1)).Edge(),
        Edge(gp_Pnt(x + radius, low, FLOOR), gp_Pnt(x + radius, high, FLOOR)).Edge(),
        Edge(end(high, -1)).Edge(),
        Edge(gp_Pnt(x - radius, high, FLOOR), gp_Pnt(x - radius, low, FLOOR)).Edge(),
    ]
    wire = BRepBuilderAPI_MakeWire(*edges).Wire()
    face = BRepBuilderAPI_MakeFace(wire).Face()
    slot = Prism(face, gp_Vec(0, 0, LUG_TOP - FLOOR)).Shape()
    x, y, wide, tall = PAD
    block = BRepPrimAPI_MakeBox(gp_Pnt(x, y, FLOOR), gp_Pnt(x + wide, y + tall, PAD_TOP)).Shape()
    for feature in (tube, slot, block):
        part = BRepAlgoAPI_Fuse(part, feature).Shape()
    return written(part)


def written(shape: object) -> bytes:
    """A shape as STEP without a clock and without names of programs."""
    from OCP.Message import Message
    from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

    Message.DefaultMessenger_s().ChangePrinters().Clear()
    writer = STEPControl_Writer()
    writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
    stream = io.BytesIO()
    writer.WriteStream(stream)
    text = stream.getvalue().decode("ascii").replace("\r\n", "\n")
    name = "FILE_NAME('guider-plate','2026-01-01T00:00:00',(''),(''),'','','');"
    text = re.sub(r"FILE_NAME\(.*?\);", name, text, flags=re.DOTALL)
    text = re.sub(
        r"FILE_DESCRIPTION\(.*?\);", "FILE_DESCRIPTION((''),'2;1');", text, flags=re.DOTALL
    )
    text = re.sub(r"PRODUCT\('[^']*',\s*'[^']*'", "PRODUCT('guider-plate','guider-plate'", text)
    return text.encode("ascii")


def standing_area() -> float:
    """Area of ring, lug and pad together, mm2, by hand."""
    _, _, outer, inner = RING
    _, low, high, radius = LUG
    _, _, wide, tall = PAD
    slot = 2 * radius * (high - low) + math.pi * radius**2
    return math.pi * (outer**2 - inner**2) + slot + wide * tall


if __name__ == "__main__":
    (HERE / "guider-plate.dxf").write_bytes(drawing())
    (HERE / "guider-plate.step").write_bytes(model())
