"""Jobs by seed: each is built with every obligation held, or refused with a located finding.

A handful of seeds run with the suite; the wide run is asked for by their number, as in
`RANDOM_JOBS=60 python -m pytest tests/properties`.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml
from random_jobs import random_job

from compiler.road import Journey, prove_job

QUICK = ((15, "contour_parallel"), (18, "contour_parallel"), (39, "direction_parallel"))
WIDE = int(os.environ.get("RANDOM_JOBS", "0"))


def proven(folder: Path, seed: int, pattern: str) -> Journey:
    spec = folder / "job.yaml"
    spec.write_text(yaml.safe_dump(random_job(seed, pattern), sort_keys=False), encoding="utf-8")
    return prove_job(spec, folder)


@pytest.mark.parametrize(("seed", "pattern"), QUICK)
def test_a_random_job_holds_every_obligation(tmp_path: Path, seed: int, pattern: str) -> None:
    journey = proven(tmp_path, seed, pattern)
    assert journey.report is not None
    assert [o.name for o in journey.report.obligations if not o.held] == []


def test_a_pocket_without_a_way_down_is_named(tmp_path: Path) -> None:
    journey = proven(tmp_path, 21, "contour_parallel")
    (found,) = [f for f in journey.findings if f.severity == "error"]
    assert found.code == "E408" and found.primary is not None and "helix" in found.help


@pytest.mark.parametrize("pattern", ["contour_parallel", "direction_parallel"])
@pytest.mark.parametrize("seed", range(WIDE))
def test_wide(tmp_path: Path, seed: int, pattern: str) -> None:
    journey = proven(tmp_path, seed, pattern)
    errors = [f for f in journey.findings if f.severity == "error"]
    assert all(f.code.startswith("E4") and f.primary is not None for f in errors)
    assert errors or journey.report is not None
