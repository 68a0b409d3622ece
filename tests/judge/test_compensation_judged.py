"""A wall that the control may shift: proven at both ends of the range, and broken on purpose.

A plate with a boss and a rail, built by the whole road; then its program is changed by hand, one
word at a time, as a slip of the writer or of an editor would.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from compiler.judge.judge import Judged, examine
from compiler.road import Journey, prove_job

JOB = """
spec: job/1
name: pier-plate
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}
keep_regions:
  boss: {circle: {centre: [24, 20], diameter: 16}}
  rail: {open: {path: {start: [52, 0], steps: [{line: [52, 40]}]}, stands: right}}
tools:
  T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 30, material: carbide}}
passes:
  - rough: {tool: T1, to: -3, allowance: {wall: 0.3}}
  - finish_walls: {tool: T1, compensation: control, wear_range: 0.08}
"""


@pytest.fixture(scope="module")
def journey(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Journey]:
    folder = tmp_path_factory.mktemp("plate")
    (folder / "job.yaml").write_text(JOB, encoding="utf-8")
    yield prove_job(folder / "job.yaml", folder)


def judged(journey: Journey, text: str) -> Judged:
    assert journey.job and journey.part and journey.plan and journey.motions and journey.written
    same = text.count("\n") == journey.written.text.count("\n")
    return examine(
        job=journey.job,
        part=journey.part,
        plan=journey.plan,
        motions=journey.motions,
        text=text,
        line_owner=journey.written.line_owner if same else None,
    )


def broken(found: Judged) -> dict[str, str]:
    return {o.name: o.what for o in found.report.obligations if not o.held}


def test_it_holds_and_the_report_states_the_offset_and_its_range(journey: Journey) -> None:
    assert journey.report is not None
    assert broken(Judged(journey.report, None, ())) == {}
    (offset,) = journey.report.wear_offsets
    assert (offset.number, offset.nominal_mm) == (1, 0.0)
    assert (offset.least_mm, offset.most_mm) == pytest.approx((-0.08, 0.08))


def test_the_program_says_which_offset_it_reads_and_how_far_it_may_be_set(journey: Journey) -> None:
    assert journey.written is not None
    text = journey.written.text
    assert "(wear D1: set to 0, from -0.08 mm to +0.08 mm on the radius" in text
    assert text.count("G41 D1 G1") == text.count("\nG40 G1") == 2


def test_at_no_offset_the_text_reads_as_it_was_planned(journey: Journey) -> None:
    assert journey.report is not None
    (entry,) = (o for o in journey.report.obligations if o.name == "text_true")
    assert entry.measured is not None and entry.measured <= 0.0005 + 1e-6


def changed(journey: Journey, old: str, new: str, count: int = 1) -> str:
    assert journey.written is not None
    text, made = re.subn(old, new, journey.written.text, count=count)
    assert made
    return text


class TestSlips:
    def test_the_wrong_side_cuts_into_the_wall_where_the_offset_is_plus(
        self, journey: Journey
    ) -> None:
        found = broken(judged(journey, changed(journey, "G41 D1", "G42 D1")))
        assert "text_true" in found
        assert "0.080" in found["regions_stand"] and "D1 at 0.080 mm" in found["regions_stand"]

    def test_left_on_it_is_refused_at_the_next_rapid(self, journey: Journey) -> None:
        found = judged(journey, changed(journey, "\nG40 G1", "\nG1"))
        assert len(broken(found)) == 11 and found.findings[0].code == "E501"

    def test_switched_on_on_the_arc_it_is_refused(self, journey: Journey) -> None:
        text = changed(journey, r"G41 D1 (G1[^\n]*)\nG3", r"\1\nG41 D1 G3")
        assert "is an arc" in judged(journey, text).findings[0].message

    def test_another_offset_than_the_tool_s_is_refused(self, journey: Journey) -> None:
        assert "D2" in judged(journey, changed(journey, "G41 D1", "G41 D2")).findings[0].message

    def test_not_switched_on_at_all_is_not_what_was_planned(self, journey: Journey) -> None:
        assert list(broken(judged(journey, changed(journey, "G41 D1 ", "")))) == ["text_true"]

    def test_a_first_move_shorter_than_the_range_is_refused_at_that_end(
        self, journey: Journey
    ) -> None:
        # the straight move cut short: the rest of it goes before G41
        assert journey.written is not None
        lines = journey.written.text.split("\n")
        at = next(k for k, line in enumerate(lines) if line.startswith("G41 D1 G1"))
        words = dict(re.findall(r"([XY])(-?[0-9.]+)", lines[at]))
        assert journey.case is not None
        start = next(m for m in journey.case.motions if m.line == at + 1).start
        x, y = float(words.get("X", start.x)), float(words.get("Y", start.y))
        length = ((x - start.x) ** 2 + (y - start.y) ** 2) ** 0.5
        part = 1 - 0.05 / length
        before = f"G1 X{start.x + part * (x - start.x):.4f} Y{start.y + part * (y - start.y):.4f}"
        feed = re.search(r"F[0-9.]+", lines[at])
        lines[at] = f"{before} {feed[0] if feed else ''}\nG41 D1 G1 X{x:.4f} Y{y:.4f}"
        found = broken(judged(journey, "\n".join(lines)))
        assert "not longer than the offset" in found["program_sane"]


def test_a_region_beside_the_lead_is_not_spared_by_the_offset(tmp_path: Path) -> None:
    """The wall's own shift is allowed on compensated moves only, whatever else is near."""
    (tmp_path / "job.yaml").write_text(JOB, encoding="utf-8")
    journey = prove_job(tmp_path / "job.yaml", tmp_path)
    assert journey.case is not None
    rapids = [m for m in journey.case.motions if m.kind == "rapid"]
    assert all(journey.case.towards_wall(m) == 0.0 for m in rapids)
