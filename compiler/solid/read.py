"""Bytes of a STEP file as a `Solid`, or why not.

The kernel is an optional extra; without it a model is refused with the way to get it. It turns
lengths into millimetres by the units of each representation context (ISO 10303-41).
"""

from __future__ import annotations

import io
from importlib.util import find_spec
from typing import Any

from compiler.diagnostics import Diagnostic, Outcome
from compiler.drawing.voice import Voice
from compiler.solid.model import Solid
from compiler.solid.records import what_is_wrong
from compiler.solid.trial import survives

MAX_BYTES = 64 * 1024 * 1024
"""Larger models are refused."""


def read_solid(data: bytes, voice: Voice) -> Outcome[Solid]:
    """The closed bodies in the bytes of a STEP file (ISO 10303-21).

    Errors: E720 no kernel, E721 no whole STEP file, E722 too large, E723 no closed body.
    """
    refusal = _refusal(data, voice)
    if refusal is not None:
        return Outcome(None, (refusal,))
    wrong = what_is_wrong(data)
    if wrong:
        return Outcome(None, (_damaged(voice, wrong),))
    if not survives(lambda: _transferred(data)):
        return Outcome(None, (_damaged(voice, "the solid kernel came to grief over it"),))
    try:
        shape, units = _transferred(data)
    except Exception as fault:  # the kernel throws its own kinds for damaged records
        return Outcome(None, (_damaged(voice, str(fault).splitlines()[0][:100]),))
    if shape is None:
        return Outcome(None, (_damaged(voice, "nothing in it could be made into a shape"),))
    found = _bodies(shape)
    if found is None:
        return Outcome(
            None,
            (
                voice.finding(
                    "E723",
                    f"the model `{voice.name}` has no closed solid body",
                    help="export a solid, not surfaces or wires; a body with a face missing does "
                    "not say what is inside",
                ),
            ),
        )
    if not units:
        return Outcome(None, (_damaged(voice, "it does not say its units"),))
    compound, bodies = found
    return Outcome(Solid(shape=compound, units=units, box=box_of(compound), bodies=bodies))


def kernel_there() -> bool:
    """Whether the optional extra is installed."""
    return find_spec("OCP") is not None


def _refusal(data: bytes, voice: Voice) -> Diagnostic | None:
    if not kernel_there():
        return voice.finding(
            "E720",
            f"reading the model `{voice.name}` needs the solid kernel, which is not installed",
            help="in standproud's folder run `pip install '.[solid]'` (about 400 MB), or export a "
            "DXF of the outlines and use `drawing`",
        )
    if len(data) > MAX_BYTES:
        return too_large(len(data), voice)
    if not data.strip():
        return voice.finding(
            "E721", f"the model `{voice.name}` is empty", help="export it again as STEP"
        )
    if not data.lstrip().startswith(b"ISO-10303-21;"):
        return voice.finding(
            "E721",
            f"`{voice.name}` is no STEP file",
            help="a STEP file begins with `ISO-10303-21;`; export the model as STEP (AP203, AP214 "
            "or AP242)",
        )
    if b"END-ISO-10303-21;" not in data[-4096:]:
        return voice.finding(
            "E721",
            f"the model `{voice.name}` breaks off before its end mark",
            help="part of it is missing; export or copy it again",
        )
    return None


def too_large(size: int, voice: Voice) -> Diagnostic:
    """The finding for a file of `size` bytes, which need not have been read."""
    return voice.finding(
        "E722",
        f"the model `{voice.name}` has {size / 1_048_576:.0f} MiB",
        help=f"at most {MAX_BYTES // 1_048_576} MiB are read; export the part alone",
        data=(("bytes", size),),
    )


def _damaged(voice: Voice, what: str) -> Diagnostic:
    return voice.finding(
        "E721",
        f"the model `{voice.name}` cannot be read: {what}",
        help="export it again as STEP (AP203, AP214 or AP242)",
    )


def quiet() -> None:
    """The kernel prints to standard output, which is ours: take its printers away."""
    from OCP.Message import Message

    Message.DefaultMessenger_s().ChangePrinters().Clear()


def _transferred(data: bytes) -> tuple[Any, str]:
    from OCP.IFSelect import IFSelect_ReturnStatus
    from OCP.OCP.collections import Sequence_TCollection_AsciiString as Names
    from OCP.STEPControl import STEPControl_Reader

    quiet()
    reader = STEPControl_Reader()
    if reader.ReadStream("model", io.BytesIO(data)) != IFSelect_ReturnStatus.IFSelect_RetDone:
        return None, ""
    lengths, angles, solid_angles = Names(), Names(), Names()
    reader.FileUnits(lengths, angles, solid_angles)
    units = ", ".join(dict.fromkeys(str(name.ToCString()).lower() for name in lengths))
    if not reader.TransferRoots():
        return None, units
    shape = reader.OneShape()
    return (None if shape is None or shape.IsNull() else shape), units


def _bodies(shape: Any) -> tuple[Any, int] | None:
    """The closed solids of a shape as one compound, and their number; None where there are none,
    or one is open."""
    from OCP.BRep import BRep_Builder, BRep_Tool
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS_Compound

    compound = TopoDS_Compound()
    builder = BRep_Builder()
    builder.MakeCompound(compound)
    count = 0
    for solid in parts(shape, TopAbs_ShapeEnum.TopAbs_SOLID):
        shells = list(parts(solid, TopAbs_ShapeEnum.TopAbs_SHELL))
        if not shells or not all(BRep_Tool.IsClosed_s(shell) for shell in shells):
            return None
        builder.Add(compound, solid)
        count += 1
    return (compound, count) if count else None


def parts(shape: Any, kind: Any) -> list[Any]:
    """The solids, shells, faces or edges of a shape, each once, in the kernel's fixed order."""
    from OCP.OCP.collections import (
        IndexedMap_TopoDS_Shape_TopTools_ShapeMapHasher as ShapeMap,
    )
    from OCP.TopExp import TopExp

    found = ShapeMap()
    TopExp.MapShapes_s(shape, kind, found)
    return [found.FindKey(i) for i in range(1, found.Extent() + 1)]


def box_of(shape: Any) -> tuple[float, float, float, float, float, float]:
    """The box round a shape: min x, min y, min z, max x, max y, max z, mm."""
    from OCP.Bnd import Bnd_Box
    from OCP.BRepBndLib import BRepBndLib

    box = Bnd_Box()
    BRepBndLib.AddOptimal_s(shape, box, False, False)
    low, high = box.CornerMin(), box.CornerMax()
    x0, y0, z0, x1, y1, z1 = (
        # the kernel adds a tolerance of a ten-thousandth of a micrometre: not ours to show
        round(value, 6) + 0.0
        for value in (low.X(), low.Y(), low.Z(), high.X(), high.Y(), high.Z())
    )
    return (x0, y0, z0, x1, y1, z1)


def volume_of(shape: Any) -> float:
    """Volume of a closed shape, mm3."""
    from OCP.BRepGProp import BRepGProp
    from OCP.GProp import GProp_GProps

    sums = GProp_GProps()
    BRepGProp.VolumeProperties_s(shape, sums)
    return float(sums.Mass())
