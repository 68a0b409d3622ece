"""The family of the demo: every member is proven, and the same bytes come out anywhere."""

import os
import subprocess
import sys
from pathlib import Path

import pytest
from conftest import ROOT
from tree_of_rings import bytes_of, rings

from compiler.commands.project import find_jobs
from compiler.road import plan_job
from compiler.spec.load import load_job

FAMILY = ROOT / "specs" / "families" / "tube-ring.yaml"


def test_it_has_members_in_its_table_and_one_with_an_override() -> None:
    targets, _ = find_jobs([str(FAMILY), str(ROOT / "specs" / "guide-ring-100.yaml")])
    assert len(targets) >= 5
    for target in targets:
        journey = plan_job(target.path, ROOT, target.member)
        assert journey.findings == () and journey.plan is not None, target


@pytest.mark.parametrize("name", ["eyepiece-ring-32", "guide-ring-80"])
def test_sizes_follow_from_the_tube(name: str) -> None:
    """By hand: bore is tube and twice the lining, the wall an eighth of the tube, 7 mm at least."""
    tube, lining = {"eyepiece-ring-32": (31.75, 1.0), "guide-ring-80": (80.0, 1.5)}[name]
    read = load_job(FAMILY, ROOT, name)
    assert read.value is not None
    rows = {row.what: row.nominal for row in read.value.job.inspection}
    bore = tube + 2 * lining
    assert rows["Bore"] == pytest.approx(bore)
    assert rows["Outside diameter"] == pytest.approx(bore + 2 * max(7.0, tube / 8))


def test_hash_seed_folder_time_zone_and_locale_change_no_byte(tmp_path: Path) -> None:
    """A family in two places, with other environments and side by side in the second."""
    builds = []
    for name, seed, zone, locale in (
        ("one", "1", "UTC", "C"),
        ("another place", "2", "Asia/Tokyo", "C.UTF-8"),
    ):
        folder = rings(tmp_path / name, 2)
        environment = {
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "LC_ALL": locale,
        }
        jobs = seed  # one by one, then two side by side
        done = subprocess.run(
            [sys.executable, "-m", "compiler", "build", ".", "--jobs", jobs],
            cwd=folder,
            env=environment,
            capture_output=True,
            text=True,
        )
        assert done.returncode == 0, done.stderr
        builds.append(bytes_of(folder / "out"))
    assert builds[0] == builds[1]
