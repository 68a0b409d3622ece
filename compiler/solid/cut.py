"""The kernel's section of a solid, held against the solid before it is trusted.

Near a tangency the kernel may lose edges of a section, or all of them. A wall that is not there
would be cut through: so points on both sides of every outline, and over the whole, are put to the
kernel's other judge, whether they lie in material, and a section that fails is taken again a few
micrometres further on.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

from compiler.drawing.fit import fitted, segments_of
from compiler.drawing.join import join
from compiler.drawing.model import CURVE_TOLERANCE, Drawn
from compiler.drawing.nest import nest, region_of
from compiler.drawing.plane import Curve, Elliptic, Straight
from compiler.geometry import EMPTY, Point, Region
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest
from compiler.geometry.segment import Segment
from compiler.solid.model import Solid
from compiler.solid.read import parts, quiet

JOIN = 0.005  # ends of section pieces meet this well, mm
SHIFTS = (0.0, 0.001, 0.003, 0.01, 0.03)  # mm: where a section is tried again
NEAR = 0.01  # mm: points nearer to an outline are not put to the test
GRID = 12  # points each way over the whole
MOST_SIDES = 60  # segments whose two sides are looked at


class UnsoundError(Exception):
    """A section that the kernel cannot make soundly; `z` says where."""

    def __init__(self, z: float) -> None:
        super().__init__(f"no sound section at {z}")
        self.z = z


def cut_at(solid: Solid, z: float, probes: Iterable[Point] = (), toward: int = 1) -> Region:
    """The section of a solid at a height where no horizontal face lies; empty beyond its ends.

    Args:
        solid: What is cut.
        z: The height, mm.
        probes: Places that matter, as one on each face, to be tested beside the regular ones.
        toward: Whether it may be taken up to 0.03 mm higher (1) or lower (-1) where it fails.

    Raises UnsoundError where no sound section is found.
    """
    if not solid.bottom < z < solid.top:
        return EMPTY
    places = tuple(probes)
    for shift in SHIFTS:
        height = z + toward * shift
        if not solid.bottom < height < solid.top:
            break
        cut = _cut(solid, height)
        if _is_true(cut, solid, height, places):
            return cut
    raise UnsoundError(z)


def _cut(solid: Solid, z: float) -> Region:
    from OCP.BRepAlgoAPI import BRepAlgoAPI_Section
    from OCP.gp import gp_Dir, gp_Pln, gp_Pnt
    from OCP.TopAbs import TopAbs_ShapeEnum

    quiet()
    cutter = BRepAlgoAPI_Section(solid.shape, gp_Pln(gp_Pnt(0, 0, z), gp_Dir(0, 0, 1)), False)
    cutter.ComputePCurveOn1(False)
    cutter.Approximation(False)
    cutter.Build()
    return region_of_edges(parts(cutter.Shape(), TopAbs_ShapeEnum.TopAbs_EDGE))


def _is_true(cut: Region, solid: Solid, z: float, probes: Sequence[Point]) -> bool:
    """Whether the region agrees with where the kernel finds material at that height."""
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_State

    material = BRepClass3d_SolidClassifier(solid.shape)
    test = InsideTest(cut.segments())
    segments = list(cut.segments())
    for place in (*_sides(cut), *_grid(solid), *probes):
        if any(_is_near(place, s) and point_distance(place, s) < NEAR / 2 for s in segments):
            continue
        material.Perform(gp_Pnt(place.x, place.y, z), 1e-6)
        state = material.State()
        if state == TopAbs_State.TopAbs_ON:
            continue
        if bool(state == TopAbs_State.TopAbs_IN) != test.contains(place):
            return False
    return True


def _is_near(place: Point, segment: Segment) -> bool:
    x0, y0, x1, y1 = segment.bounds
    return x0 - NEAR <= place.x <= x1 + NEAR and y0 - NEAR <= place.y <= y1 + NEAR


def _sides(cut: Region) -> list[Point]:
    """Points just left and right of segments, evenly chosen where there are many."""
    segments = list(cut.segments())
    step = max(1, len(segments) // MOST_SIDES)
    found = []
    for segment in segments[::step]:
        aside = segment.tangent(0.5).left()
        found += [segment.at(0.5).plus(aside, NEAR), segment.at(0.5).plus(aside, -NEAR)]
    return found


def _grid(solid: Solid) -> list[Point]:
    x0, y0, _, x1, y1, _ = solid.box
    # not in the middle of cells, where drawings like to have their centres and axes
    steps = [(i + 0.437) / GRID for i in range(GRID)]
    return [Point(x0 + (x1 - x0) * s, y0 + (y1 - y0) * t) for s in steps for t in steps]


def region_of_edges(edges: Sequence[Any]) -> Region:
    """The region that loose edges in a horizontal plane bound; what closes nothing is dropped."""
    drawn = [Drawn(s, "section", "EDGE") for edge in edges for s in _segments(edge)]
    joined = join(drawn, gap=JOIN)
    return region_of(joined.loops, nest(joined.loops)) if joined.loops else EMPTY


def _segments(edge: Any) -> list[Any]:
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.GeomAbs import GeomAbs_CurveType as Kind
    from OCP.gp import gp_Pnt, gp_Vec
    from OCP.TopoDS import TopoDS

    curve = BRepAdaptor_Curve(TopoDS.Edge(edge))
    t0, t1 = curve.FirstParameter(), curve.LastParameter()
    kind = curve.GetType()
    exact: Curve | None = None
    if kind == Kind.GeomAbs_Line:
        exact = Straight(_flat(curve.Value(t0)), _flat(curve.Value(t1)))
    elif kind in (Kind.GeomAbs_Circle, Kind.GeomAbs_Ellipse):
        conic = curve.Circle() if kind == Kind.GeomAbs_Circle else curve.Ellipse()
        major = conic.Radius() if kind == Kind.GeomAbs_Circle else conic.MajorRadius()
        minor = conic.Radius() if kind == Kind.GeomAbs_Circle else conic.MinorRadius()
        x, y = conic.Position().XDirection(), conic.Position().YDirection()
        exact = Elliptic(
            _flat(conic.Location()),
            Point(x.X(), x.Y()).times(major),
            Point(y.X(), y.Y()).times(minor),
            t0,
            t1,
        )
    if exact is not None:
        return list(segments_of(exact, CURVE_TOLERANCE))

    def along(t: float) -> tuple[Point, Point]:
        place, rate = gp_Pnt(), gp_Vec()
        curve.D1(t, place, rate)
        return _flat(place), Point(rate.X(), rate.Y())

    return list(fitted(along, t0, t1, CURVE_TOLERANCE))


def _flat(point: Any) -> Point:
    return Point(point.X(), point.Y())
