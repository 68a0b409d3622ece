"""A model laid on the table: which of its sides points up, and which height is Z0."""

from __future__ import annotations

from typing import Any, Literal

from compiler.diagnostics import Outcome
from compiler.drawing.voice import Voice
from compiler.solid.model import Solid
from compiler.solid.read import box_of, parts

Up = Literal["x", "-x", "y", "-y", "z", "-z"]

AXES: dict[str, tuple[float, float, float]] = {
    "x": (1.0, 0.0, 0.0),
    "-x": (-1.0, 0.0, 0.0),
    "y": (0.0, 1.0, 0.0),
    "-y": (0.0, -1.0, 0.0),
    "z": (0.0, 0.0, 1.0),
    "-z": (0.0, 0.0, -1.0),
}


def laid(
    solid: Solid,
    voice: Voice,
    *,
    up: Up = "z",
    up_face: tuple[float, float, float] | None = None,
    z0: Literal["top", "bottom"] | float | None = None,
) -> Outcome[Solid]:
    """The solid turned so that `up` points up, and shifted so that `z0` is Z0.

    Turned about the model's own origin the short way; a model turned over (`-z`) about the X axis.

    Args:
        solid: As it was modelled.
        voice: Where findings point.
        up: The model's direction that is to point up.
        up_face: A point of the model, mm; the plane face nearest to it is to point up instead, and
            is Z0 unless `z0` says otherwise.
        z0: What is Z0: its highest or lowest place, or a height after turning, mm; None leaves it.

    Errors: E725 where there is no plane face to turn up.
    """
    direction, height = AXES[up], None
    if up_face is not None:
        face = _nearest_plane(solid, up_face)
        if face is None:
            return Outcome(
                None,
                (
                    voice.finding(
                        "E725",
                        f"the model `{voice.name}` has no plane face to turn up",
                        help="say which way is up with `up: z` or another axis",
                    ),
                ),
            )
        direction, height = face
    shape = _turned(solid.shape, direction)
    box = box_of(shape) if direction != AXES["z"] else solid.box
    match z0:
        case "top":
            zero = box[5]
        case "bottom":
            zero = box[2]
        case None:
            zero = height or 0.0
        case _:
            zero = z0
    shape = _moved(shape, -zero)
    lifted = (box[0], box[1], box[2] - zero, box[3], box[4], box[5] - zero)
    return Outcome(Solid(shape=shape, units=solid.units, box=lifted, bodies=solid.bodies))


def _nearest_plane(
    solid: Solid, point: tuple[float, float, float]
) -> tuple[tuple[float, float, float], float] | None:
    """The outward direction of the plane face nearest to a point, and its height that way."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeVertex
    from OCP.BRepExtrema import BRepExtrema_DistShapeShape
    from OCP.GeomAbs import GeomAbs_SurfaceType
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_Orientation, TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS

    vertex = BRepBuilderAPI_MakeVertex(gp_Pnt(*point)).Vertex()
    best: tuple[float, Any, Any] | None = None
    for shape in parts(solid.shape, TopAbs_ShapeEnum.TopAbs_FACE):
        face = TopoDS.Face(shape)
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
            continue
        away = BRepExtrema_DistShapeShape(vertex, face).Value()
        if best is None or away < best[0] - 1e-9:
            best = (away, face, surface.Plane())
    if best is None:
        return None
    _, face, plane = best
    normal = plane.Axis().Direction()
    sign = -1.0 if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
    sign *= 1.0 if plane.Direct() else -1.0
    out = (sign * normal.X(), sign * normal.Y(), sign * normal.Z())
    place = plane.Location()
    return out, out[0] * place.X() + out[1] * place.Y() + out[2] * place.Z()


def _turned(shape: Any, up: tuple[float, float, float]) -> Any:
    if up == AXES["z"]:
        return shape
    from OCP.BRepBuilderAPI import BRepBuilderAPI_Transform
    from OCP.gp import gp_Ax1, gp_Dir, gp_Pnt, gp_Quaternion, gp_Trsf, gp_Vec

    turn = gp_Trsf()
    if up[2] < -1 + 1e-12:
        turn.SetRotation(gp_Ax1(gp_Pnt(0, 0, 0), gp_Dir(1, 0, 0)), 3.141592653589793)
    else:
        turn.SetRotation(gp_Quaternion(gp_Vec(*up), gp_Vec(0, 0, 1)))
    return BRepBuilderAPI_Transform(shape, turn, True).Shape()


def _moved(shape: Any, dz: float) -> Any:
    if dz == 0.0:
        return shape
    from OCP.gp import gp_Trsf, gp_Vec
    from OCP.TopLoc import TopLoc_Location

    shift = gp_Trsf()
    shift.SetTranslation(gp_Vec(0, 0, dz))
    return shape.Moved(TopLoc_Location(shift))
