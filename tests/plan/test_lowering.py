"""Passes become operations: levels, defaults with reasons, and what the planner refuses."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from planning_bench import Keep, a_pass, bench, block, disc, end_mill, with_holes

from compiler.diagnostics import Outcome, Severity
from compiler.geometry import Point
from compiler.job.model import CoolantKind, CuttingGiven, PassKind, Tool
from compiler.knowledge.materials import MATERIALS
from compiler.plan.lower import lower
from compiler.plan.model import Operation, OperationList

BOSS = {"boss": disc(35, 35, 15)}
TERRACES = {"boss": disc(30, 35, 12), "lug": Keep(block(60, 20, 85, 50), top=-2.0)}


def plan_of(keep, passes, **keys) -> OperationList:
    job, part = bench(keep, passes, **keys)
    outcome = lower(job, part)
    assert outcome.value is not None and not outcome.failed, outcome.findings
    return outcome.value


def codes(outcome: Outcome[OperationList]) -> list[str]:
    return [found.code for found in outcome.findings]


def refused(keep, passes, **keys) -> Outcome[OperationList]:
    job, part = bench(keep, passes, **keys)
    outcome = lower(job, part)
    assert outcome.failed
    for found in outcome.findings:
        assert found.help and found.primary is not None
    return outcome


def heights(operation: Operation) -> list[tuple[float, float]]:
    return [(level.top_mm, level.bottom_mm) for level in operation.levels]


class TestLevels:
    def test_are_split_at_terraces_then_evenly(self) -> None:
        rough = a_pass("rough", to=-10.0, axial_depth=4.0, floor_allowance=0.0)
        (operation,) = plan_of(TERRACES, [rough]).operations
        assert heights(operation) == [(0, -2), (-2, -6), (-6, -10)]
        assert operation.levels[0].standing == ("boss",)
        assert operation.levels[1].standing == ("boss", "lug")

    def test_leave_the_floor_allowance_on_terraces_too(self) -> None:
        passes = [a_pass("rough", to=-10.0, axial_depth=20.0), a_pass("finish_floor")]
        rough, finish = plan_of(TERRACES, passes).operations
        assert heights(rough) == [(0, -1.9), (-1.9, -9.9)]
        assert heights(finish) == [(-1.9, -2), (-9.9, -10)]
        assert finish.levels[0].over == ("lug",)
        assert "lug" not in finish.levels[0].standing

    def test_walls_take_one_level_where_the_flutes_reach(self) -> None:
        passes = [a_pass("rough", to=-10.0), a_pass("finish_walls", axial_depth=4.0)]
        *_, walls = plan_of(BOSS, passes).operations
        assert heights(walls) == [(0, -3.333333), (-3.333333, -6.666667), (-6.666667, -10)]
        *_, walls = plan_of(BOSS, [a_pass("rough", to=-10.0), a_pass("finish_walls")]).operations
        assert heights(walls) == [(0, -10)]

    def test_start_below_a_face_pass(self) -> None:
        keep = {"boss": Keep(disc(35, 35, 15), top=-1.0)}
        face, rough = plan_of(keep, [a_pass("face"), a_pass("rough", to=-5.0)]).operations
        assert heights(face) == [(0, -1)]
        assert rough.levels[0].top_mm == -1


class TestDefaults:
    def test_to_is_the_deepest_before(self) -> None:
        passes = [
            a_pass("rough", to=-3.0),
            a_pass("rough", to=-6.0),
            a_pass("rough", to=-4.0),
            a_pass("finish_floor"),
        ]
        last = plan_of(BOSS, passes).operations[-1]
        assert last.levels[-1].bottom_mm == -6
        assert "to -6 mm: the deepest floor before it" in last.reasons

    def test_allowances_wait_for_the_passes_that_take_them(self) -> None:
        alone = plan_of(BOSS, [a_pass("rough", to=-5.0)]).operations[0]
        assert alone.wall_allowance_mm == alone.floor_allowance_mm == 0
        passes = [a_pass("rough", to=-5.0), a_pass("finish_floor"), a_pass("finish_walls")]
        rough, floor, walls = plan_of(BOSS, passes).operations
        assert (rough.wall_allowance_mm, rough.floor_allowance_mm) == (0.25, 0.1)
        assert (floor.wall_allowance_mm, floor.floor_allowance_mm) == (0.25, 0)
        assert walls.wall_allowance_mm == 0
        inch = plan_of(BOSS, passes, units="inch").operations[0]
        assert inch.wall_allowance_mm == pytest.approx(0.010 * 25.4)

    def test_a_region_may_ask_for_its_own_allowance(self) -> None:
        keep = {"boss": Keep(disc(35, 35, 15), allowance=0.6)}
        (rough,) = plan_of(keep, [a_pass("rough", to=-5.0)]).operations
        assert rough.wall_allowance_by_region_mm == {"boss": 0.6}

    def test_engagement_and_radial_depth_follow_from_each_other(self) -> None:
        """cos(phi) = 1 - ae/r: El-Hofy, Fundamentals of Machining Processes, sec. 6.3.1.4.

        A quarter of the diameter is 60 degrees, three quarters 120 (same relation, derived).
        """
        named = {"pattern": "constant_engagement"}
        by_angle = a_pass("rough", to=-5.0, engagement=math.radians(60), **named)
        assert plan_of(BOSS, [by_angle]).operations[0].radial_depth_mm == pytest.approx(2.5)
        by_depth = a_pass("rough", to=-5.0, radial_depth=7.5, **named)
        assert plan_of(BOSS, [by_depth]).operations[0].engagement_deg == pytest.approx(120)

    def test_rows_promise_no_engagement(self) -> None:
        rough = a_pass("rough", to=-5.0, pattern="contour_parallel")
        operation = plan_of(BOSS, [rough]).operations[0]
        assert operation.engagement_deg is None
        assert operation.radial_depth_mm == 4.0

    def test_every_default_has_its_reason(self) -> None:
        (operation,) = plan_of(BOSS, [a_pass("rough", to=-5.0)]).operations
        said = "\n".join((*operation.reasons, *operation.cutting.reasons))
        for word in ("pattern", "radial depth", "axial depth", "direction", "ramps"):
            assert word in said, word

    def test_a_limit_asks_for_the_pattern_that_keeps_it(self) -> None:
        limited = a_pass("rough", to=-5.0, engagement=math.radians(60))
        (operation,) = plan_of(BOSS, [limited]).operations
        assert operation.pattern == "constant_engagement"
        assert "an engagement limit is given" in "\n".join(operation.reasons)

    def test_a_pattern_that_promises_a_limit_says_which(self) -> None:
        engaged = a_pass("rough", to=-5.0, pattern="constant_engagement")
        (operation,) = plan_of(BOSS, [engaged]).operations
        assert operation.engagement_deg is not None
        assert any("engagement" in reason for reason in operation.reasons)

    def test_given_values_need_no_reason(self) -> None:
        rough = a_pass(
            "rough", to=-5.0, pattern="contour_parallel", radial_depth=3.0, direction="climb",
            axial_depth=2.0, wall_allowance=0.1, floor_allowance=0.1,
        )  # fmt: skip
        said = " ".join(plan_of(BOSS, [rough]).operations[0].reasons)
        assert "common practice" not in said and "axial depth" not in said

    def test_rest_follows_all_clearing_before_it(self) -> None:
        passes = [a_pass("rough", to=-5.0, name="first"), a_pass("rest", "T2")]
        rest = plan_of(BOSS, passes, tools=[end_mill(), end_mill("T2", 4.0)]).operations[1]
        assert rest.after == ("first",)


class TestRefusals:
    def test_no_floor(self) -> None:
        assert codes(refused(BOSS, [a_pass("rough")])) == ["E401"]

    def test_lost_minus_sign(self) -> None:
        assert codes(refused(BOSS, [a_pass("rough", to=5.0)])) == ["E402"]

    def test_below_the_stock_and_below_the_jaws(self) -> None:
        assert codes(refused(BOSS, [a_pass("rough", to=-21.0)])) == ["E403"]
        outcome = refused(BOSS, [a_pass("rough", to=-12.0)], lowest_cut=-11.0)
        assert "lowest_cut" in outcome.findings[0].message

    def test_a_drill_cannot_clear(self) -> None:
        outcome = refused(BOSS, [a_pass("rough", to=-5.0)], tools=[end_mill(kind="drill")])
        assert codes(outcome) == ["E404"]

    def test_more_depth_than_flutes(self) -> None:
        outcome = refused(BOSS, [a_pass("rough", to=-15.0, axial_depth=30.0)])
        assert codes(outcome) == ["E405"]
        assert "25 mm" in outcome.findings[0].help

    def test_too_large_for_every_gap_names_gap_place_and_tool(self) -> None:
        frame = with_holes(block(-1, -1, 101, 71), block(20, 30, 80, 38))
        outcome = refused(
            {"frame": frame},
            [a_pass("rough", to=-5.0, pattern="contour_parallel", line=31)],
            tools=[end_mill(), end_mill("T2", 6.0), end_mill("T3", 4.0)],
        )
        (found,) = outcome.findings
        assert found.code == "E406"
        assert "8 mm" in found.message and "Y34" in found.message
        assert "`T2`" in found.help
        assert found.primary is not None and found.primary.span.line == 31

    def test_facing_off_a_region(self) -> None:
        outcome = refused(BOSS, [a_pass("face", to=-1.0)])
        assert codes(outcome) == ["E407"]
        assert "boss" in outcome.findings[0].message

    def test_rows_further_apart_than_the_cutter_is_wide(self) -> None:
        assert codes(refused(BOSS, [a_pass("rough", to=-5.0, radial_depth=12.0)])) == ["E409"]

    def test_all_findings_come_at_once(self) -> None:
        passes = [a_pass("rough", to=5.0), a_pass("rough", to=-30.0), a_pass("face", to=-1.0)]
        assert codes(refused(BOSS, passes)) == ["E402", "E403", "E407"]

    def test_a_given_speed_beyond_the_machine(self) -> None:
        rough = a_pass("rough", to=-5.0, cutting=CuttingGiven(rpm=60000))
        assert "E410" in codes(refused(BOSS, [rough]))


class TestWarnings:
    def warned(self, keep, passes, **keys) -> list[str]:
        job, part = bench(keep, passes, **keys)
        outcome = lower(job, part)
        assert outcome.value is not None
        assert all(found.severity is Severity.WARNING for found in outcome.findings)
        return codes(outcome)

    def test_a_gap_that_no_pass_comes_into(self) -> None:
        ring = {"ring": with_holes(disc(50, 35, 25), disc(50, 35, 4))}
        job, part = bench(ring, [a_pass("rough", to=-5.0)])
        assert codes(lower(job, part)) == ["E450"]
        passes = [a_pass("rough", to=-5.0), a_pass("rest", "T2")]
        tools = [end_mill(), end_mill("T2", 5.0)]
        assert self.warned(ring, passes, tools=tools) == []

    def test_regions_on_a_rough_pass(self) -> None:
        assert self.warned(BOSS, [a_pass("rough", to=-5.0, regions=("boss",))]) == ["W402"]

    def test_a_given_speed_out_of_range(self) -> None:
        rough = a_pass("rough", to=-5.0, cutting=CuttingGiven(speed=500.0))
        assert "W403" in self.warned(BOSS, [rough], tools=[end_mill(diameter=20.0)])

    def test_a_long_reach(self) -> None:
        slim: Tool = end_mill(stickout=70.0)
        assert "W404" in self.warned(BOSS, [a_pass("rough", to=-5.0)], tools=[slim])


class TestMachineAndMaterial:
    def test_a_floor_beyond_z_travel_is_refused(self) -> None:
        job, part = bench(BOSS, [a_pass("rough", to=-10.0)])
        low = replace(job, machine=replace(job.machine, travel=(500.0, 500.0, 14.0)))
        outcome = lower(low, part)  # clearance 5 above, 10 below: 15 in all
        assert "E415" in codes(outcome)
        high = replace(job, machine=replace(job.machine, travel=(500.0, 500.0, 15.0)))
        assert "E415" not in codes(lower(high, part))

    @pytest.mark.parametrize(
        ("name", "coolant", "warned"),
        [
            ("magnesium_az31", "flood", True),
            ("magnesium_az31", "air", False),
            ("titanium_6al4v", "none", True),
            ("titanium_6al4v", "flood", False),
            ("steel_1018", "flood", False),
        ],
    )
    def test_a_coolant_that_feeds_a_fire_is_warned_of(
        self, name: str, coolant: CoolantKind, warned: bool
    ) -> None:
        job, part = bench(BOSS, [a_pass("rough", to=-5.0, coolant=coolant)])
        outcome = lower(replace(job, material=MATERIALS[name]), part)
        assert ("W481" in codes(outcome)) == warned


class TestWhatIsSaidOnceAndWhere:
    def test_a_depth_with_the_wrong_sign_is_told_once(self) -> None:
        passes = [a_pass("rough", to=5.0), a_pass("finish_floor"), a_pass("finish_walls")]
        assert codes(refused(BOSS, passes)) == ["E402"]

    def test_a_depth_that_comes_later_is_named(self) -> None:
        passes = [a_pass("rest"), a_pass("rough", to=-5.0, name="clear all")]
        found = next(f for f in refused(BOSS, passes).findings if f.code == "E401")
        assert "`to` stands in `clear all`, which comes later" in found.message
        assert found.help.startswith("put `clear all` first")

    @pytest.mark.parametrize(
        ("floors", "early"),
        [
            ([("rest", -5.0), ("rough", -5.0)], True),
            ([("rough", -2.0), ("finish_walls", -5.0), ("rough", -5.0)], True),
            ([("rough", -2.0), ("finish_walls", -2.0), ("rough", -5.0)], False),
            ([("rough", -5.0), ("rest", -5.0), ("finish_walls", -5.0)], False),
        ],
    )
    def test_finishing_before_the_roughing_of_its_depth(
        self, floors: list[tuple[PassKind, float]], early: bool
    ) -> None:
        passes = [a_pass(kind, to=to, name=f"p{k}") for k, (kind, to) in enumerate(floors)]
        job, part = bench(BOSS, passes)
        assert ("W407" in codes(lower(job, part))) is early

    def test_no_coolant_has_its_reason_too(self) -> None:
        (rough,) = plan_of(BOSS, [a_pass("rough", to=-5.0)]).operations
        assert "coolant none: the pass asks for none" in rough.reasons

    def test_a_hole_right_through_is_shown_its_road(self) -> None:
        drill = end_mill("T2", 8.0, kind="drill", tip_angle=math.radians(118), flutes=2)
        hole = a_pass("drill", "T2", to=-20.5, at=(Point(80, 20),))
        job, part = bench(BOSS, [a_pass("rough", to=-5.0), hole], tools=[end_mill(), drill])
        (found,) = [f for f in lower(job, part).findings if f.code == "E403"]
        # a cone of 118 degrees and 8 mm is 4 / tan(59 deg) = 2.403 mm high (plane geometry)
        assert "its point to -22.903 mm" in found.message
        assert "workholding.obstacles" in found.help
        assert "`workholding: {lowest_cut: -23}`" in found.help

    def test_stock_that_is_too_thin_can_not_be_held_better(self) -> None:
        found = refused(BOSS, [a_pass("rough", to=-500.0)]).findings
        thin = next(f for f in found if f.code == "E403")
        assert thin.help.endswith("take thicker stock")
