"""Jobs by seed: each is built with every obligation held, or refused with a located finding.

A handful of seeds run with the suite, those among them that once fell short; the wide run is asked
for by their number, as in `RANDOM_JOBS=60 python -m pytest tests/properties`.
"""

from __future__ import annotations

import os
from dataclasses import replace
from pathlib import Path

import pytest
import yaml
from missed import missed
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
# way down, places that no clearing pass is given; with `missed`, what no pass has a cutter for
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
    if any(f.code == "E518" for f in errors):
        assert missed(journey) == []


@pytest.mark.parametrize(("seed", "pattern"), QUICK)
def test_a_random_job_holds_every_obligation(tmp_path: Path, seed: int, pattern: str) -> None:
    journey = proven(tmp_path, random_job(seed, pattern))
    assert journey.report is not None
    assert [o.name for o in journey.report.obligations if not o.held] == []


@pytest.mark.parametrize("seed", ONCE_SHORT)
def test_a_job_that_once_fell_short_is_held_or_truly_refused(tmp_path: Path, seed: int) -> None:
    held_or_true(proven(tmp_path, wide_job(seed)))


def test_a_job_that_lacks_a_rest_pass_is_told_from_a_place_that_was_missed(tmp_path: Path) -> None:
    """The inner corner of an angle after a cutter of 16 mm and a finishing one of 4; and a place in
    the open, which the first had to clear, as if it had been left.
    """
    data = random_job(1, "contour_parallel")
    legs = [{"from": [10, 10], "size": [30, 8]}, {"from": [10, 10], "size": [8, 25]}]
    data["stock"]["outline"] = {"rectangle": {"from": [0, 0], "to": [50, 45]}}
    data["keep_regions"] = {"angle": {"any_of": [{"rectangle": leg} for leg in legs]}}
    large, small = ({**data["tools"]["T1"]["end_mill"], "diameter": d} for d in (16, 4))
    data["tools"] = {"T1": {"end_mill": large}, "T2": {"end_mill": small}}
    data["passes"][0]["rough"].update(to=-3)
    data["passes"] = [data["passes"][0], {"finish_floor": {"tool": "T2"}}]
    journey = proven(tmp_path, data)
    assert [f.code for f in journey.findings if f.severity == "error"] == ["E518"]
    assert journey.report is not None
    (corner, *_) = journey.report.leftovers
    assert corner.x_mm == pytest.approx(18, abs=3) and corner.y_mm == pytest.approx(18, abs=3)
    assert missed(journey) == []
    open_place = corner.model_copy(update={"x_mm": 40.0, "y_mm": 35.0})
    report = journey.report.model_copy(update={"leftovers": (open_place,)})
    (found,) = missed(replace(journey, report=report))
    assert "rough 1 (T1)" in found


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
