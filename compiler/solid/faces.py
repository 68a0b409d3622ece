"""A solid's faces as a mill from above sees them: level, upright, sloped, turned away."""

from __future__ import annotations

from typing import Any

from compiler.geometry import Point
from compiler.solid.model import LEVEL, Face, Facing, Solid, Uncut
from compiler.solid.read import box_of, parts

LEVEL_NORMAL = 1e-6  # a unit normal this near to upright or level counts as such
SAMPLES = 5  # places along each direction of a face at which its normal is looked at


def faces_of(solid: Solid) -> list[Face]:
    """Every face, in the order of the file."""
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS

    return [_face(TopoDS.Face(shape)) for shape in parts(solid.shape, TopAbs_ShapeEnum.TopAbs_FACE)]


def level_places(solid: Solid) -> list[tuple[float, Point]]:
    """The heights of all level plane faces, each with a place on it: quicker than `faces_of`."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.GeomAbs import GeomAbs_SurfaceType
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS

    found = []
    for shape in parts(solid.shape, TopAbs_ShapeEnum.TopAbs_FACE):
        face = TopoDS.Face(shape)
        surface = BRepAdaptor_Surface(face)
        if surface.GetType() != GeomAbs_SurfaceType.GeomAbs_Plane:
            continue
        plane = surface.Plane()
        if abs(plane.Axis().Direction().Z()) > 1 - LEVEL_NORMAL:
            for u, v in _inner_places(face, surface)[:1]:
                place = surface.Value(u, v)
                found.append((float(place.Z()), Point(place.X(), place.Y())))
    return found


def levels_of(faces: list[Face]) -> list[tuple[float, str, int, float]]:
    """Horizontal faces by height, lowest first: height, `up` or `down`, how many, their area."""
    rows: list[tuple[float, str, int, float]] = []
    for face in sorted((f for f in faces if f.facing in ("up", "down")), key=_by_level):
        if rows and abs(rows[-1][0] - face.low) <= LEVEL and rows[-1][1] == face.facing:
            z, facing, count, area = rows[-1]
            rows[-1] = (z, facing, count + 1, area + face.area)
        else:
            rows.append((face.low, face.facing, 1, face.area))
    return rows


def _by_level(face: Face) -> tuple[float, str]:
    return (round(face.low, 4), face.facing)


def uncut(faces: list[Face], above: float) -> list[Uncut]:
    """What reaches above a height and is not made by straight tools from above, by kind."""
    kinds = (
        ("slope", "sloped or rounded faces: they are left standing as steps"),
        ("overhang", "undercut faces: no tool comes under them from this side"),
        ("down", "faces that look down: they are cut from another side"),
    )
    found = []
    for facing, what in kinds:
        here = [f for f in faces if f.facing == facing and f.high > above + LEVEL]
        if here:
            found.append(
                Uncut(
                    what,
                    len(here),
                    sum(f.area for f in here),
                    min(f.low for f in here),
                    max(f.high for f in here),
                    max(here, key=lambda f: f.area).at,
                )
            )
    return found


def _face(face: Any) -> Face:
    from OCP.BRepAdaptor import BRepAdaptor_Surface
    from OCP.BRepGProp import BRepGProp
    from OCP.GeomAbs import GeomAbs_SurfaceType as Kind
    from OCP.GProp import GProp_GProps

    surface = BRepAdaptor_Surface(face)
    sums = GProp_GProps()
    BRepGProp.SurfaceProperties_s(face, sums)
    box = box_of(face)
    kinds = {
        Kind.GeomAbs_Plane: "plane",
        Kind.GeomAbs_Cylinder: "cylinder",
        Kind.GeomAbs_Cone: "cone",
        Kind.GeomAbs_Sphere: "sphere",
        Kind.GeomAbs_Torus: "torus",
    }
    kind = kinds.get(surface.GetType(), "free")
    looks = _looked_at(face, surface)
    radius = surface.Cylinder().Radius() if kind == "cylinder" else 0.0
    return Face(
        facing=_facing([up for _, up, _ in looks]),
        kind=kind,
        area=float(sums.Mass()),
        low=box[2],
        high=box[5],
        waist=_waist(surface, kind, box[2], box[5]),
        radius=float(radius),
        hollow=kind == "cylinder" and any(inward for _, _, inward in looks),
        at=Point(looks[0][0].X(), looks[0][0].Y()),
    )


def _waist(surface: Any, kind: str, low: float, high: float) -> float | None:
    match kind:
        case "sphere":
            z = surface.Sphere().Location().Z()
        case "cylinder" if abs(surface.Cylinder().Axis().Direction().Z()) < LEVEL_NORMAL:
            z = surface.Cylinder().Location().Z()
        case "torus" if abs(surface.Torus().Axis().Direction().Z()) > 1 - LEVEL_NORMAL:
            z = surface.Torus().Location().Z()
        case "plane":
            z = high
        case "cone" if abs(surface.Cone().Axis().Direction().Z()) > 1 - LEVEL_NORMAL:
            z = high
        case _:
            return None
    return float(min(max(z, low), high))


def _facing(ups: list[float]) -> Facing:
    """From the upward parts of a face's outward unit normals."""
    low, high = min(ups), max(ups)
    if low > 1 - LEVEL_NORMAL:
        return "up"
    if high < -1 + LEVEL_NORMAL:
        return "down"
    if max(abs(low), abs(high)) <= LEVEL_NORMAL:
        return "wall"
    return "overhang" if low < -LEVEL_NORMAL else "slope"


def _looked_at(face: Any, surface: Any) -> list[tuple[Any, float, bool]]:
    """Places on a face: each with the upward part of the outward normal there, and whether that
    points at the axis of a cylinder. The first is the one nearest to the middle."""
    from OCP.BRepLProp import BRepLProp_SLProps
    from OCP.GeomAbs import GeomAbs_SurfaceType as Kind
    from OCP.gp import gp_Vec
    from OCP.TopAbs import TopAbs_Orientation

    sign = -1.0 if face.Orientation() == TopAbs_Orientation.TopAbs_REVERSED else 1.0
    axis = surface.Cylinder().Axis() if surface.GetType() == Kind.GeomAbs_Cylinder else None
    found = []
    for u, v in _inner_places(face, surface):
        place = BRepLProp_SLProps(surface, u, v, 1, 1e-9)
        if not place.IsNormalDefined():
            continue
        normal = place.Normal()
        inward = False
        if axis is not None:
            out = gp_Vec(axis.Location(), place.Value())
            inward = sign * out.Dot(gp_Vec(normal)) < 0
        found.append((place.Value(), sign * normal.Z(), inward))
    return found or [(surface.Value(*_middle(surface)), 0.0, False)]


def _middle(surface: Any) -> tuple[float, float]:
    return (
        (surface.FirstUParameter() + surface.LastUParameter()) / 2,
        (surface.FirstVParameter() + surface.LastVParameter()) / 2,
    )


def _inner_places(face: Any, surface: Any) -> list[tuple[float, float]]:
    """Parameters of places truly on a face, inside its edges and outside its holes."""
    from OCP.BRepClass import BRepClass_FaceClassifier
    from OCP.gp import gp_Pnt2d
    from OCP.TopAbs import TopAbs_State

    middle = _middle(surface)
    u0, v0 = surface.FirstUParameter(), surface.FirstVParameter()
    wide, high = 2 * (middle[0] - u0), 2 * (middle[1] - v0)
    edges = BRepClass_FaceClassifier()

    def inside(u: float, v: float) -> bool:
        edges.Perform(face, gp_Pnt2d(u, v), 1e-7)
        return bool(edges.State() == TopAbs_State.TopAbs_IN)

    for fineness in (SAMPLES, 5 * SAMPLES, 25 * SAMPLES):
        steps = [(i + 0.5) / fineness for i in range(fineness)]
        here = [
            (abs(s - 0.5) + abs(t - 0.5), u0 + wide * s, v0 + high * t)
            for s in steps
            for t in steps
            if inside(u0 + wide * s, v0 + high * t)
        ]
        if here:
            return [(u, v) for _, u, v in sorted(here)]
    return []
