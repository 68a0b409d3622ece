"""Small solid models for the tests, made by the kernel and read back through STEP by ours."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

pytest.importorskip("OCP", reason="the solid kernel (an optional extra) is not installed")

from OCP.BRepAlgoAPI import BRepAlgoAPI_Cut, BRepAlgoAPI_Fuse
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox, BRepPrimAPI_MakeCone, BRepPrimAPI_MakeCylinder
from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
from OCP.Message import Message
from OCP.STEPControl import STEPControl_StepModelType, STEPControl_Writer

from compiler.diagnostics import Outcome, Severity
from compiler.drawing.voice import Voice
from compiler.solid.model import Solid
from compiler.solid.read import read_solid

DATA = Path(__file__).resolve().parents[2].parent / "shared" / "data" / "nist"
VOICE = Voice("part.step")


def sample(name: str) -> bytes:
    """A public model from the data beside the project; skips the test where it is absent."""
    path = DATA / name
    if not path.exists():
        pytest.skip(f"the sample model {name} is not here")
    return path.read_bytes()


def read(data: bytes) -> Solid:
    outcome = read_solid(data, VOICE)
    assert outcome.value is not None, outcome.findings
    return outcome.value


def step(shape) -> bytes:
    Message.DefaultMessenger_s().ChangePrinters().Clear()
    writer = STEPControl_Writer()
    writer.Transfer(shape, STEPControl_StepModelType.STEPControl_AsIs)
    stream = io.BytesIO()
    writer.WriteStream(stream)
    return stream.getvalue()


def box(low, high):
    return BRepPrimAPI_MakeBox(gp_Pnt(*low), gp_Pnt(*high)).Shape()


def cylinder(x, y, z, radius, height, direction=(0, 0, 1)):
    axis = gp_Ax2(gp_Pnt(x, y, z), gp_Dir(*direction))
    return BRepPrimAPI_MakeCylinder(axis, radius, height).Shape()


def cone(x, y, z, lower, upper, height):
    axis = gp_Ax2(gp_Pnt(x, y, z), gp_Dir(0, 0, 1))
    return BRepPrimAPI_MakeCone(axis, lower, upper, height).Shape()


def fused(*shapes):
    first, *rest = shapes
    for shape in rest:
        first = BRepAlgoAPI_Fuse(first, shape).Shape()
    return first


def cut(shape, *tools):
    for tool in tools:
        shape = BRepAlgoAPI_Cut(shape, tool).Shape()
    return shape


def errors(outcome: Outcome) -> list[str]:
    return [f.code for f in outcome.findings if f.severity is Severity.ERROR]
