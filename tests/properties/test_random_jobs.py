"""Jobs by seed: each is built with every obligation held, or refused with a located finding.

A handful of seeds run with the suite, those among them that once fell short; the wide run is asked
for by their number, as in `RANDOM_JOBS=60 python -m pytest tests/properties`.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
import yaml
from moved_jobs import in_inches
from random_jobs import Data, random_job, wide_job

from compiler.road import Journey, prove_job

QUICK = (
    (15, "contour_parallel"),
    (16, "contour_parallel"),  # a slot that began at a corner
    (26, "direction_parallel"),  # a link 0.003 mm into a wall
    (39, "direction_parallel"),
)
# of the wide kind: a film at the blank's edge, a corner's spike of load, a cutter with a dead
# centre, a change of tool
ONCE_SHORT = (52, 84, 103, 112)
# what is true of a job as it is drawn: regions beside the stock, cutters that do not fit or find no
# way down, places that no clearing pass is given
TRUE = frozenset({"E310", "E311", "E314", "E406", "E407", "E408", "E450", "E518"})
WIDE = int(os.environ.get("RANDOM_JOBS", "0"))


def proven(folder: Path, data: Data) -> Journey:
    spec = folder / "job.yaml"
    spec.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    return prove_job(spec, folder)


def held_or_true(journey: Journey) -> None:
    """Every obligation is held, or every error is located and true of the job as drawn."""
    errors = [f for f in journey.findings if f.severity == "error"]
    assert {f.code for f in errors} <= TRUE, [(f.code, f.message) for f in errors]
    assert all(f.primary is not None and f.help for f in errors)
    if not errors:
        assert journey.report is not None
        assert [o.name for o in journey.report.obligations if not o.held] == []


@pytest.mark.parametrize(("seed", "pattern"), QUICK)
def test_a_random_job_holds_every_obligation(tmp_path: Path, seed: int, pattern: str) -> None:
    journey = proven(tmp_path, random_job(seed, pattern))
    assert journey.report is not None
    assert [o.name for o in journey.report.obligations if not o.held] == []


@pytest.mark.parametrize("seed", ONCE_SHORT)
def test_a_job_that_once_fell_short_is_held_or_truly_refused(tmp_path: Path, seed: int) -> None:
    held_or_true(proven(tmp_path, wide_job(seed)))


def test_a_pocket_without_a_way_down_is_named(tmp_path: Path) -> None:
    journey = proven(tmp_path, random_job(21, "contour_parallel"))
    (found,) = [f for f in journey.findings if f.severity == "error"]
    assert found.code == "E408" and found.primary is not None and "helix" in found.help


@pytest.mark.parametrize("pattern", ["contour_parallel", "direction_parallel"])
@pytest.mark.parametrize("seed", range(WIDE))
def test_random(tmp_path: Path, seed: int, pattern: str) -> None:
    held_or_true(proven(tmp_path, random_job(seed, pattern)))


@pytest.mark.parametrize("inch", [False, True], ids=["mm", "inch"])
@pytest.mark.parametrize("seed", range(WIDE))
def test_wide(tmp_path: Path, seed: int, inch: bool) -> None:
    data = wide_job(seed)
    held_or_true(proven(tmp_path, in_inches(data) if inch else data))
