"""Lengths on the command line: in the drawing's units when they are bare, else in their own."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.road import plan_job

sys.path.append(str(ROOT / "tests" / "drawing"))
from dxf_maker import as_bytes, document


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> None:
    """Lowered, not proven: the proof is other tests' business."""
    from compiler import road

    monkeypatch.setattr(road, "prove_job", road.plan_job)


def plate(path: Path, inch: bool) -> Path:
    """A square of 3 inches, drawn in inches or in mm."""
    side = 3.0 if inch else 76.2
    made = document(1 if inch else 4)
    corners = [(0, 0), (side, 0), (side, side), (0, side)]
    made.modelspace().add_lwpolyline(corners, close=True, dxfattribs={"layer": "BOSS"})
    path.write_bytes(as_bytes(made))
    return path


@pytest.mark.parametrize(
    ("inch", "thickness", "mm"),
    [
        (True, "0.5", 12.7),
        (True, "1/2 in", 12.7),
        (True, "12.7mm", 12.7),
        (False, "12", 12.0),
        (False, "0.5in", 12.7),
        (False, '0.5"', 12.7),
    ],
)
def test_a_length_is_in_the_units_that_it_says(
    standproud, tmp_path, quick, inch, thickness, mm
) -> None:
    part = plate(tmp_path / "p.dxf", inch)
    job = tmp_path / "job.yaml"
    ran = standproud("draft", part, "-o", job, "--thickness", thickness, "--margin", "10mm")
    assert ran.status == 0, ran.err
    assert "W719" not in ran.err
    journey = plan_job(job, tmp_path)
    assert journey.loaded is not None
    stock = journey.loaded.job.stock
    assert stock.thickness == pytest.approx(mm)
    # an inch job has four decimals
    assert stock.region.bounds == pytest.approx((-10, -10, 86.2, 86.2), abs=0.0013)


def test_a_gap_is_joined_in_the_drawings_units(standproud, tmp_path) -> None:
    made = document(1)
    ends = [(0, 0), (3, 0), (3, 3), (0, 3), (0, 0.02)]
    made.modelspace().add_lwpolyline(ends)
    (tmp_path / "p.dxf").write_bytes(as_bytes(made))
    for gap, loops in (("0.03", True), ("0.03mm", False)):
        ran = standproud("measure", tmp_path / "p.dxf", "--join-gap", gap)
        assert ("loops: none" not in ran.out) == loops, gap


def test_a_blank_thinner_than_a_millimetre_is_questioned(standproud, tmp_path, quick) -> None:
    part = plate(tmp_path / "p.dxf", True)
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml", "--thickness", "0.5 mm")
    assert "W719" in ran.err and "the blank is 0.0197 in thick" in ran.err


@pytest.mark.parametrize("wrong", ["thick", "5 furlong", "0", "-3", "nan"])
def test_what_is_no_length_is_refused_in_words(standproud, tmp_path, wrong) -> None:
    part = plate(tmp_path / "p.dxf", True)
    ran = standproud("draft", part, "-o", tmp_path / "job.yaml", f"--thickness={wrong}")
    assert ran.status == 2 and not (tmp_path / "job.yaml").exists()
    assert "length" in ran.err and "invalid float" not in ran.err
