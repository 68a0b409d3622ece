"""`tool: auto`: the cutter that is taken, against planning every other choice in full."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest
from conftest import THOROUGH
from open_job import (
    ANGLE,
    CRIB,
    RIBS,
    ROUGH,
    ROUND,
    WALLS,
    compiled,
    cutters,
    job_text,
    lowered,
    shop_text,
    write_job,
)

from compiler.road import Journey, plan_job


def time_of(journey: Journey) -> float:
    assert journey.report is not None and not journey.failed, journey.findings
    return journey.report.time_s


@pytest.fixture(scope="module")
def taken(tmp_path_factory: pytest.TempPathFactory) -> Journey:
    """The job with both cutters left open, compiled."""
    return compiled(tmp_path_factory.mktemp("open"), job_text(ROUGH, WALLS))


def others_of(chosen: tuple[str, str]) -> list[tuple[str, str]]:
    """Pairs of cutters to hold the choice against: all; for a quick suite all but those in which
    both are other ones.
    """
    pairs = list(product(CRIB, CRIB))
    return pairs if THOROUGH else [p for p in pairs if p[0] == chosen[0] or p[1] == chosen[1]]


def test_no_other_choice_is_quicker(tmp_path: Path, taken: Journey) -> None:
    chosen = cutters(taken)
    assert not taken.failed and taken.report is not None and taken.report.held
    for rough, walls in others_of((chosen["rough 1"], chosen["finish_walls 1"])):
        tools = ", ".join(f"{name}: {{crib: {name}}}" for name in dict.fromkeys((rough, walls)))
        named = job_text(ROUGH.replace("auto", rough), WALLS.replace("auto", walls), tools=tools)
        other = compiled(tmp_path / f"{rough}-{walls}", named)
        assert time_of(taken) <= time_of(other) + 1e-6, (rough, walls)
        if {"rough 1": rough, "finish_walls 1": walls} == chosen:
            # the same job as if it had named them: number, digest, program to the byte
            assert other.job is not None and taken.job is not None
            assert other.job.digest == taken.job.digest
            assert other.written is not None and taken.written is not None
            assert other.written.text == taken.written.text


def test_the_plan_says_why(taken: Journey) -> None:
    plan = taken.plan
    assert plan is not None and plan.choice is not None
    first, *others = plan.choice.trials
    assert first.verdict == "taken" and first.time_s is not None
    assert all(t.time_s is None or t.time_s >= first.time_s for t in others)
    said = plan.operations[0].reasons[0]
    assert said.startswith(f"{plan.operations[0].tool} chosen: the job takes ")
    assert "the next best" in said


def test_the_time_is_that_of_the_report(taken: Journey) -> None:
    assert taken.plan is not None and taken.plan.choice is not None
    assert taken.plan.choice.trials[0].time_s == pytest.approx(time_of(taken), abs=1e-3)


def test_a_gap_asks_for_a_cutter_that_goes_through(tmp_path: Path) -> None:
    chosen = cutters(lowered(tmp_path, job_text(ROUGH, keep=RIBS)))
    assert chosen == {"rough 1": "em_5"}  # 10 mm would leave the gap of 7 mm standing


def test_with_a_rest_pass_the_large_one_roughs(tmp_path: Path) -> None:
    journey = lowered(tmp_path, job_text(ROUGH, "rest: {tool: auto}", keep=RIBS))
    chosen = cutters(journey)
    assert chosen["rest 1"] == "em_5"
    assert chosen["rough 1"] in ("em_10", "em_16")
    assert journey.plan is not None
    said = journey.plan.operations[1].reasons[0]
    assert "goes through the narrowest gap, 7 mm" in said


def test_a_rest_pass_that_would_pay_is_advised_not_added(tmp_path: Path) -> None:
    # a broad plate with one narrow gap: the small cutter alone is slow
    keep = (
        "one: {rectangle: {from: [10, 10], size: [10, 24], corner_radius: 2}}, "
        "two: {rectangle: {from: [27, 10], size: [10, 24], corner_radius: 2}}"
    )
    job = job_text(ROUGH, keep=keep).replace("to: [60, 40]", "to: [160, 100]")
    journey = lowered(tmp_path, job)
    assert list(cutters(journey)) == ["rough 1"]
    advice = next(found for found in journey.findings if found.code == "W480")
    assert "- rest: {tool: auto}" in advice.help
    # and what it promises is so
    again = lowered(tmp_path / "again", job.rstrip() + "\n  - rest: {tool: auto}\n")
    assert again.plan is not None and again.plan.choice is not None
    assert journey.plan is not None and journey.plan.choice is not None
    before, after = journey.plan.choice.trials[0].time_s, again.plan.choice.trials[0].time_s
    assert before is not None and after is not None and after < 0.9 * before


def test_the_finishing_cutter_fits_the_drawn_radius(tmp_path: Path) -> None:
    chosen = cutters(lowered(tmp_path / "three", job_text(ROUGH, WALLS, keep=ANGLE)))
    assert chosen["finish_walls 1"] == "em_5"
    wider = ANGLE.replace("round: 3", "round: 5.5")
    chosen = cutters(lowered(tmp_path / "wider", job_text(ROUGH, WALLS, keep=wider)))
    assert chosen["finish_walls 1"] == "em_10"


def test_a_sharp_corner_speaks_for_no_cutter(tmp_path: Path) -> None:
    sharp = ANGLE.replace(", round: 3", "")
    journey = lowered(tmp_path, job_text(ROUGH, WALLS, keep=sharp))
    assert cutters(journey)["finish_walls 1"] != "em_5"
    assert journey.plan is not None
    assert "of radius in sharp inside corners" in journey.plan.operations[-1].reasons[0]


def test_the_order_of_the_crib_says_nothing(tmp_path: Path, taken: Journey) -> None:
    turned = dict(reversed(CRIB.items()))
    two = compiled(tmp_path, job_text(ROUGH, WALLS), shop_text(turned))
    assert taken.written is not None and two.written is not None
    assert taken.written.text == two.written.text
    assert taken.plan is not None and two.plan is not None
    assert taken.plan.choice == two.plan.choice


def test_a_cutter_of_the_job_may_be_chosen_too(tmp_path: Path) -> None:
    tools = "T7: {end_mill: {diameter: 16, flutes: 5, flute_length: 26, material: carbide}}"
    journey = lowered(tmp_path, job_text(ROUGH, tools=tools))
    assert journey.job is not None
    assert {tool.name: tool.number for tool in journey.job.tools} == {"T7": 7}
    # and one that is not used is left out
    slow = tools.replace("16", "3").replace("26", "7")
    journey = lowered(tmp_path / "slow", job_text(ROUGH, tools=slow))
    assert journey.job is not None
    assert [tool.number for tool in journey.job.tools] == [1]


def test_a_percentage_is_of_the_chosen_cutter(tmp_path: Path) -> None:
    plan = lowered(tmp_path, job_text("rough: {tool: auto, to: -4, radial_depth: 30%}")).plan
    assert plan is not None
    size = plan.tools[0].diameter_mm
    assert plan.operations[0].radial_depth_mm == pytest.approx(0.3 * size)


def test_the_crib_numbers_stay_where_they_are_free(tmp_path: Path) -> None:
    text = shop_text()
    for size in ("16", "10"):
        mill = f"{{end_mill: {{diameter: {size}"
        text = text.replace(mill, mill.replace("{end", "{number: 4, end"))
    journey = lowered(tmp_path, job_text(ROUGH), text)
    assert journey.job is not None and [t.number for t in journey.job.tools] == [4]
    assert journey.job.tools[0].length_offset == 4
    own = "T4: {end_mill: {diameter: 6, flutes: 3, flute_length: 13, material: carbide}}"
    named = job_text(ROUGH, WALLS.replace("auto", "T4"), tools=own)
    journey = lowered(tmp_path / "taken", named, text)
    assert journey.job is not None
    numbers = {tool.name: (tool.number, tool.length_offset) for tool in journey.job.tools}
    assert numbers["T4"] == (4, 4)
    assert numbers[cutters(journey)["rough 1"]] == (1, 1)


# --- what can't be chosen --------------------


def codes(journey: Journey) -> list[str]:
    return [found.code for found in journey.findings]


def test_nothing_fits(tmp_path: Path) -> None:
    narrow = "one: {rectangle: {from: [0, 0], size: [29, 40]}}, " + (
        "two: {rectangle: {from: [30, 0], size: [30, 40]}}"
    )
    journey = lowered(tmp_path, job_text(ROUGH, keep=narrow))
    assert codes(journey) == ["E480"]
    notes = journey.findings[0].notes
    assert len(notes) == len(CRIB) and all("goes into no gap" in note for note in notes)


def test_what_a_machine_or_a_reach_forbids_is_passed_over(tmp_path: Path) -> None:
    crib = {
        **CRIB,
        "long": "{diameter: 10, flutes: 3, flute_length: 22, stickout: 90, material: carbide}",
        "steel": "{diameter: 40, flutes: 4, flute_length: 40, material: hss}",
        "short": "{diameter: 12, flutes: 3, flute_length: 3, stickout: 3, material: carbide, "
        "holder: {diameter: 30, length: 30}}",
    }
    shop = shop_text(
        crib,
        "machines:\n  fast: {spindle: {max_rpm: 20000, min_rpm: 4000}, feed: {max: 5000}}\n",
    )
    plan = lowered(tmp_path, job_text(ROUGH, machine="fast"), shop).plan
    assert plan is not None and plan.choice is not None
    over = {each.tool: each.why for each in plan.choice.passed_over}
    assert "sticks out 9.0 diameters" in over["long"]
    assert "even 4000 rpm" in over["steel"]
    assert "its holder would touch" in over["short"]


def test_a_material_without_figures_for_the_cutter(tmp_path: Path) -> None:
    shop = shop_text(
        {**CRIB, "old": "{diameter: 20, flutes: 4, flute_length: 30, material: hss}"},
        "materials:\n  ours: {specific_cutting_force: 900, cutting_speed: {carbide: 200}, "
        "chip_load: {carbide: [[6, 0.05], [12, 0.1]]}}\n",
    )
    plan = lowered(tmp_path, job_text(ROUGH, material="ours"), shop).plan
    assert plan is not None and plan.choice is not None
    assert any("no figures for hss" in each.why for each in plan.choice.passed_over)
    named = job_text(ROUGH.replace("auto", "old"), material="ours", tools="old: {crib: old}")
    assert codes(lowered(tmp_path / "named", named, shop)) == ["E484"]


def test_a_round_post_is_roughed_by_the_largest(tmp_path: Path) -> None:
    # nothing to fear and strength to spare: the widest cut is the quickest
    assert cutters(lowered(tmp_path, job_text(ROUGH, keep=ROUND)))["rough 1"] == "em_16"


def test_a_rounded_corner_is_not_chosen_where_a_flat_one_fits(tmp_path: Path) -> None:
    # twice the teeth, but a fillet of 2 mm at the foot of every wall
    round_one = (
        "  bull_16: {bull_mill: {diameter: 16, corner_radius: 2, flutes: 6, flute_length: 32, "
        "material: carbide, centre_cutting: true}}\n"
    )
    shop = shop_text() + round_one
    assert cutters(lowered(tmp_path, job_text(ROUGH, keep=ROUND), shop))["rough 1"] == "em_16"
    # it is taken where there is no other
    alone = "spec: shop/1\nunits: mm\ncrib:\n" + round_one
    journey = lowered(tmp_path / "alone", job_text(ROUGH, keep=ROUND), alone)
    assert cutters(journey)["rough 1"] == "bull_16"


# --- several setups --------------------

SETUPS = """\
setups:
  - name: top
    datum: {at: stock lower_left}
    workholding: {lowest_cut: -5}
    keep_regions: {post: {circle: {centre: [30, 20], diameter: 16}}}
    passes: [{rough: {tool: auto, to: -4}}]
  - name: underside
    turned: over_y
    datum: {at: stock lower_left}
    workholding: {lowest_cut: -5}
    keep_regions:
      one: {rectangle: {from: [12, 8], size: [10, 24], corner_radius: 2}}
      two: {rectangle: {from: [29, 8], size: [10, 24], corner_radius: 2}}
    passes: [{rough: {tool: auto, to: -3}}]
"""


def test_each_setup_chooses_and_numbers_do_not_clash(tmp_path: Path) -> None:
    head = job_text(ROUGH).partition("keep_regions")[0]
    path = write_job(tmp_path, head + SETUPS)
    journey = plan_job(path, tmp_path)
    assert not journey.failed, journey.findings
    chosen = [{t.name: t.number for t in s.job.tools} for s in journey.setups if s.job is not None]
    assert [list(tools) for tools in chosen] == [["em_16"], ["em_5"]]
    assert chosen[0]["em_16"] != chosen[1]["em_5"]
    # one job, one digest, on all of its sheets and programs
    assert len({setup.job.digest for setup in journey.setups if setup.job is not None}) == 1
