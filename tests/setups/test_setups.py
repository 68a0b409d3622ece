"""Setups of one job: coordinates turned, finished features spared, hollows known, codes."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from two_sides import NO_DRILL, NO_FOOT, NO_HOLE, NO_ROUGH, NOT_TURNED, as_said, write

from compiler.road import Journey, go, judge_text, plan_job, prove_job
from compiler.spec.load import load_job

TOO_QUICK = (
    "to: -5, pattern: contour_parallel",
    "to: -5, pattern: contour_parallel, cutting: {feed: 60000}",
)
# the control's few decimals then move an arc of the first setup into the boss
TOO_COARSE = (
    "machine: machining_centre_small",
    "machine: {feed: {max: 8000}, spindle: {max_rpm: 8000, power: 5.5 kW}, program: {decimals: 1}}",
)


def codes(journey: Journey) -> list[str]:
    return [found.code for found in journey.findings]


def proven(spec: Path) -> tuple[Journey, ...]:
    journey = prove_job(spec, spec.parent)
    assert not journey.failed, [f.message for f in journey.findings]
    return journey.setups


@cache
def as_it_stands() -> tuple[Journey, ...]:
    """The job without any change, proven once: values, not changed."""
    with TemporaryDirectory() as folder:
        return proven(write(Path(folder)))


def edited(spec: Path, setup: str, old: str, new: str) -> Journey:
    """The evidence for a setup's program with one place changed."""
    text = next(s.written.text for s in as_it_stands() if s.job.setup.name == setup)
    assert re.search(old, text), old
    text = re.sub(old, new, text, count=1)
    read = load_job(spec, spec.parent)
    return go(read, lambda jobs: judge_text(jobs, text, setup))


def height_at(case, x: float, y: float) -> tuple[float, float]:
    """Top and bottom of the material at a place."""
    grid = case.cut.grid
    i, j = round((x - grid.x0) / grid.pitch), round((y - grid.y0) / grid.pitch)
    return float(case.cut.heights[j, i]), float(case.cut.bottoms[j, i])


def test_each_setup_has_its_program_and_all_is_proven() -> None:
    top, back = as_it_stands()
    assert top.report.held and back.report.held
    assert top.job.digest == back.job.digest
    assert back.job.setup.label == "setup 2 of 2, back"
    # the second begins with what the first left: over the boss all 12 mm, beside it 7
    assert height_at(back.case, 40, 20) == (0.0, -12.0)  # boss, X = 60 - 20, under the foot
    assert height_at(back.case, 30, 10) == (0.0, -7.0)
    assert height_at(back.case, 5, 5) == (-3.0, -7.0)


def test_a_hole_from_the_back_lands_where_the_drawing_says(tmp_path) -> None:
    """As drawn at X 10 Y 33: turned over Y on a block 60 wide that is X 50 Y 33."""
    spec = write(tmp_path, as_said("seen: as_drawn"))
    back = proven(spec)[1]
    assert "X50.0 Y33.0" in back.written.text
    assert height_at(back.case, 50, 33)[0] < -1e5  # right through
    assert height_at(back.case, 10, 33)[0] > -4
    # the foot was drawn at X 25 to 55, and stands at X 5 to 35 as seen from the back
    assert height_at(back.case, 8, 20)[0] == 0.0


@pytest.mark.parametrize(
    ("turned", "at"),
    [
        ("over_x", (10, 7)),  # Y 33 -> 40 - 33
        ("over_y", (50, 33)),
        ("over_y\n    quarter_turns: 1", (7, 50)),  # then (x, y) -> (40 - y, x)
        ("over_x\n    quarter_turns: 3", (7, 50)),  # (10, 7) -> (y, 60 - x)
    ],
)
def test_every_way_of_turning(tmp_path, turned: str, at: tuple[int, int]) -> None:
    spec = write(
        tmp_path,
        ("    turned: over_y\n", f"    turned: {turned}\n    seen: as_drawn\n"),
        NO_ROUGH,
    )
    back = proven(spec)[1]
    assert f"X{at[0]}.0 Y{at[1]}.0" in back.written.text
    # the boss of the first setup hangs where the turned drawing has it: thick there, thin beside
    x, y = {"over_x": (20, 20), "over_y": (40, 20)}.get(turned, (20, 40))
    assert height_at(back.case, x, y)[1] == -12.0


def test_datum_and_top_of_a_setup(tmp_path) -> None:
    spec = write(
        tmp_path,
        ("    turned: over_y\n", "    turned: over_y\n    top: 7\n    datum: {at: stock centre}\n"),
        ("to: -3, pattern", "to: 4, pattern"),
        ("to: -9}", "to: -2}"),
        ("    keep_regions: {foot: {", "    keep_regions: {foot: {top: 7, "),
    )
    back = proven(spec)[1]
    assert (back.part.stock_top, back.part.stock_bottom) == (7.0, -5.0)
    assert height_at(back.case, 40 - 30, 20 - 20) == (7.0, -5.0)
    assert height_at(back.case, 5 - 30, 5 - 20) == (4.0, 0.0)


def test_the_same_side_again_spares_what_stands(tmp_path) -> None:
    """Re-clamped: the boss of the first setup stands without being named, one floor deeper too."""
    spec = write(
        tmp_path,
        NOT_TURNED,
        NO_FOOT,
        ("to: -3, pattern", "to: -7, pattern"),
        NO_HOLE,
        NO_DRILL,
    )
    again = proven(spec)[1]
    assert [s.name for s in again.part.standing] == ["boss of top"]
    assert height_at(again.case, 20, 20)[0] == 0.0
    assert height_at(again.case, 40, 20)[0] == -7.0
    # only what the first setup left is cut: two millimetres of floor
    assert again.report.removed_mm3 == pytest.approx((60 * 40 - np.pi * 8**2) * 2, rel=0.002)


def test_a_cut_through_a_finished_floor_must_be_asked_for(tmp_path) -> None:
    deep = ("to: -3, pattern", "to: -8, pattern")
    assert codes(plan_job(write(tmp_path, deep), tmp_path)) == ["E360"]
    just = ("to: -3, pattern", "to: -7, pattern")
    assert codes(plan_job(write(tmp_path, just), tmp_path)) == ["E360"]
    asked = as_said("breaks_through: true")
    back = proven(write(tmp_path, deep, asked))[1]
    assert height_at(back.case, 5, 5)[0] < -1e5  # gone: only the foot and what it holds is left
    assert height_at(back.case, 30, 20) == (0.0, -7.0)
    # of the web's last millimetre below the boss's root nothing is touched beside its wall
    assert back.report.held


def test_a_region_over_the_floor_answers_for_it(tmp_path) -> None:
    """Where a region of the second setup stands over the hollow, going deep beside it is fine."""
    spec = write(
        tmp_path,
        ("{rectangle: {from: [25, 8], to: [55, 32]}}", "{rectangle: {from: [0, 0], to: [60, 40]}}"),
        NO_ROUGH,
    )
    assert proven(spec)[1].report.held


def test_a_region_cannot_stand_where_nothing_is_left(tmp_path) -> None:
    spec = write(tmp_path, NOT_TURNED)
    journey = prove_job(spec, tmp_path)
    assert "E361" in codes(journey)
    assert journey.job.setup.name == "back"


def test_a_program_that_touches_what_the_first_setup_finished(tmp_path) -> None:
    """Down through the web beside the drill's place: into the hollow, and on into the boss."""
    spec = write(tmp_path)
    floor = edited(spec, "back", r"Z-3\.0", "Z-7.500")
    assert {"E510", "E511"} <= set(codes(floor))
    assert any("floor of top" in f.message for f in floor.findings if f.code == "E510")


def test_a_program_that_cuts_into_the_boss_from_behind(tmp_path) -> None:
    """With breaking through allowed the floor is free, but the boss's wall is still spared."""
    spec = write(
        tmp_path,
        as_said("breaks_through: true"),
        NO_FOOT,
        ("to: -3, pattern", "to: -9, pattern"),
        NO_HOLE,
        NO_DRILL,
    )
    back = proven(spec)[1]
    assert [s.name for s in back.part.standing] == ["boss of top"]
    assert back.part.standing[0].top == -7.0
    text = back.written.text
    end = text.rindex("G0 Z")
    into = text[:end] + "G0 X30.0 Y5.0\nG1 Z-8.0 F100.0\nX40.0 Y20.0\n" + text[end:]
    read = load_job(spec, tmp_path)
    journey = go(read, lambda jobs: judge_text(jobs, into, "back"))
    assert "E510" in codes(journey)
    assert any("boss of top" in f.message for f in journey.findings)


def test_a_later_setup_is_not_begun_before_the_one_before_is_proven(tmp_path) -> None:
    spec = write(tmp_path, TOO_QUICK)
    journey = prove_job(spec, tmp_path)
    assert journey.failed and journey.job.setup.name == "top" and journey.before == ()


def test_build_writes_one_program_and_sheet_a_setup_and_one_report(standproud, tmp_path) -> None:
    spec = write(tmp_path)
    ran = standproud("build", spec)
    assert ran.status == 0, ran.err
    out = tmp_path / "out"
    names = {path.name for path in out.iterdir()}
    for setup in ("top", "back"):
        for kind in ("nc", "setup.pdf", "plan.json", "plan.svg", "material.svg"):
            assert f"two-sides.{setup}.{kind}" in names
    report = json.loads((out / "two-sides.report.json").read_text())
    assert report["version"] == "setups-report/1"
    assert [each["setup"] for each in report["setups"]] == ["top", "back"]
    assert set(report["outputs"]) == names - {"two-sides.report.json"}
    again = standproud("build", spec)
    assert "up to date" in again.out
    # words only: the report is renewed, nothing else
    spec.write_text("# a remark\n" + spec.read_text())
    assert standproud("build", spec, "--check").status == 1  # places of values moved
    assert standproud("build", spec).status == 0


def test_commands_ask_which_setup(standproud, tmp_path) -> None:
    spec = write(tmp_path)
    assert "E268" in standproud("plan", spec, "--stop-after", "program").err
    unknown = standproud("plan", spec, "--setup", "bak")
    assert unknown.status == 2 and "E269" in unknown.err and "did you mean `back`" in unknown.err
    program = tmp_path / "back.nc"
    program.write_text(standproud("plan", spec, "--stop-after", "program", "--setup", "back").out)
    assert standproud("verify", program, "--job", spec).status == 2
    good = standproud("verify", program, "--job", spec, "--setup", "back")
    assert good.status == 0 and "setup back" in good.out
    wrong = standproud("verify", program, "--job", spec, "--setup", "top")
    assert wrong.status == 1


def test_verify_judges_nothing_where_an_earlier_setup_is_not_proven(standproud, tmp_path) -> None:
    spec = write(tmp_path)
    program = tmp_path / "back.nc"
    program.write_text(standproud("plan", spec, "--stop-after", "program", "--setup", "back").out)
    write(tmp_path, TOO_COARSE)
    ran = standproud("verify", program, "--job", spec, "--setup", "back")
    assert ran.status == 1
    assert ran.out.endswith("back.nc: not judged, for setup top before it is not proven\n")
    assert "held" not in ran.out
    # what is told is of the first setup's own program: no line of the given text is shown
    assert "E510" in ran.err and "this block" not in ran.err and "back.nc" not in ran.err
    asked = ("verify", program, "--job", spec, "--setup", "back", "--format", "json")
    data = json.loads(standproud(*asked).out)
    assert data["not_proven_before"] == "top" and not data["proven"] and "report" not in data


def test_expand_says_each_setup_and_compiles_to_the_same(standproud, tmp_path) -> None:
    spec = write(tmp_path)
    text = standproud("expand", spec).out
    other = tmp_path / "expanded.yaml"
    other.write_text(text)
    one, two = load_job(spec, tmp_path).value, load_job(other, tmp_path).value
    assert one is not None and two is not None and one.job.digest == two.job.digest


def test_the_sheet_and_the_program_say_how_the_part_lies(standproud, tmp_path) -> None:
    spec = write(
        tmp_path,
        ("    turned: over_y\n", "    turned: over_y\n    quarter_turns: 3\n    seen: as_drawn\n"),
    )
    assert standproud("build", spec, "--sheet", "md").status == 0
    first = (tmp_path / "out" / "two-sides.top.setup.md").read_text()
    second = (tmp_path / "out" / "two-sides.back.setup.md").read_text()
    assert "SETUP 1 OF 2" in first and "nothing has been cut" in first
    assert "SETUP 2 OF 2" in second and "two-sides.back.nc" in second
    assert "Turned over about the Y axis" in second and "a quarter turn clockwise" in second
    assert "it was down in setup 1" in second
    assert "On the other side: boss of setup top, from Z -12 up to Z -7" in second
    program = (tmp_path / "out" / "two-sides.back.nc").read_text()
    assert "(setup: 2 of 2, back)" in program
    assert "turned over about Y, then 270 deg counter-clockwise" in program


def test_a_family_with_setups_and_a_member_that_changes_one_pass(tmp_path) -> None:
    text = write(tmp_path).read_text()
    body = text.split("\n", 2)[2]  # after spec and name
    job = "\n".join(f"  {line}" for line in body.splitlines())
    family = "spec: family/1\nname: two-sides\nparameters: {deep: {length: 3 mm}}\njob:\n"
    (tmp_path / "family.yaml").write_text(family + job.replace("to: -3,", 'to: "${ -deep }",'))
    member = tmp_path / "member.yaml"
    member.write_text(
        "spec: job/1\nname: shallow\nfrom: family.yaml\nwith: {deep: 2 mm}\n"
        "override: {setups: {back: {passes: {drill 1: {to: -8.5}}}}}\n"
    )
    read = load_job(member, tmp_path)
    assert not read.failed, [f.message for f in read.findings]
    top, back = read.value.jobs
    assert [p.to for p in top.passes] == [-5.0]
    assert [p.to for p in back.passes] == [-2.0, -8.5]
    member.write_text(member.read_text().replace("back:", "bak:"))
    (found,) = load_job(member, tmp_path).findings
    assert found.code == "E813" and "did you mean `back`" in found.help


def test_the_page_begins_with_what_the_first_setup_left() -> None:
    from compiler.road import blank_of
    from compiler.view.data import page_data

    top, back = as_it_stands()
    owners = tuple(back.written.line_owner)
    begins = blank_of(back.job, top)
    data = page_data(back.job, back.part, back.plan, back.report, back.written.text, owners, begins)
    cells = data["grid"]["nx"] * data["grid"]["ny"]
    assert data["job"]["title"].endswith("setup 2 of 2, back")
    bottoms = np.repeat(data["begins"]["bottoms"][0::2], data["begins"]["bottoms"][1::2])
    assert bottoms.size == cells
    assert set(bottoms.tolist()) == {-12000, -7000, 0}  # boss, floor, and beside the block
    held = np.repeat(
        [h is not None for h in data["begins"]["heights"][0::2]], data["begins"]["heights"][1::2]
    )
    share = (bottoms[held] == -12000).mean()
    assert share == pytest.approx(np.pi * 8**2 / (60 * 40), rel=0.01)


def test_a_difference_is_told_setup_by_setup(standproud, tmp_path) -> None:
    old, new = write(tmp_path), tmp_path / "new.yaml"
    new.write_text(old.read_text().replace("to: -3, pattern", "to: -3.5, pattern"))
    ran = standproud("diff", old, new, "--quick")
    assert "setup top" in ran.out and "setup back" in ran.out
    assert 'setups.back.passes["rough 1"].rough.to: -3 mm → -3.5 mm' in ran.out
    data = json.loads(standproud("diff", old, new, "--quick", "--format", "json").out)
    first, second = data["changed"]
    assert not first["operations"] and second["operations"]
