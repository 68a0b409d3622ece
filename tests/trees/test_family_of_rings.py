"""The family of the demo: every member is proven, and the same bytes come out anywhere."""

import pytest
from conftest import ROOT

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
