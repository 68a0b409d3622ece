"""Whether cutters fit: the exact answer against the polygons', and what the remedies name."""

from __future__ import annotations

import math
import random
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from planning_bench import a_pass, bench, block, disc, end_mill, with_holes

from compiler.diagnostics import Severity
from compiler.geometry import Point
from compiler.job.model import Job, Tool
from compiler.part.model import Part
from compiler.paths.cut import cut
from compiler.plan import fit
from compiler.plan import gaps as polygons
from compiler.plan.lower import lower

ROOT = Path(__file__).parents[2]
FRAME = with_holes(block(-1, -1, 101, 71), block(20, 30, 80, 38))


def with_crib(job: Job, *sizes: float) -> Job:
    """The job in a shop whose crib holds end mills of these diameters as well."""
    return replace(job, crib=tuple(mill(size) for size in sizes))


def mill(size: float) -> Tool:
    return replace(end_mill("T9", size), name=f"em_{size:g}", crib=f"em_{size:g}")


def test_the_remedy_names_the_largest_cutter_of_the_crib_that_fits() -> None:
    job, part = bench({"frame": FRAME}, [a_pass("rough", to=-5.0, pattern="contour_parallel")])
    (found,) = lower(with_crib(job, 12.0, 6.0, 7.5, 4.0), part).findings
    assert found.code == "E406"
    assert "`em_7.5` of the crib (7.5 mm) is the largest that fits" in found.help


def test_a_gap_nobody_enters_names_the_cutter_of_the_crib() -> None:
    job, part = bench({"ring": with_holes(disc(50, 35, 25), disc(50, 35, 4))},
                      [a_pass("rough", to=-5.0)])  # fmt: skip
    (found,) = lower(with_crib(job, 9.0, 5.0, 7.0), part).findings
    assert found.code == "E450" and "`em_7` of the crib" in found.help
    assert "X50 Y35" in found.message and "8 mm wide" in found.message


def test_a_hole_that_is_drilled_is_not_uncut() -> None:
    keep = {"ring": with_holes(disc(50, 35, 25), disc(50, 35, 4))}
    drill = end_mill("T2", 7.5, kind="drill", tip_angle=2.06, flutes=2)
    holes = a_pass("drill", "T2", to=-5.0, at=(Point(50, 35),))
    job, part = bench(keep, [a_pass("rough", to=-5.0), holes], tools=[end_mill(), drill])
    assert [f.code for f in lower(job, part).findings if f.code in ("E450", "W401")] == []


def test_a_crack_that_no_cutter_fits_is_only_told() -> None:
    crack = with_holes(block(20, 20, 80, 50), block(30, 34.9, 70, 35.1))
    job, part = bench({"plate": crack}, [a_pass("rough", to=-5.0)])
    (found,) = lower(job, part).findings
    assert found.code == "W401" and found.severity == "warning"


def test_a_tight_pocket_names_the_cutter_of_the_crib() -> None:
    keep = {"frame": with_holes(block(-1, -1, 101, 71), disc(50, 35, 5.05))}
    job, part = bench(keep, [a_pass("rough", to=-4.0, pattern="contour_parallel")])
    job = with_crib(job, 9.0, 6.0, 5.0)
    plan = lower(job, part).value
    assert plan is not None
    (found,) = cut(job, part, plan).findings
    assert found.code == "E408" and "`em_6` of the crib" in found.help


def test_what_a_later_pass_clears_is_no_error() -> None:
    keep = {"frame": with_holes(block(-1, -1, 101, 71), disc(50, 35, 5.05))}
    passes = [
        a_pass("rough", to=-4.0, pattern="contour_parallel"),
        a_pass("rest", "T2", name="rest", pattern="contour_parallel"),
    ]
    job, part = bench(keep, passes, tools=[end_mill(), end_mill("T2", 6.0)])
    plan = lower(job, part).value
    assert plan is not None
    assert cut(job, part, plan).findings == ()


@pytest.mark.parametrize("seed", range(40))
def test_what_plainly_fits_fits_by_polygons_too(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Bosses and pockets at random, some touching, some too near for the cutter."""
    dice = random.Random(seed)
    keep = {
        f"boss {k}": disc(dice.uniform(0, 100), dice.uniform(0, 70), dice.uniform(3, 15))
        for k in range(dice.randint(1, 5))
    }
    if dice.random() < 0.5:
        x, y = dice.uniform(30, 70), dice.uniform(30, 40)
        keep["ring"] = with_holes(disc(x, y, 18), disc(x, y, dice.uniform(3, 10)))
    job, part = bench(keep, [a_pass("rough", to=-5.0)])
    asked: list[int] = []

    def told(job: Job, part: Part, operations: object) -> list[object]:
        asked.append(1)
        return []

    plan = lower(job, part)
    operations = plan.value.operations if plan.value is not None else ()
    monkeypatch.setattr(polygons, "gaps", told)
    fit.gaps(job, part, operations)
    monkeypatch.undo()
    if not asked and operations:
        assert polygons.gaps(job, part, operations) == []


@pytest.mark.parametrize("spec", ["eyepiece-bracket", "saddle-plate"])
def test_an_ordinary_job_is_checked_without_the_polygon_library(spec: str) -> None:
    code = (
        "import sys; from pathlib import Path; from compiler.road import plan_job\n"
        f"journey = plan_job(Path('specs/{spec}.yaml').resolve(), Path.cwd())\n"
        "print(journey.failed, 'shapely' in sys.modules)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert ran.stdout.split() == ["False", "False"]


def test_a_neck_that_the_cutter_does_not_enter_is_told_with_the_one_that_does() -> None:
    bosses = {"left": disc(27, 35, 20), "right": disc(73, 35, 20)}
    walls = a_pass("finish_walls", to=-5.0)
    job, part = bench(bosses, [a_pass("rough", to=-5.0), walls])
    (found,) = lower(job, part).findings
    assert (found.code, found.severity) == ("W451", Severity.WARNING)
    assert found.message.startswith("1 place stays uncut, 5 mm high: `T1` (10 mm)")
    at, area, reach = re.findall(r"[\d.]+ (?=mm)", found.notes[0])[:2], *found.notes[0].split(";")
    # between discs of R 20 with 6 mm between them and two cutters of r 5 that touch both: the
    # rhombus of the four centres less four sectors (plane geometry)
    rise = math.sqrt(25**2 - 23**2)
    half = math.atan(rise / 23)
    neck = 46 * rise - 2 * 20**2 * half - 2 * 5**2 * (math.pi / 2 - half)
    assert float(at[0]) == pytest.approx(neck, rel=0.005), area
    assert "6 mm diameter" in reach or "5.9" in reach, reach
    smaller = bench(bosses, [a_pass("rough", to=-5.0), walls], tools=[end_mill("T1", 5.0)])
    assert lower(*smaller).findings == ()
