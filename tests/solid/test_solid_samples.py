"""Public models of NIST (SMS Test Bed technical data packages; MBE PMI validation models).

Figures were measured from the files' own vertices and faces, apart from this project. Units as in
the file: the inch part is read as millimetres.
"""

from __future__ import annotations

import pytest
from step_maker import read, sample

from compiler.geometry import Arc, Point
from compiler.geometry.inside import InsideTest
from compiler.solid.cut import cut_at
from compiler.solid.faces import faces_of, levels_of, uncut

INCH = 25.4


def radii(faces) -> set[float]:
    return {round(f.radius, 4) for f in faces if f.kind == "cylinder" and f.facing == "wall"}


def test_the_inch_part() -> None:
    part = read(sample("part_904_inch.stp"))
    assert part.units == "inch" and part.bodies == 1
    assert part.box == pytest.approx(
        [v * INCH for v in (0, 0, -0.168, 4.037, 2.738, 0.6)], abs=0.5e-3 * INCH
    )
    faces = faces_of(part)
    kinds = [f.kind for f in faces]
    assert (kinds.count("plane"), kinds.count("cylinder"), kinds.count("free")) == (60, 37, 20)
    levels = [(round(z / INCH, 3), count) for z, _, count, _ in levels_of(faces)]
    assert levels == [
        *[(-0.168, 4), (-0.034, 1), (-0.03, 1), (0.0, 1)],
        *[(0.1, 1), (0.225, 1), (0.25, 1), (0.35, 7)],
    ]
    assert {round(r / INCH, 4) for r in radii(faces)} == {
        *(0.064, 0.075, 0.0937, 0.11, 0.125, 0.135, 0.1875)
    }


def test_the_plate_in_millimetres() -> None:
    plate = read(sample("plate_mm.step"))
    assert plate.box == pytest.approx((0, 0, 0, 120.0, 71.16, 5.0), abs=1e-6)
    faces = faces_of(plate)
    assert radii(faces) == {1.5, 2.0, 2.25, 2.5, 5.0}
    # a 10 mm hole at (107.5, 41.16)
    holes = [f for f in faces if f.hollow and f.radius == pytest.approx(5.0)]
    assert any(f.at.distance(Point(107.5, 41.16)) == pytest.approx(5.0, abs=1e-6) for f in holes)


def test_the_large_clean_part() -> None:
    part = read(sample("ctc_01_mm.stp"))
    assert part.box == pytest.approx((-400, -225, -100, 400, 225, 50), abs=1e-6)
    faces = faces_of(part)
    kinds = [f.kind for f in faces]
    assert (kinds.count("plane"), kinds.count("cylinder"), kinds.count("cone")) == (56, 57, 4)
    assert sorted({round(z) for z, _, _, _ in levels_of(faces)}) == [-100, -50, 0, 50]
    assert radii(faces) == {10.0, 12.5, 17.5, 20.0, 25.0, 50.0}
    named = {found.what.split(" ")[0] for found in uncut(faces, -100.0)}
    assert {"sloped", "undercut"} <= named


def test_sections_of_the_large_part_are_lines_and_circles_as_they_are() -> None:
    part = read(sample("ctc_01_mm.stp"))
    cut = cut_at(part, -25.0)
    found = {round(s.radius, 3) for s in cut.segments() if isinstance(s, Arc)}
    assert found <= {10.0, 12.5, 17.5, 20.0, 25.0, 50.0}
    # the material is where the kernel says it is
    from OCP.BRepClass3d import BRepClass3d_SolidClassifier
    from OCP.gp import gp_Pnt
    from OCP.TopAbs import TopAbs_State

    test = InsideTest(cut.segments())
    solid = BRepClass3d_SolidClassifier(part.shape)
    for i in range(17):
        for k in range(11):
            x, y = -411 + 51.37 * i, -231 + 46.19 * k
            solid.Perform(gp_Pnt(x, y, -25.0), 1e-7)
            inside = solid.State() == TopAbs_State.TopAbs_IN
            assert test.contains(Point(x, y)) == inside, (x, y)
