"""Several parts on one table: a grid in one work offset, or an offset for each part."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from four_shoes import GRID, write

from compiler.road import Journey, go, judge_text, plan_job, prove_job
from compiler.spec.load import load_job


def proven(spec: Path) -> Journey:
    journey = prove_job(spec, spec.parent)
    assert not journey.failed, [f.message for f in journey.findings]
    assert journey.report is not None and journey.report.held
    return journey


def judged(spec: Path, text: str) -> list[str]:
    """Codes of what is broken in a text."""
    read = load_job(spec, spec.parent)
    return [found.code for found in go(read, lambda jobs: judge_text(jobs, text)).findings]


def calls(text: str) -> list[str]:
    """The tools as they are called."""
    return re.findall(r"(T\d+) M6", text)


def one_part(tmp_path: Path) -> Journey:
    folder = tmp_path / "one"
    folder.mkdir()
    return proven(write(folder, (GRID + "\n", "")))


def test_a_grid_cuts_all_of_them_with_each_tool_called_once(tmp_path) -> None:
    four, one = proven(write(tmp_path)), one_part(tmp_path)
    assert calls(four.written.text) == ["T1", "T2"]
    assert four.report.removed_mm3 == pytest.approx(4 * one.report.removed_mm3, rel=2e-3)
    for x, y in ((20, 15), (90, 15), (20, 75), (90, 75)):
        assert re.search(rf"X{x}\.0 Y{y}\.0|X{x}\.0\n|Y{y}\.0\n", four.written.text)
    # the places of the drilled holes, as they are read back and cut
    grid, heights = four.case.cut.grid, four.case.cut.heights
    for x, y in ((20, 15), (90, 15), (20, 75), (90, 75)):
        i, j = round((x - grid.x0) / grid.pitch), round((y - grid.y0) / grid.pitch)
        assert heights[j, i] < -6
    assert four.plan.parts.order == "by_tool" and four.plan.parts.tool_changes == 2


def test_the_saving_is_that_of_the_tool_changes(tmp_path) -> None:
    """By hand, out of the machine's own figure: 8 changes part by part, 2 by tool."""
    by_tool = proven(write(tmp_path))
    folder = tmp_path / "by_part"
    folder.mkdir()
    by_part = proven(write(folder, ("pitch: [70, 60]}", "pitch: [70, 60]}, order: by_part")))
    assert calls(by_part.written.text) == ["T1", "T2"] * 4
    change = by_tool.job.machine.change_time
    shorter = by_part.report.time_s - by_tool.report.time_s
    assert shorter == pytest.approx(6 * change, abs=0.03 * 6 * change)
    # what the plan says before a motion is planned: ways are reckoned, lifts not counted
    assert by_tool.plan.parts.saved_s == pytest.approx(shorter, rel=0.04)
    assert by_part.plan.parts.saved_s == -by_tool.plan.parts.saved_s


def test_where_changes_cost_nothing_each_part_is_finished_first(tmp_path) -> None:
    machine = (
        "{axes: {x: 500, y: 300, z: 300}, spindle: {max_rpm: 8000}, feed: {max: 3000, rapid: 5000},"
        " tool_change: automatic, change_time: 0}"
    )
    journey = plan_job(write(tmp_path, ("machine: knee_mill", f"machine: {machine}")), tmp_path)
    assert journey.plan.parts.order == "by_part"
    assert any("longer" in said for said in journey.plan.parts.reasons)


def test_a_work_offset_each_goes_over_the_top(tmp_path) -> None:
    spec = write(tmp_path, (GRID, "parts: {work_offsets: [G54, G55, G57]}"))
    journey = proven(spec)
    text = journey.written.text
    assert {"G54", "G55", "G57"} <= set(text.split())
    # into another offset only from the top of Z, and there across before down
    blocks = [line for line in text.splitlines() if line and not line.startswith("(")]
    current = "G54"
    for k, block in enumerate(blocks):
        if block in ("G54", "G55", "G57") and block != current:
            current = block
            around = " ".join(blocks[max(0, k - 1) : k + 6])
            assert "G0 G53 Z0" in around
            after = blocks[k:]
            across = next(i for i, b in enumerate(after) if b.startswith("G0 X"))
            down = next(i for i, b in enumerate(after) if re.match(r"G0 (G43 H\d+ )?Z", b))
            assert across < down
    # every part is cut by the same numbers, each in its own offset
    assert text.count("X20.0 Y15.0") == 3
    assert not journey.plan.parts.is_said and journey.plan.parts.beside_mm > 5


def test_places_that_are_said_are_held_against_each_other(tmp_path) -> None:
    said = "parts: {work_offsets: [G54, G55], places: [[0, 0], [70, 5]]}"
    journey = proven(write(tmp_path, (GRID, said)))
    low, high = journey.case.part.stock.bounds[0], journey.case.part.stock.bounds[2]
    assert (low, high) == (0.0, 110.0)
    fits = next(o for o in journey.report.obligations if o.name == "machine_fits")
    span = re.search(r"X (\d+\.\d+) mm", fits.what)
    assert span is not None and float(span[1]) > 110  # of both


def test_harm_to_another_part_is_caught(tmp_path) -> None:
    """Across to the next part at depth; and a part that is left out."""
    spec = write(tmp_path)
    text = proven(spec).written.text
    start = text.index("(operation rough 1: rough, T1, part 2)")
    lift = text.rindex("G0 Z", 0, start)
    low = text[lift:].replace("G0 Z2.5", "G0 Z-3.9", 2)
    assert "E512" in judged(spec, text[:lift] + low)
    third = text.index("(operation rough 1: rough, T1, part 3)")
    assert "E518" in judged(spec, text[:start] + text[third:])


def test_the_wrong_offset_is_caught(tmp_path) -> None:
    spec = write(tmp_path, (GRID, "parts: {work_offsets: [G54, G55]}"))
    text = proven(spec).written.text
    assert "E519" in judged(spec, text.replace("G55", "G56"))
    assert "E518" in judged(spec, text.replace("\nG55\n", "\nG54\n", 1))


@pytest.mark.parametrize(
    ("parts", "code"),
    [
        ("parts: {grid: {count: [1, 1], pitch: [70, 60]}}", "E265"),
        ("parts: {grid: {count: [2, 2], pitch: [70, 60]}, places: [[0, 0], [1, 1]]}", "E265"),
        ("parts: {work_offsets: [G54, G54]}", "E265"),
        ("parts: {work_offsets: [G55, G56]}", "E265"),
        ("parts: {work_offsets: [G54, G55], places: [[0, 0], [70, 0], [0, 60]]}", "E265"),
        ("parts: {grid: {count: [2, 1], pitch: [45, 60]}}", "E266"),
        ("parts: {grid: {count: [2, 1], pitch: [35, 60]}}", "E266"),
        ("parts: {grid: {count: [9, 1], pitch: [120, 60]}}", "E517"),
    ],
)
def test_parts_that_make_no_sense(tmp_path, parts: str, code: str) -> None:
    journey = prove_job(write(tmp_path, (GRID, parts)), tmp_path)
    assert code in [found.code for found in journey.findings]


def test_parts_and_setups_do_not_go_together_yet(tmp_path) -> None:
    text = write(tmp_path).read_text()
    head, passes = text.split("keep_regions:")
    regions, rest = passes.split("\ntools:")
    tools, steps = rest.split("\npasses:\n")
    indented = "\n".join(f"    {line}" for line in steps.splitlines())
    spec = tmp_path / "both.yaml"
    spec.write_text(
        f"{head}tools:{tools}\nsetups:\n  - name: top\n    keep_regions:{regions}\n"
        f"    passes:\n{indented}\n"
    )
    assert [f.code for f in load_job(spec, tmp_path).findings] == ["E264"]


def test_the_sheet_tells_of_all_parts(standproud, tmp_path) -> None:
    assert standproud("build", write(tmp_path), "--sheet", "both").status == 0
    sheet = (tmp_path / "out" / "shoes.setup.md").read_text()
    assert "4 PARTS" in sheet and "4 parts on the table, by tool" in sheet
    assert "All 4 blanks are in place" in sheet
    assert (tmp_path / "out" / "shoes.table.svg").exists()
    program = (tmp_path / "out" / "shoes.nc").read_text()
    assert (
        "(parts: 4, by tool)" in program
        and "(part 3: G54, X 70 mm, Y 60 mm from part 1)" in program
    )
    assert math.isclose(program.count("M6"), 2)
