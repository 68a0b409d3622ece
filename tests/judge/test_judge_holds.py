"""A good program holds every obligation, and its report says what was measured."""

from __future__ import annotations

import math

import pytest
from boss_plate import BOSS, world

from compiler.judge.judge import CODES
from compiler.judge.model import Report


@pytest.fixture(scope="module")
def report() -> Report:
    outcome = world().judge()
    assert outcome.value is not None
    assert outcome.findings == ()
    return outcome.value


def test_every_obligation_is_asked_and_held(report: Report) -> None:
    assert [entry.name for entry in report.obligations] == list(CODES)
    assert report.held


def test_the_wall_is_met_exactly(report: Report) -> None:
    entry = report.obligations[0]
    assert entry.name == "regions_stand"
    assert entry.measured == pytest.approx(0.0, abs=1e-4)
    assert entry.margin == pytest.approx(0.0025, abs=1e-4)


def test_removed_volume_is_the_stock_less_the_boss(report: Report) -> None:
    # (60 x 40 - pi 10^2) x 4, plane geometry
    assert report.removed_mm3 == pytest.approx((2400 - math.pi * BOSS**2) * 4, rel=1e-3)
    (facts,) = report.operations
    assert facts.removed_mm3 == report.removed_mm3
    assert facts.lowest_z_mm == -4.0
    assert facts.lifts == 0


def test_cutting_length_is_the_rings_and_their_links(report: Report) -> None:
    rings = sum(2 * math.pi * (42 - 3 * k) for k in range(10))
    links, down = 27.0, 1.3 + 4.0
    assert report.operations[0].cut_length_mm == pytest.approx(rings + links + down, abs=1e-2)


def test_same_program_same_report(report: Report) -> None:
    assert world().judge().value == report


def test_a_planned_turn_may_stand_as_several_arcs() -> None:
    whole = world()
    text = whole.text.replace(
        "G2 X-12.0000 Y20.0000 Z-4.000 I-42.0000 J0.0000 F400.0\n",
        "G2 X30.0000 Y-22.0000 Z-4.000 I-42.0000 J0.0000 F400.0\n"
        "G2 X-12.0000 Y20.0000 Z-4.000 I0.0000 J42.0000 F400.0\n",
    )
    assert text != whole.text
    edited = whole.edited(whole.text, text)
    outcome = edited.judge()
    assert outcome.value is not None and outcome.value.held, outcome.findings
