"""`draft`: a first job that builds as it stands."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.geometry import Point
from compiler.geometry.build import circle, rectangle
from compiler.geometry.region import make
from compiler.road import plan_job
from compiler.survey.choose import pairs, plain_sizes
from compiler.survey.first_job import names_of
from compiler.survey.holes import closed_for_mills
from compiler.survey.model import Closed, ShapeRow, Survey
from compiler.survey.tight import tight_places

DRAWINGS = ROOT / "specs" / "drawings"


@pytest.fixture
def bench(tmp_path: Path) -> Path:
    """A folder with the plate's drawing and model, and the shop."""
    for file in ("guider-plate.dxf", "guider-plate.step"):
        shutil.copy(DRAWINGS / file, tmp_path)
    shutil.copy(ROOT / "specs" / "shop.yaml", tmp_path)
    return tmp_path


def test_a_drawing_becomes_a_job_that_is_proven(standproud, bench: Path) -> None:
    ran = standproud("draft", bench / "guider-plate.dxf", "-o", bench / "first.yaml")
    assert ran.status == 0, ran.err
    assert "written and proven" in ran.out
    journey = plan_job(bench / "first.yaml", bench)
    assert not journey.failed and journey.loaded is not None
    job = journey.loaded.job
    assert [region.name for region in job.keep_regions] == ["lug", "pad", "ring"]
    # round ring, lug and pad; the centre line is no part of it
    assert job.stock.region.bounds == pytest.approx((10, 0, 89, 63))
    assert "W715" in ran.err and "[10, 38] to [60, 38] on CENTRE" in ran.err
    text = (bench / "first.yaml").read_text(encoding="utf-8")
    assert text.count("CHECK") >= 6
    assert "first whose travel takes" in text
    # the channel between ring and pad is 9 mm: a smaller cutter does the rest
    assert [tool.diameter for tool in job.tools] == pytest.approx([12.7, 6.35])
    again = standproud("draft", bench / "guider-plate.dxf", "-o", bench / "first.yaml")
    assert again.status == 2 and "E714" in again.err
    assert (bench / "first.yaml").read_text(encoding="utf-8") == text


def test_a_model_becomes_a_job_with_its_own_heights(
    standproud, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pytest.importorskip("OCP", reason="the solid kernel is not installed")
    from compiler import road

    # proving is the other test's business
    monkeypatch.setattr(road, "prove_job", road.plan_job)
    ran = standproud("draft", bench / "guider-plate.step", "-o", bench / "first.yaml")
    assert ran.status == 0, ran.err
    journey = plan_job(bench / "first.yaml", bench)
    assert not journey.failed and journey.loaded is not None
    job = journey.loaded.job
    assert sorted(r.top for r in job.keep_regions) == pytest.approx([-3, -2, 0])
    assert job.stock.thickness == pytest.approx(12)
    assert job.passes[0].to == pytest.approx(-6)
    assert not list(bench.glob(".*draft*"))


def test_the_editors_schema_is_named_where_it_is(standproud, bench: Path, monkeypatch) -> None:
    from compiler import road

    monkeypatch.setattr(road, "prove_job", road.plan_job)
    begun = []
    for name in ("without.yaml", "with.yaml"):
        ran = standproud("draft", bench / "guider-plate.dxf", "-o", bench / name)
        assert ran.status == 0, ran.err
        begun.append((bench / name).read_text(encoding="utf-8").splitlines()[0])
        assert standproud("schema", "--write", bench / "schemas").status == 0
    assert begun[0].startswith("# A first job")
    _, _, path = begun[1].partition("$schema=")
    assert (bench / path).is_file()


def test_nothing_closed_gives_no_job(standproud, bench: Path) -> None:
    ran = standproud(
        "draft", bench / "guider-plate.dxf", "-o", bench / "x.yaml", "--layer", "CENTRE"
    )
    assert ran.status == 1 and "E705" in ran.err
    assert not (bench / "x.yaml").exists()


def row(region, top=None, layers=("PLATE",)) -> ShapeRow:
    return ShapeRow(
        area=region.area,
        length=1.0,
        depth=0,
        inside=Point(0, 0),
        top=top,
        layers=layers,
        region=region,
    )


def survey(*rows: ShapeRow) -> Survey:
    tight = tight_places([(r.region, r.top) for r in rows])
    return Survey(
        file="x.dxf",
        kind="drawing",
        format="",
        units="mm",
        said_by="you",
        show="mm",
        box=(0, 0, 100, 60),
        shapes=rows,
        tight=tight,
    )


def square(*holes) -> ShapeRow:
    return row(make([rectangle(Point(0, 0), Point(40, 40)), *holes]))


def test_names_come_from_layers_and_levels() -> None:
    plain = square()
    names = names_of(
        [row(plain.region, layers=(name,)) for name in ("Boss", "BOSS", "0", "Ø12 [x]")]
    )
    assert names == ["boss-1", "boss-2", "shape 0", "shape 12 -x"]
    levels = names_of([row(plain.region, top=z) for z in (0.0, -2.0, -2.0)])
    assert levels == ["level 1", "level 2-1", "level 2-2"]


def test_a_hole_too_small_for_every_mill_is_left_for_the_drill() -> None:
    small, large = circle(Point(10, 10), 1.0), circle(Point(28, 28), 8.0)
    mills = [c for c in plain_sizes("mm") if c.diameter >= 3]
    closed = closed_for_mills(survey(square(small, large)), mills, 6.0, "mm")
    assert closed.shapes[0].closed == (Closed(Point(10, 10), 2.0),)
    assert len(closed.shapes[0].region.outlines) == 2
    assert closed.tight.corner is not None and closed.tight.corner.radius == pytest.approx(8)
    kept = closed_for_mills(survey(square(large)), mills, 6.0, "mm")
    assert kept.shapes[0].closed == ()


def test_the_smaller_cutter_passes_the_channel_and_fills_the_corner() -> None:
    tight = survey(
        row(make([rectangle(Point(0, 0), Point(40, 40))])),
        row(make([rectangle(Point(47, 0), Point(90, 40))])),
    )
    assert tight.tight.channel is not None and tight.tight.channel.width == pytest.approx(7)
    large, small = pairs(tight, plain_sizes("mm"), 6.0, "mm")[0]
    assert large.diameter == 16 and small is not None and small.diameter == 6
    roomy = survey(square(circle(Point(20, 20), 12)))
    assert pairs(roomy, plain_sizes("mm"), 6.0, "mm")[0][1] is None
