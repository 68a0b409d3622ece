"""Which side of a drawing's loops is metal: frame, blank, what stands, openings, holes to drill."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.geometry import Point
from compiler.geometry.inside import contains
from compiler.road import plan_job
from compiler.survey.layer_names import said_by

sys.path.append(str(ROOT / "tests" / "drawing"))
from dxf_maker import as_bytes, document

SHOP = """spec: shop/1
units: mm
crib:
  em_6: {end_mill: {diameter: 6, flutes: 3, flute_length: 14, stickout: 22, material: carbide,
         centre_cutting: true}}
  dr_5: {drill: {diameter: 5, flute_length: 50, stickout: 60}}
  spot: {drill: {diameter: 8, flute_length: 12, stickout: 40, tip_angle: 90}}
"""


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lowered, not proven: the proof is other tests' business."""
    from compiler import road

    monkeypatch.setattr(road, "prove_job", road.plan_job)


def box(x0: float, y0: float, x1: float, y1: float) -> list[tuple[float, float]]:
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def drawing(path: Path, *items) -> Path:
    """A drawing of (layer, shape): corners, a circle (x, y, diameter), or a line's two ends."""
    made = document()
    model = made.modelspace()
    for layer, shape in items:
        on = {"layer": layer}
        if isinstance(shape, list) and len(shape) > 2:
            model.add_lwpolyline(shape, close=True, dxfattribs=on)
        elif isinstance(shape, list):
            model.add_line(*shape, dxfattribs=on)
        else:
            model.add_circle(shape[:2], shape[2] / 2, dxfattribs=on)
    path.write_bytes(as_bytes(made))
    return path


OUTLINE = ("OUTLINE", box(0, 0, 100, 60))
BOSS = ("RAISED", (30, 30, 20))
PAD = ("RAISED", box(60, 15, 80, 40))
HOLE = ("HOLES", (10, 10, 5))
FRAME = ("TITLE", box(-20, -30, 130, 90))
RAIL = ("RAIL", [(0, 52), (100, 52)])


def roles(standproud, file: Path, *more) -> list[str]:
    ran = standproud("measure", file, "--format", "json", *more)
    assert ran.status == 0, ran.err
    shapes = json.loads(ran.out)["shapes"]
    return [f"{s['layers'][0]} {s['role']}" for s in shapes]


def test_bosses_in_an_outline_stand_and_the_outline_is_the_blank(
    standproud, tmp_path, quick
) -> None:
    part = drawing(tmp_path / "p.dxf", FRAME, OUTLINE, BOSS, PAD, HOLE, RAIL)
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    assert "on OUTLINE goes round all others: taken as the blank" in ran.err
    assert "on TITLE goes round everything" in ran.err and ran.err.count("W717") == 2
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "# CHECK how the outlines were read" in text and "`--blank none`" in text
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    assert journey.loaded.job.stock.region.bounds == pytest.approx((0, 0, 100, 60))

    def stands(x: float, y: float) -> bool:
        return any(contains(s.region, Point(x, y)) for s in journey.part.standing)

    assert stands(30, 30) and stands(70, 30)  # boss, pad
    assert stands(50, 57)  # behind the rail, which ends on the blank's edges
    assert not stands(50, 10) and not stands(45, 30) and not stands(50, 50)  # the plate's floor
    assert not stands(10, 10)  # a hole is no pin
    (drill,) = [p for p in journey.loaded.job.passes if p.kind == "drill"]
    assert drill.at == (Point(10, 10),)


def test_the_other_way_round_is_one_word(standproud, tmp_path) -> None:
    part = drawing(tmp_path / "p.dxf", FRAME, OUTLINE, BOSS, PAD)
    auto = roles(standproud, part)
    assert auto == ["TITLE frame", "OUTLINE blank", "RAISED stands", "RAISED stands"]
    none = roles(standproud, part, "--blank", "none")
    assert none == ["TITLE frame", "OUTLINE stands", "RAISED opening", "RAISED opening"]
    frame = roles(standproud, part, "--blank", "title")
    assert frame[:2] == ["TITLE blank", "OUTLINE stands"]
    ran = standproud("measure", part, "--blank", "NOWHERE")
    assert ran.status == 1 and "E705" in ran.err and "`OUTLINE`" in ran.err


@pytest.mark.parametrize(
    ("items", "told"),
    [
        # a ring, or a plate with holes and pockets
        ([("0", (0, 0, 60)), ("0", (0, 0, 30))], ["0 stands", "0 opening"]),
        ([("PLATE", box(0, 0, 60, 40)), HOLE], ["PLATE stands", "HOLES hole"]),
        (
            [OUTLINE, ("POCKET", box(20, 20, 40, 40)), HOLE],
            ["OUTLINE stands", "POCKET opening", "HOLES hole"],
        ),
        # a bore in a boss; a hole in it; what nothing is said of is not cut
        (
            [OUTLINE, BOSS, ("RAISED", (30, 30, 8))],
            ["OUTLINE blank", "RAISED stands", "RAISED opening"],
        ),
        (
            [OUTLINE, BOSS, ("DRILL", (30, 30, 8))],
            ["OUTLINE blank", "RAISED stands", "DRILL hole"],
        ),
        (
            [OUTLINE, BOSS, ("STEP", (30, 30, 8))],
            ["OUTLINE blank", "RAISED stands", "STEP left out"],
        ),
        # a circle on the blank's own layer, beside bosses: neither pin nor opening
        ([OUTLINE, BOSS, ("OUTLINE", (10, 10, 5))], ["OUTLINE blank", *2 * ["RAISED stands"]]),
        # nothing goes round all: as many parts as there are outermost loops
        (
            [BOSS, PAD, ("RAISED", (30, 30, 8))],
            ["RAISED stands", "RAISED stands", "RAISED opening"],
        ),
        # a step on a boss is no opening in it
        ([("BOSS", (0, 0, 60)), ("STEP", (0, 0, 30))], ["BOSS stands", "STEP left out"]),
        # an unnamed rectangle round a named outline; a stock that says so
        (
            [("0", box(-9, -9, 120, 80)), OUTLINE, BOSS],
            ["0 frame", "OUTLINE blank", "RAISED stands"],
        ),
        (
            [("STOCK", box(-9, -9, 120, 80)), ("PART", box(0, 0, 100, 60)), BOSS],
            ["STOCK blank", "PART stands", "RAISED left out"],
        ),
    ],
)
def test_what_each_loop_is_taken_for(standproud, tmp_path, items, told) -> None:
    part = drawing(tmp_path / "p.dxf", *items)
    found = roles(standproud, part)
    if ("OUTLINE", (10, 10, 5)) in items:
        assert sorted(found) == ["OUTLINE blank", "OUTLINE left out", "RAISED stands"]
        return
    assert sorted(found) == sorted(told)


def test_a_ring_is_told_as_one_that_could_be_a_blank(standproud, tmp_path, quick) -> None:
    part = drawing(tmp_path / "p.dxf", ("0", (0, 0, 60)), ("0", (0, 0, 30)))
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    assert "taken as what stands" in ran.err and "`--blank 0`" in ran.err


def test_a_round_blank_is_taken_from_the_drawing(standproud, tmp_path, quick) -> None:
    part = drawing(tmp_path / "p.dxf", ("OUTLINE", (0, 0, 80)), ("BOSS", (0, 0, 20)))
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    assert journey.loaded.job.stock.region.area == pytest.approx(3.141592653589793 * 1600)


@pytest.mark.parametrize("size", [4, 8])
def test_a_hole_that_no_drill_makes_is_left_out_and_named(
    standproud, tmp_path, quick, size
) -> None:
    """None of 4 mm is in the crib; that of 8 mm is for spots."""
    part = drawing(tmp_path / "p.dxf", OUTLINE, BOSS, ("HOLES", (10, 10, size)))
    (tmp_path / "shop.yaml").write_text(SHOP, encoding="utf-8")
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    assert "W718" in ran.err and f"1 circle of {size} mm on HOLES, at [10, 10]" in ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "# CHECK, left out: 1 circle" in text and "holes" not in text and "drill: {" not in text


def test_a_built_in_machine_says_why_it_is_proposed(standproud, tmp_path, quick) -> None:
    for size, name in ((100, "bench_mill"), (350, "knee_mill")):
        part = drawing(tmp_path / "p.dxf", ("RAISED", box(0, 0, size, 60)))
        ran = standproud("draft", part, "-o", tmp_path / f"{name}.yaml")
        assert ran.status == 0, ran.err
        text = (tmp_path / f"{name}.yaml").read_text(encoding="utf-8")
        takes = f"takes {size + 46} mm x 106 mm"
        assert f"machine: {name}" in text and takes in text and "machining_centre_small" in text


def test_a_small_circle_that_stands_is_questioned(standproud, tmp_path, quick) -> None:
    part = drawing(tmp_path / "p.dxf", OUTLINE, BOSS, ("PINS", (10, 10, 5)))
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    (line,) = [row for row in text.splitlines() if "a hole? then `drill:`" in row]
    assert line.lstrip().startswith("pins:") and "a circle of 5 mm" in line


def test_a_small_circle_in_a_boss_is_questioned(standproud, tmp_path, quick) -> None:
    part = drawing(tmp_path / "p.dxf", OUTLINE, BOSS, ("RAISED", (30, 30, 8)))
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "a circle of 8 mm in it is milled to the floor: a hole? then `drill:`" in text


def test_a_line_that_stops_short_of_the_blanks_edge_says_by_how_much(
    standproud, tmp_path, quick
) -> None:
    part = drawing(tmp_path / "p.dxf", OUTLINE, BOSS, ("RAIL", [(0, 52), (99.9, 52)]))
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml")
    assert ran.status == 0, ran.err
    assert "W715" in ran.err and "0.1 mm from its edge" in ran.err


def test_a_rail_that_is_outermost_gets_stock_to_stand_in(standproud, tmp_path, quick) -> None:
    part = drawing(tmp_path / "p.dxf", BOSS, PAD, RAIL)
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml", "--margin", "0")
    assert ran.status == 0, ran.err
    journey = plan_job(tmp_path / "job.yaml", tmp_path)
    assert journey.part is not None, journey.findings
    assert journey.loaded.job.stock.region.bounds == pytest.approx((0, 15, 100, 55))
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "and 3 back, where a rail stands" in text


def test_what_layers_are_named_by() -> None:
    told = ["HOLES", "drill_5", "THRU-HOLES", "WHOLE", "BORDER", "BORE", "RAISED", "0", "TAPER"]
    words = ["hole", "hole", "hole", "", "sheet", "opening", "stands", "", ""]
    assert [said_by([name]) for name in told] == words
    assert said_by(["HOLES", "RAISED"]) == "" and said_by(["RIB", "RAISED"]) == "stands"
