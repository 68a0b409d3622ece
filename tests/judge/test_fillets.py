"""Cutters with rounded corners: what they leave at the foot of walls is named, no more let pass.

A round boss of radius 8 on a plate; the fillet's figures by plane geometry.
"""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from compiler.judge.fillets import form
from compiler.judge.judge import examine
from compiler.road import Journey, prove_job

JOB = """
spec: job/1
name: pier-plate
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {{outline: {{rectangle: {{from: [0, 0], to: [60, 40]}}}}, thickness: 12}}
keep_regions: {{boss: {{circle: {{centre: [30, 20], diameter: 16}}}}}}
tools:
  T1: {{{first}}}
  T2: {{{second}}}
passes:
  - rough: {{tool: T1, to: -5, allowance: {{wall: 0.2, floor: 0.1}}}}
  - finish_floor: {{tool: T1}}
  - finish_walls: {{tool: {walls}}}
"""
SIZES = "flutes: 3, flute_length: 22, stickout: 30, material: carbide"
SHARP = f"end_mill: {{diameter: 10, {SIZES}}}"
BULL = f"bull_mill: {{diameter: 10, corner_radius: 1, {SIZES}}}"
BALL = f"ball_mill: {{diameter: 6, {SIZES}}}"


def proven(folder: Path, first: str, second: str, walls: str) -> Journey:
    file = folder / "job.yaml"
    file.write_text(JOB.format(first=first, second=second, walls=walls), encoding="utf-8")
    journey = prove_job(file, folder)
    assert journey.report is not None, [f.message for f in journey.findings]
    return journey


def test_the_form_is_a_quarter_circle() -> None:
    heights = form(2.0, np.array([0.0, 1.0, 2.0, 3.0]))
    assert heights == pytest.approx([2.0, 2 - math.sqrt(3), 0.0, 0.0])


def test_a_bull_nosed_cutter_leaves_its_corner_all_round(tmp_path: Path) -> None:
    journey = proven(tmp_path, BULL, SHARP, "T1")
    assert journey.report is not None and journey.report.held
    (left,) = journey.report.leftovers
    assert left.fillet_radius_mm == 1.0
    # at most the ring between 8 and 9; what is lower than 0.01 of it is not seen
    assert 0.6 * math.pi * 17 < left.area_mm2 < 1.1 * math.pi * 17
    assert 0.3 < left.depth_mm <= 1.0
    assert journey.plan is not None
    assert any("fillet of 1 mm" in reason for reason in journey.plan.operations[2].reasons)


def test_a_ball_nose_along_walls_leaves_what_was_there_under_its_curve(tmp_path: Path) -> None:
    journey = proven(tmp_path, SHARP, BALL, "T2")
    assert journey.report is not None and journey.report.held
    (left,) = journey.report.leftovers
    assert left.fillet_radius_mm == 3.0
    # the sharp cutter left 0.2 beside the wall: of the curve only that strip is there
    assert left.area_mm2 < 2 * math.pi * 8.2 * 0.4


def test_a_sharp_cutter_leaves_none(tmp_path: Path) -> None:
    journey = proven(tmp_path, SHARP, BALL, "T1")
    assert journey.report is not None and journey.report.held
    assert journey.report.leftovers == ()


def test_a_wall_that_was_not_finished_is_no_fillet(tmp_path: Path) -> None:
    journey = proven(tmp_path, BULL, SHARP, "T1")
    assert journey.job and journey.part and journey.plan and journey.motions and journey.written
    lines = journey.written.text.split("\n")
    owners = list(journey.written.line_owner)
    # the last floor pass is left out: 0.1 stays all over
    kept = [k for k, owner in enumerate(owners) if owner != "finish_floor 1"]
    judged = examine(
        job=journey.job,
        part=journey.part,
        plan=journey.plan,
        motions=journey.motions,
        text="\n".join(lines[k] for k in kept) + "\n",
        line_owner=[owners[k] for k in kept],
    )
    broken = [o.name for o in judged.report.obligations if not o.held]
    assert "nothing_left" in broken
