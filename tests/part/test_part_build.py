"""The part of a job: datum, open regions closed in the air, and each finding of geometry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import pytest

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.geometry import EMPTY, Point, Region
from compiler.geometry import region as regions
from compiler.geometry.build import LineTo, chain, circle, rectangle
from compiler.geometry.combine import difference, intersection
from compiler.geometry.inside import contains
from compiler.job import (
    Datum,
    Heights,
    Job,
    KeepRegion,
    Machine,
    Obstacle,
    OpenChain,
    Pass,
    Stock,
    Title,
    Tool,
    Workholding,
)
from compiler.knowledge.materials import MATERIALS
from compiler.part.build import build_part
from compiler.part.model import Part

INCH = 25.4


def span(line: int) -> Span:
    return Span("focuser-plate.yaml", line, 3, line, 9)


def disc(x: float, y: float, radius: float) -> Region:
    return regions.of(circle(Point(x, y), radius))


def block(x0: float, y0: float, x1: float, y1: float) -> Region:
    return regions.of(rectangle(Point(x0, y0), Point(x1, y1)))


def keep(name: str, shape: Region | OpenChain, top: float = 0.0, line: int = 20) -> KeepRegion:
    return KeepRegion(name=name, shape=shape, top=top, origin=span(line))


def rail(*points: tuple[float, float], stands: str = "right") -> OpenChain:
    first, *rest = (Point(*p) for p in points)
    return OpenChain(chain=chain(first, [LineTo(p) for p in rest]), stands=stands)  # type: ignore[arg-type]


def clamp(region: Region, top: float = 12.0, line: int = 30) -> Obstacle:
    return Obstacle(name="clamp", region=region, top=top, origin=span(line))


CUTTER = Tool(
    name="T1",
    number=1,
    kind="end_mill",
    diameter=10.0,
    flutes=3,
    flute_length=25,
    stickout=30,
    shank_diameter=10,
    material="carbide",
    centre_cutting=True,
    helix_angle=0.6,
    length_offset=1,
    diameter_offset=1,
    origin=span(40),
)


def job(
    *keeps: KeepRegion,
    stock: Region | None = None,
    thickness: float = 20.0,
    datum: tuple[float, float] = (0, 0),
    lowest_cut: float | None = -12.0,
    obstacles: Sequence[Obstacle] = (),
    clearance: float = 20.0,
    to: float | None = -10.0,
    units: str = "mm",
) -> Job:
    """A plate of 100 x 70 x 20 with the given regions; everything else is sound."""
    return Job(
        title=Title(name="focuser-plate"),
        units=units,  # type: ignore[arg-type]
        digest="0" * 64,
        spec_file="focuser-plate.yaml",
        machine=Machine(name="bench mill", max_rpm=8000, max_feed=3000, rapid=6000),
        material=MATERIALS["aluminium_6061"],
        stock=Stock(
            region=block(0, 0, 100, 70) if stock is None else stock,
            top=0.0,
            thickness=thickness,
            origin=span(8),
        ),
        datum=Datum(at=Point(*datum), said="stock lower_left"),
        workholding=Workholding(lowest_cut=lowest_cut, obstacles=tuple(obstacles), origin=span(15)),
        heights=Heights(clearance=clearance, approach=1.3, origin=span(12)),
        keep_regions=keeps,
        tools=(CUTTER, replace(CUTTER, name="T2", number=2, diameter=6.0)),
        passes=(
            Pass(kind="rough", name="rough", tool="T1", to=to, origin=span(50)),
            Pass(kind="finish_walls", name="finish", tool="T2", origin=span(51)),
        ),
    )


def built(subject: Job) -> Part:
    outcome = build_part(subject)
    assert outcome.findings == ()
    assert outcome.value is not None
    return outcome.value


def the_only(subject: Job) -> Diagnostic:
    outcome = build_part(subject)
    (found,) = outcome.findings
    assert outcome.failed == (found.severity is Severity.ERROR)
    assert found.help and found.primary is not None
    return found


def test_the_datum_becomes_the_origin() -> None:
    subject = job(
        keep("boss", disc(30, 30, 10)),
        keep("rail", rail((90, 0), (90, 70))),
        datum=(50, 35),
        obstacles=[clamp(block(-10, 60, -2, 70))],
    )
    part = built(subject)
    assert part.stock == block(-50, -35, 50, 35)
    boss, wall = part.standing
    assert boss.region == disc(-20, -5, 10) and not boss.is_open
    assert wall.is_open and wall.region.bounds[0] == 40
    assert part.obstacles[0].region.bounds == (-60, 25, -52, 35)
    assert (part.stock_top, part.stock_bottom, part.lowest_cut) == (0, -20, -12)
    assert (part.clearance, part.approach) == (20, 1.3)


def test_open_regions_reach_into_the_air() -> None:
    part = built(job(keep("rail", rail((90, 0), (90, 70)))))
    assert part.air == 4 * 10 + 25
    (standing,) = part.standing
    assert standing.region.bounds == (90, -part.air, 100 + part.air, 70 + part.air)
    assert intersection(standing.region, part.stock).area == pytest.approx(700)
    left = built(job(keep("rail", rail((90, 0), (90, 70), stands="left")))).standing[0]
    assert contains(left.region, Point(10, 35)) and not contains(left.region, Point(95, 35))


def test_what_a_region_says_is_carried_on() -> None:
    said = replace(
        keep("lug", block(20, 20, 40, 40), top=-2.5),
        tolerance=0.05,
        wall_allowance=0.2,
        floor_allowance=0.1,
        about="datum face",
    )
    (standing,) = built(job(said)).standing
    assert (standing.name, standing.top, standing.tolerance) == ("lug", -2.5, 0.05)
    assert (standing.wall_allowance, standing.floor_allowance) == (0.2, 0.1)
    assert (standing.about, standing.origin) == ("datum face", span(20))


def test_the_lowest_cut_is_the_underside_where_nothing_is_said_or_less() -> None:
    assert built(job(keep("boss", disc(30, 30, 9)), lowest_cut=None)).lowest_cut == -20
    assert built(job(keep("boss", disc(30, 30, 9)), lowest_cut=-33)).lowest_cut == -20


def test_a_region_outside_the_stock() -> None:
    found = the_only(job(keep("boss", disc(300, 30, 10))))
    assert found.code == "E310" and found.primary == Label(
        span(20), "X 290 mm to 310 mm, Y 20 mm to 40 mm"
    )
    assert "0 mm to 100 mm" in found.help


def test_a_region_that_sticks_out() -> None:
    found = the_only(job(keep("boss", disc(95, 35, 10))))
    assert found.code == "E311"
    assert "by 5 mm" in found.message
    beyond = dict(found.data)["area_beyond_mm2"]
    assert beyond == pytest.approx(
        difference(disc(95, 35, 10), block(0, 0, 100, 70)).area, rel=0.01
    )
    round_stock = job(keep("bar", block(-48, -20, 48, 20)), stock=disc(0, 0, 50))
    assert the_only(round_stock).code == "E311"


def test_an_edge_on_the_stocks_edge_is_fine() -> None:
    built(job(keep("end", block(80, 0, 100, 70))))
    built(job(keep("end", block(80, 0, 100.002, 70))))
    assert the_only(job(keep("end", block(80, 0, 100.003, 70)))).code == "E311"
    built(job(keep("disc", disc(0, 0, 50)), stock=disc(0, 0, 50)))


def test_lengths_are_told_in_the_jobs_units() -> None:
    found = the_only(job(keep("boss", disc(95, 35, 10)), units="inch"))
    assert "0.1969 in" in found.message


def test_an_empty_region() -> None:
    outcome = build_part(job(keep("ghost", EMPTY), keep("boss", disc(30, 30, 9))))
    assert [f.code for f in outcome.findings] == ["E308"] and outcome.failed


def test_open_paths_that_do_not_cross() -> None:
    short = the_only(job(keep("rail", rail((90, 0), (90, 60)))))
    assert short.code == "E314" and "10 mm from its edge" in short.message
    assert short.path == "keep_regions.rail.open"
    beside = the_only(job(keep("rail", rail((190, 0), (190, 60)))))
    assert beside.code == "E314"
    # the author's own coordinates, whatever the datum
    shifted = the_only(job(keep("rail", rail((90, 0), (90, 60))), datum=(50, 50)))
    assert "(90, 60)" in shifted.message
    crossing = rail((30, 0), (30, 25), (50, 25), (20, -5))
    assert the_only(job(keep("rail", crossing))).code == "E306"
    assert build_part(job(keep("rail", crossing))).value is None


def test_tops_out_of_reach() -> None:
    high = the_only(job(keep("boss", disc(30, 30, 9), top=1.0)))
    assert high.code == "E312" and "1 mm above" in high.message
    assert high.secondary[0].span == span(8)
    low = the_only(job(keep("boss", disc(30, 30, 9), top=-13.0)))
    assert low.code == "E313" and low.secondary[0].span == span(15)
    below_all = the_only(job(keep("boss", disc(30, 30, 9), top=-20.0), lowest_cut=None))
    assert below_all.code == "E313"
    unreached = the_only(job(keep("boss", disc(30, 30, 9), top=-11.0)))
    assert unreached.code == "W313" and unreached.severity is Severity.WARNING
    built(job(keep("boss", disc(30, 30, 9), top=-11.0), to=None))


def test_the_clearance_height() -> None:
    boss = keep("boss", disc(50, 35, 9))
    scrape = the_only(job(boss, clearance=0.0))
    assert scrape.code == "E316" and scrape.primary == Label(span(12))
    hit = the_only(job(boss, clearance=10.0, obstacles=[clamp(block(-9, 0, -1, 9), top=12.0)]))
    assert hit.code == "E316" and "obstacle `clamp`" in hit.message
    assert "14.5 mm or more" in hit.help
    low = the_only(job(boss, clearance=2.0))
    assert low.code == "W316" and low.severity is Severity.WARNING
    built(job(boss, clearance=2.5))


def test_a_clearance_nobody_gave_is_blamed_on_the_highest() -> None:
    subject = job(keep("boss", disc(50, 35, 9)), obstacles=[clamp(block(-9, 0, -1, 9), top=30.0)])
    unsaid = replace(subject, heights=Heights(clearance=20.0, approach=1.3))
    assert the_only(unsaid).primary == Label(span(30))


def test_stock_of_no_size() -> None:
    boss = keep("boss", disc(30, 30, 9))
    for bad in (job(boss, stock=EMPTY), job(boss, thickness=0.0)):
        assert the_only(bad).code == "E317"
        assert build_part(bad).value is None


def test_a_lowest_cut_above_the_stock() -> None:
    found = the_only(job(keep("boss", disc(30, 30, 9)), lowest_cut=12.0))
    assert found.code == "E318" and found.primary == Label(span(15))


def test_an_obstacle_beside_a_wall() -> None:
    # the slimmest cutter used is 6 mm: a clamp 4 mm from the boss is in its way, 7 mm is not
    boss = keep("boss", block(30, 20, 50, 50))
    near = the_only(job(boss, obstacles=[clamp(block(54, 30, 70, 40), top=5.0)]))
    assert near.code == "W315" and near.severity is Severity.WARNING
    assert near.primary is not None and near.primary.span == span(30)
    # its way is 3 mm from the boss, 1 mm from the clamp: barred over 10 and twice sqrt(3^2 - 1^2)
    assert dict(near.data)["hidden_mm"] == pytest.approx(10 + 2 * 8**0.5, abs=1e-6)
    built(job(boss, obstacles=[clamp(block(57, 30, 70, 40), top=5.0)]))
    built(job(boss, obstacles=[clamp(block(54, 30, 70, 40), top=-10.0)]))  # at the floor
    on_top = the_only(job(boss, obstacles=[clamp(block(40, 30, 70, 40), top=5.0)]))
    assert on_top.code == "W315"


def test_a_jaw_along_the_stock_bars_no_wall_that_is_the_stocks_own_edge() -> None:
    end = keep("end", block(0, 0, 20, 70))
    built(job(end, obstacles=[clamp(block(-10, 0, 0, 70), top=5.0)]))


def test_all_findings_come_together() -> None:
    outcome = build_part(
        job(
            keep("boss", disc(300, 30, 10)),
            keep("lug", disc(95, 35, 10), line=21),
            keep("rail", rail((90, 0), (90, 60)), line=22),
            keep("high", disc(30, 30, 9), top=3.0, line=23),
            clearance=1.0,
        )
    )
    codes = [f.code for f in outcome.findings]
    assert codes == ["E310", "E311", "E314", "E312", "E316"]
    assert outcome.value is None


def test_outlines_too_close_to_join_are_a_finding_not_a_traceback(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from compiler.geometry import combine

    # no drawing is known that provokes this; a join that loses pieces must still be told well
    monkeypatch.setattr(combine, "trace", lambda pieces: ([], 3.0))
    found = build_part(job(keep("boss", disc(95, 35, 10)))).findings
    assert [f.code for f in found] == ["E309"]
    assert "3 mm" in found[0].message and found[0].help


def test_the_same_job_gives_the_same_part() -> None:
    subject = job(keep("boss", disc(30, 30, 9)), keep("rail", rail((90, 0), (90, 70))))
    assert repr(build_part(subject)) == repr(build_part(subject))


def test_a_datum_far_from_the_stock_is_asked_about() -> None:
    boss = keep("boss", disc(50, 35, 9))
    found = the_only(job(boss, datum=(1500.0, 70.0)))
    assert (found.code, found.severity) == ("W318", Severity.WARNING)
    assert found.message == "the datum lies 1400 mm from the stock"
    built(job(boss, datum=(-99.0, 0.0)))  # a stop beside the plate


def test_floors_above_the_stock_are_no_news_of_every_region() -> None:
    boss = keep("boss", disc(50, 35, 9))
    assert build_part(job(boss, to=5.0)).findings == ()
