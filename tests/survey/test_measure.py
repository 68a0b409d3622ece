"""`measure`: sizes, loops, strays and tight places, as text, as data and as a picture."""

from __future__ import annotations

import json
import math
from pathlib import Path
from xml.etree import ElementTree

import pytest
from conftest import ROOT

DRAWING = ROOT / "specs" / "drawings" / "guider-plate.dxf"
MODEL = ROOT / "specs" / "drawings" / "guider-plate.step"
SAMPLES = ROOT.parent / "shared" / "data"

RING = math.pi * (22**2 - 12**2)
LUG = 16 * 26 + math.pi * 64


def data_of(ran) -> dict:
    assert ran.status == 0, ran.err
    return json.loads(ran.out)


def test_a_drawing_as_data(standproud) -> None:
    told = data_of(standproud("measure", DRAWING, "--format", "json"))
    assert told["version"] == "measure/1" and told["units"] == "mm"
    areas = [shape["area_mm2"] for shape in told["shapes"]]
    assert areas == pytest.approx([math.pi * 22**2, math.pi * 12**2, LUG, 20 * 6], abs=1e-4)
    assert [shape["depth"] for shape in told["shapes"]] == [0, 1, 0, 0]
    assert [o["length_mm"] for o in told["open"]] == [50]
    # each corner of the pad is 0.04 mm short on both sides
    assert told["gaps"]["count"] == 4
    assert told["gaps"]["largest_mm"] == pytest.approx(0.04 * math.sqrt(2), abs=1e-4)
    assert told["smallest_inside_radius"]["radius_mm"] == pytest.approx(12)
    assert told["smallest_inside_radius_but_circles"] is None  # only the bore is concave
    # from the ring's centre to the pad's nearest corner or side, less the ring's radius
    pad = math.hypot(46 - 35, 9 - 38) - 22
    assert told["narrowest_channel"]["width_mm"] == pytest.approx(pad, abs=1e-4)
    fits = {cutter["name"]: cutter["passes"] for cutter in told["cutters"]}
    assert fits["em_250_3fl"] and not fits["em_10mm_3fl"]


def test_a_drawing_in_words(standproud) -> None:
    told = standproud("measure", DRAWING)
    assert told.status == 0
    assert "overall: 76 mm x 57 mm, from [10, 3] to [86, 60]" in told.out
    assert "open a: from [10, 38] to [60, 38], 50 mm long" in told.out
    assert "  2 hole, a circle of 24 mm: " in told.out
    assert "1 TEXT left out: text" in told.out
    assert "narrowest channel: 9.016 mm" in told.out


def test_without_a_shop_it_says_so(standproud, tmp_path: Path) -> None:
    (tmp_path / "plate.dxf").write_bytes(DRAWING.read_bytes())
    told = standproud("measure", tmp_path / "plate.dxf")
    assert told.status == 0 and "no shop.yaml found; give one with `--shop`" in told.out
    assert "no shop.yaml" not in standproud("measure", DRAWING).out


def test_one_layer_of_it(standproud) -> None:
    told = data_of(standproud("measure", DRAWING, "--layer", "lug", "--format", "json"))
    assert [shape["area_mm2"] for shape in told["shapes"]] == pytest.approx([LUG], abs=1e-4)
    assert told["open"] == [] and told["narrowest_channel"] is None


def test_a_picture_of_it(standproud, tmp_path: Path) -> None:
    for file in (DRAWING, MODEL):
        if file is MODEL:
            pytest.importorskip("OCP", reason="the solid kernel is not installed")
        assert standproud("measure", file, "--picture", tmp_path / "m.svg").status == 0
        root = ElementTree.parse(tmp_path / "m.svg").getroot()
        assert sum(1 for _ in root.iter("{http://www.w3.org/2000/svg}path")) >= 4
        words = ["".join(t.itertext()) for t in root.iter("{http://www.w3.org/2000/svg}text")]
        told = data_of(standproud("measure", file, "--format", "json"))
        # the numbers of the text, the overall sizes, the narrowest channel
        for number in range(1, len(told["shapes"]) + 1):
            assert str(number) in words
        x0, y0, x1, y1 = told["overall_mm"]
        assert f"{x1 - x0:g}" in words and f"{y1 - y0:g}" in words
        assert f"{told['narrowest_channel']['width_mm']:.3f} mm" in words
        assert ("a" in words) == bool(told["open"])


def test_a_picture_as_png(standproud, tmp_path: Path) -> None:
    assert standproud("measure", DRAWING, "--picture", tmp_path / "m.png").status == 0
    assert (tmp_path / "m.png").read_bytes().startswith(b"\x89PNG\r\n\x1a\n")


def test_a_model_as_data(standproud) -> None:
    pytest.importorskip("OCP", reason="the solid kernel is not installed")
    told = data_of(standproud("measure", MODEL, "--format", "json"))
    assert told["overall_mm"] == pytest.approx([0, 0, 100, 70])
    assert told["height_mm"] == pytest.approx([-12, 0])
    shapes = [(shape["top_mm"], shape["area_mm2"]) for shape in told["shapes"]]
    tops, areas = zip(*shapes, strict=True)
    assert tops == pytest.approx((0, -2, -3))
    assert areas == pytest.approx((RING, LUG, 120), abs=1e-4)
    floor = 7000 - RING - LUG - 120
    levels = {(row["z_mm"], row["facing"]): row["area_mm2"] for row in told["levels"]}
    assert levels[-6.0, "up"] == pytest.approx(floor, abs=1e-3)


def test_the_public_bracket(standproud) -> None:
    bracket = SAMPLES / "dxf" / "AC1003_LINE_Example.dxf"
    if not bracket.exists():
        pytest.skip("the sample drawing is not here")
    told = data_of(standproud("measure", bracket, "--units", "inch", "--format", "json"))
    outline, hole = (shape["area_mm2"] / 25.4**2 for shape in told["shapes"])
    assert (outline, hole) == pytest.approx((3.142699082, math.pi * 0.09), abs=1e-6)
    assert told["smallest_inside_radius"]["radius_mm"] == pytest.approx(0.125 * 25.4, abs=1e-4)
    milled = told["smallest_inside_radius_but_circles"]
    assert milled == told["smallest_inside_radius"]
    assert len(told["open"]) == 3 and len(told["junctions_mm"]) == 2
    without = standproud("measure", bracket)
    assert without.status == 1 and "E703" in without.err and "3.625 x 1.625 inch" in without.err


@pytest.mark.parametrize(
    ("name", "content", "status", "code"),
    [
        ("gone.dxf", None, 2, "E601"),
        ("empty.dxf", b"", 1, "E701"),
        ("other.dxf", b"PK\x03\x04", 1, "E701"),
        ("empty.step", b"", 1, "E72"),
    ],
)
def test_what_cannot_be_measured(standproud, tmp_path, name, content, status, code) -> None:
    if content is not None:
        (tmp_path / name).write_bytes(content)
    ran = standproud("measure", tmp_path / name)
    assert ran.status == status and code in ran.err and "Traceback" not in ran.err


@pytest.mark.parametrize("end", [(0, 30), (30, 0)])
def test_a_picture_of_a_single_line(standproud, tmp_path: Path, end) -> None:
    tags = ["0", "SECTION", "2", "ENTITIES", "0", "LINE", "8", "A", "10", "0", "20", "0"]
    tags += ["11", str(end[0]), "21", str(end[1]), "0", "ENDSEC", "0", "EOF", ""]
    (tmp_path / "line.dxf").write_text("\n".join(tags), encoding="ascii")
    ran = standproud(
        "measure", tmp_path / "line.dxf", "--units", "mm", "--picture", tmp_path / "line.svg"
    )
    assert ran.status == 0 and (tmp_path / "line.svg").exists()
