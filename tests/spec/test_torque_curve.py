"""`spindle.torque_curve`: read in the file's units, shown by `expand`, kept to by the plan."""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.job.model import Machine
from compiler.road import lower_job
from compiler.spec.expand import expand
from compiler.spec.load import load_job

JOB = """\
spec: job/1
name: post
units: {units}
machine:
  spindle: {{max_rpm: 3000, power: 3 kW, torque_curve: {curve}}}
  feed: {{max: 2000 mm/min}}
material: steel_1018
stock: {{outline: {{rectangle: {{from: [0, 0], to: [3 in, 2 in]}}}}, thickness: 1 in}}
keep_regions: {{post: {{circle: {{centre: [1.5 in, 1 in], diameter: 0.5 in}}}}}}
tools: {{T1: {{end_mill: {{diameter: 16 mm, flutes: 4, flute_length: 32 mm, material: carbide}}}}}}
passes: [{{rough: {{tool: T1, to: -8 mm}}}}]
"""


def write(folder: Path, units: str, curve: str) -> Path:
    path = folder / "job.yaml"
    path.write_text(JOB.format(units=units, curve=curve), encoding="utf-8")
    return path


def machine(folder: Path, units: str, curve: str) -> Machine:
    loaded = load_job(write(folder, units, curve), folder).value
    assert loaded is not None
    return loaded.job.machine


def test_bare_numbers_are_in_the_files_units(tmp_path: Path) -> None:
    metric = machine(tmp_path, "mm", "[[3000, 8], [500, 20]]")
    assert metric.torque_curve == ((500, 20), (3000, 8))  # by speed, whatever the order
    inch = machine(tmp_path, "inch", "[[500, 10]]")
    # 1 ft lbf is 1.355818 N m: NIST SP 811 appendix B.8
    assert inch.torque_curve[0][1] == pytest.approx(13.55818, abs=1e-4)


def test_a_weak_spindle_is_named_as_the_reason(tmp_path: Path) -> None:
    path = write(tmp_path, "mm", "[[500, 3], [3000, 2]]")
    loaded = load_job(path, tmp_path).value
    assert loaded is not None
    assert "- [500, 3]" in expand(loaded)
    plan = lower_job(loaded.job).plan
    assert plan is not None
    assert any("by the spindle's torque" in said for said in plan.operations[0].cutting.reasons)
