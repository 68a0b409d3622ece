"""`build --prove-out`: a second program, raised or slowed, and that none takes it for the first."""

from __future__ import annotations

import json
from itertools import pairwise
from pathlib import Path

import pytest

from compiler.prove_out.motions import into_air, raised, slowed
from compiler.read import Motion, read
from compiler.road import Journey, prove_job

JOB = """
spec: job/1
name: pier-plate
units: mm
machine: {machine}
material: aluminium_6061
stock: {{outline: {{rectangle: {{from: [0, 0], to: [60, 40]}}}}, thickness: 12}}
keep_regions: {{boss: {{circle: {{centre: [30, 20], diameter: 16}}}}}}
tools:
  T1: {{end_mill: {{diameter: 10, flutes: 3, flute_length: 22, stickout: 30, material: carbide}}}}
  T2: {{drill: {{diameter: 4, flute_length: 30, stickout: 40, material: hss}}}}
passes:
  - rough: {{tool: T1, to: -3, allowance: {{wall: 0.2}}}}
  - finish_walls: {{tool: T1, compensation: control}}
  - drill: {{tool: T2, to: -8, cycle: peck, at: [[30, 20]]}}
"""
MILL = (
    "{spindle: {max_rpm: 8000, power: 3 kW}, feed: {max: 3000}, axes: {x: 400, y: 300, z: 300}, "
    "program: {%s}}"
)


def job(folder: Path, machine: str = "machining_centre_small") -> Path:
    file = folder / "pier-plate.yaml"
    file.write_text(JOB.format(machine=machine), encoding="utf-8")
    return file


@pytest.fixture(scope="module")
def journey(tmp_path_factory: pytest.TempPathFactory) -> Journey:
    folder = tmp_path_factory.mktemp("plate")
    made = prove_job(job(folder), folder)
    assert made.report is not None and made.report.held
    return made


def built(folder: Path, name: str = "pier-plate") -> tuple[str, str, dict]:
    """The real program, the one to try it with, and the report."""
    out = folder / "out"
    report = json.loads((out / f"{name}.report.json").read_text())
    return (out / f"{name}.nc").read_text(), (out / f"{name}.prove-out.nc").read_text(), report


def motions_of(text: str) -> tuple[Motion, ...]:
    outcome = read(text, offsets={1: 0.0})
    assert outcome.value is not None, outcome.findings
    return outcome.value.motions


def test_raised_it_is_the_same_path_above_everything(standproud, tmp_path: Path) -> None:
    ran = standproud("build", job(tmp_path), "--prove-out")
    assert ran.status == 0, ran.err
    real, tried, report = built(tmp_path)
    facts = report["prove_out"]
    below = motions_of(real)
    above = motions_of(tried)
    # the change height keeps within the machine's travel, so rapids to it may differ
    fed = [[m for m in found if m.kind != "rapid"] for found in (below, above)]
    assert len(fed[0]) == len(fed[1])
    for low, high in zip(*fed, strict=True):
        assert (low.end.x, low.end.y, low.centre) == (high.end.x, high.end.y, high.centre)
        assert high.end.z == pytest.approx(low.end.z + facts["raised_mm"], abs=1e-9)
        assert low.state.feed == high.state.feed and low.state.rpm == high.state.rpm
    heights = [z for m in above for z in (m.start.z, m.end.z) if z == z]
    assert min(heights) > 0  # the stock's top
    assert min(heights) == pytest.approx(facts["room_mm"], abs=1e-3)


def test_the_real_program_is_the_same_bytes_with_and_without(standproud, tmp_path: Path) -> None:
    alone, beside = tmp_path / "alone", tmp_path / "beside"
    alone.mkdir(), beside.mkdir()
    standproud("build", job(alone))
    standproud("build", job(beside), "--prove-out", "--stops")
    real = (alone / "out" / "pier-plate.nc").read_bytes()
    assert real == (beside / "out" / "pier-plate.nc").read_bytes()


def test_it_is_marked_first_of_all_and_says_which_one_is_real(standproud, tmp_path: Path) -> None:
    standproud("build", job(tmp_path), "--prove-out", "--sheet", "both")
    real, tried, report = built(tmp_path)
    assert tried.startswith("(PROVE-OUT PROGRAM: raised by ")
    assert "PROVE-OUT" not in real
    assert report["program_digest"][:16] in "".join(tried.split("\n")[:4])
    assert "(end of the prove-out program)" in tried
    sheet = (tmp_path / "out" / "pier-plate.setup.md").read_text()
    assert "not the one to cut parts with" in sheet
    assert report["prove_out"]["program_digest"][:16] in sheet


def test_a_control_that_keeps_programs_by_number_gets_two_numbers(
    standproud, tmp_path: Path
) -> None:
    mill = MILL % "standard: iso6983, program_number: 9412"
    standproud("build", job(tmp_path, mill), "--prove-out")
    real, tried, report = built(tmp_path)
    assert "O9412\n" in real and "O9412" not in tried
    assert "O8412\n" in tried and report["prove_out"]["program_number"] == 8412


def test_without_comments_a_warning_says_so(standproud, tmp_path: Path) -> None:
    ran = standproud("build", job(tmp_path, MILL % "comments: none"), "--prove-out")
    assert ran.status == 0 and "W560" in ran.err


def test_a_stated_height_is_taken_and_one_too_low_refused(standproud, tmp_path: Path) -> None:
    spec = job(tmp_path)
    assert standproud("build", spec, "--prove-out", "--raise", "1.5 in").status == 0
    assert built(tmp_path)[2]["prove_out"]["raised_mm"] == pytest.approx(38.1)
    assert standproud("build", spec, "--prove-out", "--raise", "30").status == 0
    ran = standproud("build", spec, "--prove-out", "--raise", "2 mm")
    assert ran.status == 1 and "E560" in ran.err and "raise it by 11 mm or more" in ran.err
    assert built(tmp_path)[2]["prove_out"]["raised_mm"] == 30  # the last good one stays
    assert "E560" in standproud("build", spec, "--prove-out", "--raise", "2 furlongs").err


def test_higher_than_the_machine_travels_is_refused(standproud, tmp_path: Path) -> None:
    spec = job(tmp_path, MILL % "")  # 300 mm of travel in Z, for both programs with the same tools
    assert standproud("build", spec, "--prove-out", "--raise", "200 mm").status == 0
    ran = standproud("build", spec, "--prove-out", "--raise", "280 mm")
    assert ran.status == 1 and "E560" in ran.err and "300 mm" in ran.err


def test_slowed_it_cuts_at_a_part_of_every_feed_and_holds_all(standproud, tmp_path: Path) -> None:
    assert standproud("build", job(tmp_path), "--prove-out", "--slow", "25%").status == 0
    real, tried, report = built(tmp_path)
    for fast, slow in zip(motions_of(real), motions_of(tried), strict=True):
        assert fast.end == slow.end or (fast.end.x != fast.end.x and slow.end.x != slow.end.x)
        if fast.kind != "rapid":
            assert slow.state.feed == pytest.approx(fast.state.feed / 4, abs=0.06)
    assert len(report["prove_out"]["held"]) == 11
    assert report["prove_out"]["time_s"] > report["time_s"]


def test_stops_stand_before_each_tool_and_above_each_first_place(
    standproud, tmp_path: Path
) -> None:
    standproud("build", job(tmp_path), "--prove-out", "--stops")
    _, tried, _ = built(tmp_path)
    lines = tried.splitlines()
    assert lines.count("M0") == 2 + 3  # tools, operations
    assert all(lines[k - 1] == "M0" for k, line in enumerate(lines) if line.endswith("M6"))
    program = read(tried, offsets={1: 0.0}).value
    assert program is not None
    heights = [b.motions[-1].end.z for b in program.blocks if b.motions]
    assert heights
    for before, block in pairwise(program.blocks):
        if block.says("M", 0) and before.motions:
            assert before.motions[-1].end.z >= 2.5  # never down in the work


@pytest.mark.parametrize(
    "arguments",
    [
        ("--raise", "30 mm"),
        ("--slow", "20"),
        ("--stops",),
        ("--prove-out", "--raise", "3", "--slow", "20"),
    ],
)
def test_options_that_make_no_sense_end_with_2(standproud, tmp_path: Path, arguments) -> None:
    ran = standproud("build", job(tmp_path), *arguments)
    assert ran.status == 2 and "E660" in ran.err
    assert standproud("build", job(tmp_path), "--prove-out", "--slow", "150").status == 2


def test_a_build_knows_whether_it_has_the_one_that_is_wanted(standproud, tmp_path: Path) -> None:
    spec, program = job(tmp_path), tmp_path / "out" / "pier-plate.prove-out.nc"
    standproud("build", spec, "--prove-out")
    assert "up to date" in standproud("build", spec, "--prove-out").out
    assert "up to date" not in standproud("build", spec, "--prove-out", "--stops").out
    assert program.exists()
    standproud("build", spec)
    assert not program.exists()  # it would be the trial of some other build


def test_raising_moves_holes_too(journey: Journey) -> None:
    assert journey.motions and journey.job and journey.part
    up = raised(journey.motions, 10.0)
    (before,), (after,) = journey.motions.paths[-1].holes, up.paths[-1].holes
    assert after.retract == pytest.approx(before.retract + 10)
    assert after.bottom == pytest.approx(before.bottom + 10)
    assert after.peck == before.peck
    needed = into_air(journey.job, journey.part, journey.motions)
    assert needed == 11.0  # 8 deep, the point of a 4 mm drill 1.202, approach 1.3, in whole mm


def test_slowing_leaves_the_path_alone(journey: Journey) -> None:
    assert journey.motions
    slow = slowed(journey.motions, 0.5)
    for a, b in zip(journey.motions.paths, slow.paths, strict=True):
        assert [m.to for m in a.moves] == [m.to for m in b.moves]
