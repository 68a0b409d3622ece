"""Open lines of a drawing in a first job: rails where the side can be told, else named."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.diagnostics import Diagnostic
from compiler.geometry import Point
from compiler.geometry.combine import union
from compiler.geometry.inside import contains
from compiler.road import plan_job

sys.path.append(str(ROOT / "tests" / "drawing"))
from dxf_maker import as_bytes, document


def drawn(path: Path, *open_lines, hole: float = 0.0) -> Path:
    """A plate of 60 x 40 on PLATE, with open lines on FENCE."""
    made = document()
    model = made.modelspace()
    corners = [(0, 0), (60, 0), (60, 40), (0, 40)]
    model.add_lwpolyline(corners, close=True, dxfattribs={"layer": "PLATE"})
    if hole:
        model.add_circle((30, 20), hole, dxfattribs={"layer": "PLATE"})
    for line in open_lines:
        model.add_lwpolyline(line, dxfattribs={"layer": "FENCE"})
    path.write_bytes(as_bytes(made))
    return path


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lowered, not proven: the proof is other tests' business."""
    from compiler import road

    monkeypatch.setattr(road, "prove_job", road.plan_job)


def test_a_line_across_the_stock_is_a_rail_on_its_empty_side(standproud, tmp_path, quick) -> None:
    part = drawn(tmp_path / "part.dxf", [(-5, 50), (20, 50), (25, 55), (66, 55)])
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0 and "W715" not in ran.err, ran.err
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    # the stock ends where the rail does, and goes beyond it behind
    assert journey.loaded.job.stock.region.bounds == pytest.approx((-5, -3, 66, 58))
    (rail,) = [s for s in journey.part.standing if s.name == "rail"]
    assert rail.top == 0.0

    def stands(x: float, y: float) -> bool:
        return contains(rail.region, Point(x + 5, y + 3))  # from the stock's corner

    assert stands(10, 52) and stands(60, 57)
    assert not stands(10, 49) and not stands(30, 54)
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "on every side but left, right, where open lines end" in text


def test_a_rail_may_be_walked_up_or_down(standproud, tmp_path, quick) -> None:
    part = drawn(tmp_path / "part.dxf", [(70, -8), (70, 44)], [(-9, 44), (-9, -8)])
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    assert sorted(s.name for s in journey.part.standing) == ["plate", "rail 1", "rail 2"]
    assert journey.loaded.job.stock.region.bounds == pytest.approx((-12, -8, 73, 44))
    wide = 73 + 12
    rails = [s.region for s in journey.part.standing if s.name != "plate"]
    assert sorted(r.bounds[0] > wide / 2 for r in rails) == [False, True]
    assert all(not contains(r, Point(30 + 12, 20 + 8)) for r in rails)
    assert contains(union(*rails), Point(1, 20)) and contains(union(*rails), Point(wide - 1, 20))


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ([(5, 5), (50, 30)], "does not run from edge to edge"),
        ([(-5, 20), (65, 20)], "meets a closed loop"),
        ([(-5, 50), (30, 50)], "does not run from edge to edge"),
    ],
)
def test_a_line_that_is_no_rail_is_named(standproud, tmp_path, quick, line, why) -> None:
    part = drawn(tmp_path / "part.dxf", line)
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0
    assert "W715" in ran.err and why in ran.err and "FENCE" in ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "# CHECK, left out: the open line" in text and why in text
    assert "open: {" not in text
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None
    # what is left out does not make the stock larger
    assert journey.loaded.job.stock.region.bounds == pytest.approx((-3, -3, 63, 43))


def test_loops_on_both_sides_leave_it_untold(standproud, tmp_path, quick) -> None:
    made = document()
    model = made.modelspace()
    for x in (0, 50):
        corners = [(x, 0), (x + 30, 0), (x + 30, 40), (x, 40)]
        model.add_lwpolyline(corners, close=True, dxfattribs={"layer": "PLATE"})
    model.add_line((40, -5), (40, 45), dxfattribs={"layer": "FENCE"})
    (tmp_path / "part.dxf").write_bytes(as_bytes(made))
    ran = standproud("draft", tmp_path / "part.dxf", "-o", tmp_path / "job.yaml")
    assert ran.status == 0 and "closed loops on both sides" in ran.err


def test_a_draft_that_falls_short_says_so_and_stays(standproud, tmp_path) -> None:
    part = drawn(tmp_path / "part.dxf")
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml", "--thickness", "8", "--depth", "9")
    assert ran.status == 1
    assert "does not build" in ran.out and "E403" in ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "It does NOT build as it stands" in text and "It builds" not in text
    lines = text.splitlines()
    (first, *_) = [line for line in lines if line.startswith("# - line ")]
    assert "E403" in first and "raise `to` to -8 mm" in first
    # the line it names is the one at fault
    number = int(first.split("line ")[1].split(":")[0])
    assert "to: -9" in lines[number - 1]
    mended = text.replace("to: -9", "to: -4").replace("lowest_cut: -9.5", "lowest_cut: -4.5")
    (tmp_path / "job.yaml").write_text(mended, encoding="utf-8")
    assert standproud("check", tmp_path / "job.yaml").status == 0


def test_narrow_places_are_cleared_at_one_load(standproud, tmp_path, monkeypatch) -> None:
    """Where the proof finds a full slot at full feed, the same cutters clear it another way."""
    from compiler import road

    tried = []

    def proof(spec: Path, root: Path):
        text = spec.read_text(encoding="utf-8")
        tried.append(text.count("constant_engagement"))
        journey = plan_job(spec, root)
        if tried[-1]:
            return journey
        overload = Diagnostic(code="E514", message="`rough 1` cuts a full slot at full feed")
        return replace(journey, findings=(*journey.findings, overload))

    monkeypatch.setattr(road, "prove_job", proof)
    part = drawn(tmp_path / "part.dxf", hole=9.0)
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    assert tried[0] == 0 and tried[1] >= 1 and len(tried) == 2
    assert "pattern: constant_engagement" in (tmp_path / "job.yaml").read_text(encoding="utf-8")


SHOP = """spec: shop/1
units: mm
crib:
  em_12: {end_mill: {diameter: 12, flutes: 3, flute_length: 26, stickout: 36, material: carbide,
          centre_cutting: true}}
  em_3: {end_mill: {diameter: 3, flutes: 2, flute_length: 9, stickout: 14, material: carbide,
         centre_cutting: true}}
"""


def test_a_crib_that_does_not_reach_is_told(standproud, tmp_path, quick) -> None:
    part = drawn(tmp_path / "part.dxf")
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    ran = standproud(
        "draft", part, "-o", tmp_path / "job.yaml", "--thickness", "60", "--depth", "48"
    )
    assert ran.status == 0, ran.err
    assert "W716" in ran.err and "48 mm deep; the longest comes to 36 mm" in ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "no end mill of the crib reaches 48 deep" in text and "crib:" not in text
    assert "stickout: 66" in text  # 16 mm of diameter, 50 of flute


@pytest.mark.parametrize("round_island", [False, True])
def test_an_opening_that_no_cutter_enters_is_closed_and_named(
    standproud, tmp_path, round_island
) -> None:
    """A slot of 2 mm, or a ring of 2 mm round an island, with a cutter of 3 mm at the least."""
    made = document()
    model = made.modelspace()
    for corners in ([(0, 0), (60, 0), (60, 40), (0, 40)], [(9, 9), (30, 9), (30, 11), (9, 11)]):
        model.add_lwpolyline(corners, close=True, dxfattribs={"layer": "PLATE"})
    if round_island:
        model.add_circle((40, 25), 7, dxfattribs={"layer": "PLATE"})
        model.add_circle((40, 25), 5, dxfattribs={"layer": "PLATE"})
    (tmp_path / "part.dxf").write_bytes(as_bytes(made))
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    ran = standproud("draft", tmp_path / "part.dxf", "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert text.count("# CHECK, not cut: no cutter gets into the opening") == 1 + round_island
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    stands = union(*(s.region for s in journey.part.standing))
    assert stands.area == pytest.approx(60 * 40, abs=1e-6) and len(stands.outlines) == 1
