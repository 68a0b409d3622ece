"""What stays is named with its place, at the pass that owes it, with what would clear it."""

from __future__ import annotations

from pathlib import Path

from compiler.diagnostics import Diagnostic
from compiler.road import Journey, prove_job

JOB = """\
spec: job/1
name: eyepiece-clamp
units: mm
machine: machining_centre_medium
material: aluminium_6061
stock: {{outline: {{rectangle: {{from: [0, 0], to: [60, 40]}}}}, thickness: 12}}
keep_regions:
  clamp:
    circle: {{centre: [28, 20], diameter: 24}}
    minus:
      - {{circle: {{centre: [28, 20], diameter: 9}}}}
      - {{rectangle: {{from: [28, 17], to: [42, 23]}}}}
tools:
  T1: {{end_mill: {{diameter: 10, flutes: 3, flute_length: 20, stickout: 28, material: carbide}}}}
  T2: {{end_mill: {{diameter: 4, flutes: 3, flute_length: 12, stickout: 20, material: carbide,
        centre_cutting: true}}}}
passes:
{passes}
"""
ROUGH = (
    "  - rough: {tool: T1, to: -4, pattern: contour_parallel, allowance: {wall: 0.2, floor: %s}}"
)
REST = "  - rest: {tool: T2, pattern: contour_parallel, allowance: {wall: 0.2, floor: %s}}"


def proven(folder: Path, *passes: str) -> Journey:
    spec = folder / "job.yaml"
    spec.write_text(JOB.format(passes="\n".join(passes)), encoding="utf-8")
    return prove_job(spec, folder)


def only_error(journey: Journey) -> Diagnostic:
    (found,) = [f for f in journey.findings if f.severity == "error"]
    return found


def test_a_place_that_only_a_finishing_cutter_enters_wants_a_rest_pass(tmp_path: Path) -> None:
    walls = "  - finish_walls: {tool: T2}"
    found = only_error(proven(tmp_path, ROUGH % 0, walls))
    assert found.code == "E518" and found.primary is not None
    assert found.primary.span.line == 19  # the finishing pass
    assert "at X" in found.message and "4 mm high" in found.message
    assert "add a `rest` pass with `T2` before it" in found.help


def test_a_floor_finished_by_a_larger_cutter_is_named(tmp_path: Path) -> None:
    floor = "  - finish_floor: {tool: T1, pattern: contour_parallel}"
    found = only_error(proven(tmp_path, ROUGH % 0.1, REST % 0.1, floor))
    assert found.code == "E518" and "0.1 mm high" in found.message
    assert "finish the floor with `T2` too" in found.help


def test_with_the_passes_that_the_remedies_name_all_is_held(tmp_path: Path) -> None:
    floor = "  - finish_floor: {tool: T2, pattern: contour_parallel}"
    walls = "  - finish_walls: {tool: T2}"
    journey = proven(tmp_path, ROUGH % 0.1, REST % 0.1, floor, walls)
    assert journey.report is not None and all(o.held for o in journey.report.obligations)


def test_a_pass_that_finds_nothing_is_said_to(tmp_path: Path) -> None:
    floor = "  - finish_floor: {tool: T2, pattern: contour_parallel}"
    walls = "  - finish_walls: {tool: T2}"
    journey = proven(tmp_path, ROUGH % 0, REST % 0, floor, walls)
    (found,) = journey.findings
    assert found.code == "W450" and "`finish_floor 1`" in found.message
    assert journey.report is not None and all(o.held for o in journey.report.obligations)
    assert "finish_floor 1" not in {o.operation for o in journey.report.operations}
