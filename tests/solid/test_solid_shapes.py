"""Sections, silhouettes, features and what is not cut, on solids whose figures are plain."""

from __future__ import annotations

import math

import pytest
from step_maker import VOICE, box, cone, cut, cylinder, errors, fused, read, step

from compiler.geometry import Arc, Point, Region
from compiler.solid import read as reading
from compiler.solid.faces import faces_of, uncut
from compiler.solid.features import piece_round, standing
from compiler.solid.orient import laid
from compiler.solid.read import read_solid, volume_of
from compiler.solid.section import section, silhouette


def plate():
    """A plate 40 x 30 x 10, top at Z 0, a boss of radius 6 up to Z 8, a hole of radius 3."""
    body = fused(box((0, 0, -10), (40, 30, 0)), cylinder(12, 15, 0, 6, 8))
    return cut(body, cylinder(30, 15, -11, 3, 12))


def at(solid, z: float) -> Region:
    outcome = section(solid, z, VOICE)
    assert outcome.value is not None, outcome.findings
    return outcome.value


def test_sections_are_exact() -> None:
    solid = read(step(plate()))
    assert at(solid, -5.0).area == pytest.approx(1200 - 9 * math.pi, abs=1e-6)
    boss = at(solid, 4.0)
    assert boss.area == pytest.approx(36 * math.pi, abs=1e-6)
    assert all(isinstance(s, Arc) and s.radius == pytest.approx(6) for s in boss.segments())


def test_at_a_level_face_the_section_is_that_just_below() -> None:
    solid = read(step(plate()))
    assert at(solid, 0.0).area == pytest.approx(1200 - 9 * math.pi, abs=1e-6)
    assert at(solid, 8.0).area == pytest.approx(36 * math.pi, abs=1e-6)


def test_beyond_its_ends_there_is_nothing() -> None:
    solid = read(step(plate()))
    outcome = section(solid, 9.0, VOICE)
    assert errors(outcome) == ["E724"] and "-10 mm to 8 mm" in outcome.findings[0].help
    assert errors(silhouette(solid, 8.0, VOICE)) == ["E724"]


def test_standing_features_have_their_own_tops() -> None:
    solid = read(step(plate()))
    features = standing(solid, -10.0)
    assert [(f.top, f.sloped) for f in features] == [(8.0, False), (0.0, False)]
    assert features[0].region.area == pytest.approx(36 * math.pi, abs=1e-6)
    # only what stands above the floor
    assert [f.top for f in standing(solid, 0.0)] == [8.0]


def test_one_piece_of_several_is_picked() -> None:
    solid = read(
        step(fused(box((0, 0, 0), (9, 9, 1)), box((1, 1, 1), (3, 3, 4)), box((5, 5, 1), (8, 8, 4))))
    )
    pieces = at(solid, 3.0)
    assert len(pieces.outlines) == 2
    one = piece_round(pieces, Point(6, 6), VOICE)
    assert one.value is not None and one.value.area == pytest.approx(9)
    assert errors(piece_round(pieces, Point(4, 4), VOICE)) == ["E726"]


def test_a_mushroom_is_as_wide_as_its_hat_and_its_stem_is_named() -> None:
    solid = read(step(fused(cylinder(0, 0, 0, 4, 10), cylinder(0, 0, 10, 9, 3))))
    shape = silhouette(solid, None, VOICE)
    assert shape.value is not None and shape.value.area == pytest.approx(81 * math.pi, abs=1e-3)
    assert at(solid, 5.0).area == pytest.approx(16 * math.pi, abs=1e-6)
    (feature,) = standing(solid, 0.0)
    assert feature.top == 13.0 and feature.region.area == pytest.approx(81 * math.pi, abs=1e-3)
    assert [u.what.split(":")[0] for u in uncut(faces_of(solid), 0.0)] == ["faces that look down"]


def test_a_slope_stands_from_its_foot_to_its_crest_and_is_named() -> None:
    solid = read(step(fused(box((-20, -20, -5), (20, 20, 0)), cone(0, 0, 0, 10, 5, 6))))
    sloped = [f for f in standing(solid, 0.0) if f.sloped]
    assert [f.top for f in sloped] == [6.0]
    assert sloped[0].region.area == pytest.approx(100 * math.pi, rel=1e-3)
    (found,) = uncut(faces_of(solid), 0.0)
    assert found.what.startswith("sloped") and (found.low, found.high) == (0.0, 6.0)


def test_a_boss_with_a_rounded_foot_stands_on_all_of_it() -> None:
    """Just above the floor the rounding is tangent to it: there the kernel finds no section."""
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepFilletAPI import BRepFilletAPI_MakeFillet
    from OCP.GeomAbs import GeomAbs_CurveType
    from OCP.TopAbs import TopAbs_ShapeEnum
    from OCP.TopoDS import TopoDS

    body = fused(box((-30, -30, -5), (30, 30, 0)), box((-10, -10, 0), (10, 10, 20)))
    fillet = BRepFilletAPI_MakeFillet(body)
    for shape in reading.parts(body, TopAbs_ShapeEnum.TopAbs_EDGE):
        edge = TopoDS.Edge(shape)
        curve = BRepAdaptor_Curve(edge)
        ends = [curve.Value(t) for t in (curve.FirstParameter(), curve.LastParameter())]
        straight = curve.GetType() == GeomAbs_CurveType.GeomAbs_Line
        if straight and all(abs(p.Z()) < 1e-9 and max(abs(p.X()), abs(p.Y())) < 11 for p in ends):
            fillet.Add(5.0, edge)
    solid = read(step(fillet.Shape()))
    features = standing(solid, 0.0)
    foot = max(features, key=lambda f: f.region.area)
    # 10 mm and the rounding's 5 on every side, less what is thinner than 0.03 mm at its toe
    x0, y0, x1, y1 = foot.region.bounds
    toe = math.sqrt(2 * 5 * 0.031)
    assert all(15 - toe <= side <= 15 for side in (-x0, -y0, x1, y1))
    assert foot.top == pytest.approx(5) and foot.sloped


def test_a_section_that_is_not_the_solids_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    from compiler.geometry import EMPTY
    from compiler.solid import cut as cutting

    solid = read(step(plate()))
    true = cutting._cut
    holeless = lambda s, z: Region(tuple(o for o in true(s, z).outlines if o.area > 0))  # noqa: E731
    for wrong in (holeless, lambda s, z: EMPTY):
        monkeypatch.setattr(cutting, "_cut", wrong)
        assert errors(section(solid, -5.0, VOICE)) == ["E727"]


def test_a_lying_cylinder_is_as_wide_as_its_axis() -> None:
    solid = read(step(fused(box((0, 0, 0), (30, 20, 2)), cylinder(5, 10, 6, 3, 20, (1, 0, 0)))))
    shape = silhouette(solid, 3.0, VOICE)
    assert shape.value is not None
    assert shape.value.area == pytest.approx(20 * 6, rel=1e-3)


def test_a_cylinder_aslant_is_covered_nearly_and_said_to_be(tmp_path) -> None:
    solid = read(step(fused(box((0, 0, -5), (40, 20, 0)), cylinder(10, 10, -2, 3, 15, (1, 0, 1)))))
    shape = silhouette(solid, 0.0, VOICE)
    assert shape.value is not None and [f.code for f in shape.findings] == ["W705"]
    _, y0, x1, y1 = shape.value.bounds
    # its axis leaves (10, 10, -2) and ends after 15 mm; the far end's disc leans by half a turn
    assert (y0, y1) == pytest.approx((7, 13), abs=0.05)
    assert x1 == pytest.approx(10 + (15 + 3) / math.sqrt(2), abs=0.05)


def test_a_silhouette_stops_at_its_floor() -> None:
    solid = read(step(plate()))
    shape = silhouette(solid, 0.0, VOICE)
    assert shape.value is not None and shape.value.area == pytest.approx(36 * math.pi, abs=1e-6)


@pytest.mark.parametrize(
    ("up", "size"),
    [
        ("z", (40, 30, 18)),
        ("-z", (40, 30, 18)),
        ("x", (18, 30, 40)),
        ("-x", (18, 30, 40)),
        ("y", (40, 18, 30)),
        ("-y", (40, 18, 30)),
    ],
)
def test_every_side_can_be_turned_up(up, size) -> None:
    solid = read(step(plate()))
    turned = laid(solid, VOICE, up=up, z0="bottom").value
    assert turned is not None
    box = turned.box
    assert (box[3] - box[0], box[4] - box[1], box[5] - box[2]) == pytest.approx(size, abs=1e-5)
    assert turned.bottom == pytest.approx(0, abs=1e-6)
    assert volume_of(turned.shape) == pytest.approx(volume_of(solid.shape))


def test_a_chosen_face_is_turned_up_and_is_z0() -> None:
    solid = read(step(plate()))
    under = laid(solid, VOICE, up_face=(20, 15, -10)).value
    assert under is not None
    assert (under.bottom, under.top) == pytest.approx((-18, 0), abs=1e-6)
    shifted = laid(solid, VOICE, z0=-10.0).value
    assert shifted is not None and shifted.top == pytest.approx(18)
    top = laid(solid, VOICE, z0="top").value
    assert top is not None and top.top == pytest.approx(0)


def test_a_ball_has_no_face_to_turn_up() -> None:
    from OCP.BRepPrimAPI import BRepPrimAPI_MakeSphere

    ball = read(step(BRepPrimAPI_MakeSphere(5.0).Shape()))
    assert errors(laid(ball, VOICE, up_face=(0, 0, 5))) == ["E725"]
    seen = silhouette(ball, None, VOICE)
    assert seen.value is not None and seen.value.area == pytest.approx(25 * math.pi, rel=1e-3)


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b" \n",
        b"0\nSECTION\n",
        b"ISO-10303-21;\nHEADER;\n",
        b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\nENDSEC;\nEND-ISO-10303-21;\n",
        b"ISO-10303-21;\n\x00\xff((((;\nEND-ISO-10303-21;\n",
    ],
)
def test_what_is_no_model_is_refused(data: bytes) -> None:
    assert errors(read_solid(data, VOICE)) == ["E721"]


def test_a_model_cut_short_is_refused() -> None:
    data = step(plate())
    for share in (0.2, 0.6, 0.95):
        assert errors(read_solid(data[: int(len(data) * share)], VOICE)) == ["E721"]


def test_a_model_with_a_record_missing_is_no_solid() -> None:
    lines = step(plate()).splitlines(keepends=True)
    without = [line for line in lines if b"CYLINDRICAL_SURFACE" not in line]
    assert len(without) < len(lines)
    outcome = read_solid(b"".join(without), VOICE)
    assert outcome.value is None and errors(outcome)[0] in ("E721", "E723")


def test_a_sheet_is_no_solid() -> None:
    from OCP.BRepBuilderAPI import BRepBuilderAPI_MakeFace
    from OCP.gp import gp_Pln

    sheet = BRepBuilderAPI_MakeFace(gp_Pln(), 0, 10, 0, 10).Face()
    assert errors(read_solid(step(sheet), VOICE)) == ["E723"]


def test_a_model_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "MAX_BYTES", 100)
    assert errors(read_solid(step(plate()), VOICE)) == ["E722"]


def test_without_the_kernel_the_way_to_it_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "kernel_there", lambda: False)
    outcome = read_solid(step(plate()), VOICE)
    assert errors(outcome) == ["E720"]
    assert ".[solid]" in outcome.findings[0].help


def test_inches_are_read_as_such() -> None:
    text = step(box((0, 0, 0), (2, 3, 4))).decode()
    si = "( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) )"
    assert si in text
    inch = text.replace(
        si,
        "( CONVERSION_BASED_UNIT('INCH',#9001) LENGTH_UNIT() NAMED_UNIT(#9002) )",
    ).replace(
        "ENDSEC;\nEND-ISO",
        "#9001 = LENGTH_MEASURE_WITH_UNIT(LENGTH_MEASURE(25.4),#9003);\n"
        "#9002 = DIMENSIONAL_EXPONENTS(1.,0.,0.,0.,0.,0.,0.);\n"
        "#9003 = ( LENGTH_UNIT() NAMED_UNIT(*) SI_UNIT(.MILLI.,.METRE.) );\nENDSEC;\nEND-ISO",
    )
    solid = read(inch.encode())
    assert solid.units == "inch"
    assert solid.box == pytest.approx((0, 0, 0, 2 * 25.4, 3 * 25.4, 4 * 25.4), abs=1e-5)


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    read_solid(
        b"ISO-10303-21;\nHEADER;\nENDSEC;\nDATA;\n#1=BAD(;\nENDSEC;\nEND-ISO-10303-21;\n", VOICE
    )
    read(step(plate()))
    told = capfd.readouterr()
    assert told.out == "" and told.err == ""
