"""One entity as curves in its own coordinates, or the reason why it gives none.

Points of flat entities are given in a system of their own that the extrusion direction turns; seen
from below (0, 0, -1) it mirrors X: DXF Reference, "Arbitrary Axis Algorithm" [from memory].
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from compiler.drawing.names import readable
from compiler.drawing.plane import Curve, Elliptic, Flat, Straight, Weighted
from compiler.drawing.spline import beziers
from compiler.geometry import Point

if TYPE_CHECKING:
    from ezdxf.entities.dxfentity import DXFEntity

LEVEL = 1e-6
"""How far heights in one entity may differ and still count as one, in drawing units."""

MAX_CONTROL_POINTS = 20_000

LEFT_OUT: dict[str, str] = {
    **dict.fromkeys(("TEXT", "MTEXT", "ATTRIB", "ATTDEF", "RTEXT", "ARCALIGNEDTEXT"), "text"),
    **dict.fromkeys(
        (
            "DIMENSION",
            "ARC_DIMENSION",
            "LARGE_RADIAL_DIMENSION",
            "LEADER",
            "MULTILEADER",
            "MLEADER",
            "TOLERANCE",
            "ACAD_TABLE",
        ),
        "dimensions and notes",
    ),
    **dict.fromkeys(("HATCH", "MPOLYGON", "SOLID", "TRACE", "WIPEOUT"), "hatches and fills"),
    **dict.fromkeys(
        ("IMAGE", "OLE2FRAME", "OLEFRAME", "PDFUNDERLAY", "DWFUNDERLAY", "DGNUNDERLAY", "VIEWPORT"),
        "pictures and views",
    ),
    **dict.fromkeys(("XLINE", "RAY"), "construction lines"),
    **dict.fromkeys(("LIGHT", "SUN", "CAMERA", "SHAPE", "SEQEND", "VERTEX"), "no line work"),
}
"""Kinds that are not cut, and what they are."""


class UnfitError(Exception):
    """An entity that is line work and cannot be used: code, message and help as for a Fault."""

    def __init__(self, code: str, message: str, help: str) -> None:
        super().__init__(message)
        self.code, self.message, self.help = code, message, help


def curves_of(entity: DXFEntity) -> list[Curve]:
    """The curves of one entity, in its own direction.

    Raises UnfitError for one that cannot be used, KeyError for a kind that is not line work.
    """
    return READERS[entity.dxftype()](entity)


def _line(entity: Any) -> list[Curve]:
    _whole(entity, "start", "end")
    start, end = entity.dxf.start, entity.dxf.end
    _level(entity, (start.z, end.z))
    return [Straight(_point(start), _point(end))]


def _circle(entity: Any) -> list[Curve]:
    return [_round(entity, 0.0, 2 * math.pi)]


def _arc(entity: Any) -> list[Curve]:
    _whole(entity, "start_angle", "end_angle")
    start = math.radians(entity.dxf.start_angle)
    turn = (math.radians(entity.dxf.end_angle) - start) % (2 * math.pi)
    return [_round(entity, start, start + (turn if turn > 1e-12 else 2 * math.pi))]


def _round(entity: Any, t0: float, t1: float) -> Curve:
    _whole(entity, "center", "radius")
    radius = entity.dxf.radius
    centre = _point(entity.dxf.center)
    if not (math.isfinite(radius) and radius > 0.0):
        raise UnfitError(
            "E709",
            f"{named(entity)} round {_spot(centre)} has radius {radius:g}",
            "delete it in the drawing, or give it the radius that it should have",
        )
    flat = _seen_from(entity)
    return Elliptic(centre, Point(radius, 0.0), Point(0.0, radius), t0, t1).mapped(flat)


def _ellipse(entity: Any) -> list[Curve]:
    _whole(entity, "center", "major_axis", "ratio")
    major, ratio = entity.dxf.major_axis, entity.dxf.ratio
    centre = _point(entity.dxf.center)
    side = 1.0 if _seen_from(entity).a > 0 else -1.0
    _level(entity, (major.z, 0.0))
    u = _point(major)
    if not (math.isfinite(ratio) and u.norm() > 0.0 and abs(ratio) > 1e-9):
        raise UnfitError(
            "E709",
            f"{named(entity)} round {_spot(centre)} has an axis of no length",
            "delete it in the drawing, or draw it as a line",
        )
    t0 = entity.dxf.start_param
    turn = (entity.dxf.end_param - t0) % (2 * math.pi)
    t1 = t0 + (turn if turn > 1e-9 else 2 * math.pi)
    return [Elliptic(centre, u, u.left().times(ratio * side), t0, t1)]


def _lwpolyline(entity: Any) -> list[Curve]:
    flat = _seen_from(entity)
    # plain numbers: the library's are of another kind, and so all they touch
    rows = (map(float, row) for row in entity.get_points("xyb"))
    corners = [(Point(x, y), bulge) for x, y, bulge in rows]
    return _bulged(corners, closed=bool(entity.closed), flat=flat)


def _polyline(entity: Any) -> list[Curve]:
    if not (entity.is_2d_polyline or entity.is_3d_polyline):
        raise _solid_thing(entity)
    # 16: a control point of a smoothed polyline; its curve is among the other vertices
    vertices = [v for v in entity.vertices if not v.dxf.flags & 16]
    flat = Flat()
    if entity.is_2d_polyline:
        flat = _seen_from(entity)
    else:
        _level(entity, [v.dxf.location.z for v in vertices])
    corners = [
        (_point(v.dxf.location), v.dxf.bulge if entity.is_2d_polyline else 0.0) for v in vertices
    ]
    return _bulged(corners, closed=bool(entity.is_closed), flat=flat)


def _bulged(corners: Sequence[tuple[Point, float]], *, closed: bool, flat: Flat) -> list[Curve]:
    """Straight sides, and arcs where a corner carries a bulge, the tangent of a quarter of the
    turned angle (DXF Reference, LWPOLYLINE group 42 [from memory])."""
    made: list[Curve] = []
    count = len(corners)
    for i in range(count if closed else count - 1):
        (start, bulge), (end, _) = corners[i], corners[(i + 1) % count]
        if start == end:
            continue
        if abs(bulge) < 1e-9:
            made.append(Straight(start, end).mapped(flat))
            continue
        chord = end.minus(start)
        # the centre lies left of the chord by c (1 - b^2) / 4b
        centre = start.plus(chord, 0.5).plus(chord.left(), (1 - bulge * bulge) / (4 * bulge))
        u = start.minus(centre)
        v = u.left() if bulge > 0 else u.left().times(-1)
        made.append(Elliptic(centre, u, v, 0.0, 4 * math.atan(abs(bulge))).mapped(flat))
    return made


def _spline(entity: Any) -> list[Curve]:
    if max(entity.control_point_count(), entity.fit_point_count()) > MAX_CONTROL_POINTS:
        raise UnfitError(
            "E702",
            f"{named(entity)} has {entity.control_point_count()} control points",
            f"draw it with fewer; at most {MAX_CONTROL_POINTS} are read",
        )
    try:
        tool = entity.construction_tool()
        net = list(tool.control_points)
        weights = list(tool.weights()) or [1.0] * len(net)
        _level(entity, [p.z for p in net])
        points: list[Weighted] = [(p.x * w, p.y * w, w) for p, w in zip(net, weights, strict=True)]
        if any(w <= 0.0 for w in weights):
            raise ValueError("a weight is not positive")
        return list(beziers(points, list(tool.knots()), tool.degree))
    except UnfitError:
        raise
    except Exception as fault:  # the library and ours alike: the curve does not hold together
        raise UnfitError(
            "E709",
            f"{named(entity)} is no whole curve: {readable(fault)[:80]}",
            "draw it again, or export it as a polyline",
        ) from fault


def _whole(entity: DXFEntity, *names: str) -> None:
    """Raises UnfitError where the file does not give what the library would fill in."""
    for name in names:
        if not entity.dxf.hasattr(name):
            raise UnfitError(
                "E709",
                f"{named(entity)} has no {name.replace('_', ' ').replace('center', 'centre')}",
                "mend or delete it in the drawing",
            )


def _solid_thing(entity: DXFEntity) -> UnfitError:
    return UnfitError(
        "E710",
        f"{named(entity)} is no flat line work",
        "leave its layer out with `layer` or `layers`, or draw its outline flat, seen from above",
    )


def unreadable(entity: DXFEntity) -> UnfitError:
    """What to say of an entity of a kind that is neither read nor safely left out."""
    return _solid_thing(entity)


def named(entity: DXFEntity) -> str:
    """An entity as a message calls it: kind and handle."""
    return readable(f"{entity.dxftype()} {entity.dxf.get('handle') or ''}".strip())


def _seen_from(entity: Any) -> Flat:
    """The mapping from the entity's own plane; raises UnfitError where that plane is tilted."""
    x, y, z = entity.dxf.extrusion
    if abs(x) > 1e-9 or abs(y) > 1e-9 or z == 0.0:
        raise UnfitError(
            "E710",
            f"{named(entity)} is tilted out of the XY plane",
            "draw it flat, seen from above, or leave its layer out",
        )
    return Flat() if z > 0 else Flat(a=-1.0)


def _level(entity: DXFEntity, heights: Sequence[float]) -> None:
    if heights and max(heights) - min(heights) > LEVEL * max(1.0, *(abs(h) for h in heights)):
        raise UnfitError(
            "E710",
            f"{named(entity)} rises from Z {min(heights):g} to {max(heights):g}",
            "draw it flat, seen from above, or leave its layer out",
        )


def _point(vector: Any) -> Point:
    return Point(float(vector[0]), float(vector[1]))


def _spot(point: Point) -> str:
    return f"({point.x:g}, {point.y:g})"


READERS: dict[str, Callable[[Any], list[Curve]]] = {
    "LINE": _line,
    "CIRCLE": _circle,
    "ARC": _arc,
    "ELLIPSE": _ellipse,
    "LWPOLYLINE": _lwpolyline,
    "POLYLINE": _polyline,
    "SPLINE": _spline,
}
