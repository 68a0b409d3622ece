"""The shop's unused cutters reach the job, for remedies, and change nothing about it."""

from __future__ import annotations

from pathlib import Path

from compiler.job.model import Job
from compiler.spec.load import load_job

SHOP = """\
spec: shop/1
units: mm
crib:
  em_10: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, material: carbide}}
  em_4: {end_mill: {diameter: 4, flutes: 3, flute_length: 11, material: carbide}}
"""
SPARE = "  em_6: {end_mill: {diameter: 6, flutes: 3, flute_length: 13, material: carbide}}\n"
JOB = """\
spec: job/1
name: clamp-ring
units: mm
shop: shop.yaml
machine: machining_centre_medium
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [60, 60]}}, thickness: 12}
keep_regions: {boss: {circle: {centre: [30, 30], diameter: 20}}}
tools: {T1: {crib: em_10}}
passes: [{rough: {tool: T1, to: -4}}]
"""


def loaded(folder: Path, shop: str) -> Job:
    folder.mkdir()
    (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    (folder / "job.yaml").write_text(JOB, encoding="utf-8")
    reading = load_job(folder / "job.yaml", folder, "")
    assert reading.value is not None and not reading.failed
    return reading.value.job


def test_cutters_that_no_job_uses_do_not_change_its_digest(tmp_path: Path) -> None:
    few, more = loaded(tmp_path / "few", SHOP), loaded(tmp_path / "more", SHOP + SPARE)
    assert [tool.name for tool in few.crib] == ["em_4"]
    assert [tool.name for tool in more.crib] == ["em_6", "em_4"]
    assert few.digest == more.digest
