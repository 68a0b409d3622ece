"""Holes, broken edges, walls, entries: the passes and places that clear no area."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from planning_bench import Keep, a_pass, bench, block, disc, end_mill, span, with_holes

from compiler.diagnostics import Outcome
from compiler.geometry import Arc, Line, Point
from compiler.geometry.distance import Clearance
from compiler.geometry.point import Point as Place
from compiler.job.model import Datum, Tool
from compiler.motion import Motions, OperationPath, Rapid, Role, Straight, Turn
from compiler.part.model import Blocked
from compiler.paths.cut import cut
from compiler.plan.lower import lower


def outcome_of(keep, passes, datum: Place | None = None, **keys) -> Outcome[Motions]:
    job, part = bench(keep, passes, **keys)
    if datum is not None:
        job = replace(job, datum=Datum(at=datum, said="elsewhere"))
    plan = lower(job, part)
    assert plan.value is not None and not plan.failed, plan.findings
    return cut(job, part, plan.value)


def paths_of(keep, passes, **keys) -> tuple[OperationPath, ...]:
    outcome = outcome_of(keep, passes, **keys)
    assert outcome.value is not None, outcome.findings
    return outcome.value.paths


BOSS = {"boss": disc(50, 35, 15)}
ROUGH = a_pass("rough", to=-6.0, pattern="contour_parallel")
DRILL: Tool = end_mill("T2", 6.0, kind="drill", tip_angle=math.radians(118), flutes=2)
CHAMFER: Tool = end_mill("T2", 10.0, kind="chamfer_mill", tip_angle=math.pi / 2, tip_diameter=0.6)


class TestDrill:
    def holes(self, **keys) -> OperationPath:
        asked = a_pass("drill", "T2", to=-10.0, at=(Point(50, 35), Point(60, 35)), **keys)
        *_, path = paths_of(BOSS, [ROUGH, asked], tools=[end_mill(), DRILL])
        return path

    def test_goes_straight_down_at_each_place_to_full_width_at_the_floor(self) -> None:
        """The point of a 118 degree drill is r / tan(59 deg) high: 1.802582 mm for r 3.

        Plane geometry, derived; then down to whole thousandths.
        """
        path = self.holes()
        deepest = [m.to for m in path.moves if isinstance(m, Straight) and m.role is Role.CUT]
        assert [(to.x, to.y) for to in deepest] == [(50, 35), (60, 35)]
        assert deepest[0].z == pytest.approx(-11.803, abs=1e-9)
        assert -11.803 <= -10 - 1.802582 < -11.802
        assert all(m.to.z >= 1.3 for m in path.moves if isinstance(m, Rapid))

    def test_pecks_no_deeper_than_asked_and_clears_the_hole_between(self) -> None:
        path = self.holes(cycle="peck", peck=3.0)
        first = [m.to.z for m in path.moves if isinstance(m, Straight) and m.to.x == 50]
        # counted from 1.3, where feed begins, as Q of G83 is (NISTIR 6556 sec. 3.5.16.4)
        assert first == pytest.approx([-1.7, -4.7, -7.7, -10.7, -11.803], abs=1e-9)
        lifts = [m for m in path.moves if isinstance(m, Rapid) and m.to.z == 1.3 and m.to.x == 50]
        assert len(lifts) == 1 + 4

    def test_breaks_chips_by_backing_a_little(self) -> None:
        path = self.holes(cycle="chip_break", peck=3.0)
        backs = [m.to.z for m in path.moves if isinstance(m, Rapid) and m.to.z < 0]
        assert backs == pytest.approx(2 * [-1.7 + 0.254, -4.7 + 0.254, -7.7 + 0.254, -10.7 + 0.254])

    def test_a_spot_ends_with_its_tip_at_the_depth_and_stays_there(self) -> None:
        path = self.holes(cycle="spot")
        spots = [m for m in path.moves if isinstance(m, Straight)]
        assert [m.to.z for m in spots] == [-10, -10]
        # two turns of the spindle, in tenths of a second
        turns = {m.dwell * path.rpm / 60 for m in spots}
        assert all(2 <= n < 2 + 0.1 * path.rpm / 60 for n in turns)

    def test_feed_begins_above_what_is_there_and_not_above_the_stock(self) -> None:
        asked = a_pass("drill", "T2", to=-10.0, at=(Point(15, 35), Point(50, 35)))
        *_, path = paths_of(BOSS, [ROUGH, asked], tools=[end_mill(), DRILL])
        begins = [m.to.z for m in path.moves if isinstance(m, Rapid) and m.to.z < 5]
        assert begins == pytest.approx([-6 + 1.3, 1.3])  # on the cleared floor, and on the boss
        assert [h.retract for h in path.holes] == pytest.approx(begins)

    def test_places_are_the_drawings_and_the_motions_the_datums(self) -> None:
        asked = a_pass("drill", "T2", to=-10.0, at=(Point(55, 45),))
        keys = {"tools": [end_mill(), DRILL], "datum": Place(5, 10)}
        outcome = outcome_of(BOSS, [ROUGH, asked], **keys)
        assert outcome.value is not None
        assert outcome.value.paths[-1].moves[0].to.xy == Point(50, 35)

    def test_without_places_or_room_below_it_says_so(self) -> None:
        job, part = bench(BOSS, [ROUGH, a_pass("drill", "T2", to=-5.0)], tools=[end_mill(), DRILL])
        assert [f.code for f in lower(job, part).findings] == ["E414"]
        through = a_pass("drill", "T2", to=-19.0, at=(Point(50, 35),))
        job, part = bench(BOSS, [ROUGH, through], tools=[end_mill(), DRILL])
        assert [f.code for f in lower(job, part).findings] == ["E465"]


class TestEdges:
    def edge(self, keep, width: float = 0.5, **keys) -> OperationPath:
        passes = [ROUGH, a_pass("finish_walls"), a_pass("break_edges", "T2", width=width)]
        *_, path = paths_of(keep, passes, tools=[end_mill(), CHAMFER], **keys)
        return path

    def test_the_cone_passes_through_the_edge_set_in_by_the_width(self) -> None:
        """At the top the cone's radius is the offset of the axis and the width together."""
        path = self.edge(BOSS)
        cutting = [m for m in path.moves if isinstance(m, Turn) and m.role is Role.CUT]
        assert cutting
        for move in cutting:
            offset = move.centre.distance(move.to.xy) - 15
            at_top = 0.3 + (0 - move.to.z) * math.tan(math.pi / 4)
            assert at_top - offset == pytest.approx(0.5, abs=1e-9)
            assert not move.ccw  # climb round a boss: clockwise from above

    def test_each_height_has_its_own_edge(self) -> None:
        keep = {"boss": disc(30, 35, 12), "lug": Keep(block(60, 20, 85, 50), top=-2.0)}
        moves = [m for m in self.edge(keep).moves if not isinstance(m, Rapid)]
        depths = {round(m.to.z, 6) for m in moves if m.role is Role.CUT}
        assert depths == {-0.7, -2.7}

    def test_an_edge_beside_something_taller_is_left_and_said(self) -> None:
        keep = {"boss": disc(30, 35, 12), "step": Keep(block(35, 20, 85, 50), top=-2.0)}
        passes = [ROUGH, a_pass("finish_walls"), a_pass("break_edges", "T2", width=0.5)]
        outcome = outcome_of(keep, passes, tools=[end_mill(), CHAMFER])
        assert [f.code for f in outcome.findings] == ["W406"]
        assert outcome.value is not None
        boss = Clearance(disc(30, 35, 12))
        at = outcome.value.paths[-1].moves[0].to
        for move in outcome.value.paths[-1].moves:
            if isinstance(move, Straight | Turn) and at.z < -2 and move.to.xy != at.xy:
                segment = (
                    Arc(at.xy, move.to.xy, move.centre, move.ccw)
                    if isinstance(move, Turn)
                    else Line(at.xy, move.to.xy)
                )
                assert boss.of(segment).distance >= 0.3 + 2.7 - 1e-6
            at = move.to

    def test_more_than_the_cone_is_refused_with_what_it_can(self) -> None:
        passes = [ROUGH, a_pass("break_edges", "T2", width=6.0)]
        job, part = bench(BOSS, passes, tools=[end_mill(), CHAMFER])
        (found,) = lower(job, part).findings
        assert found.code == "E413" and "4.5 mm" in found.help


class TestWalls:
    def walls(self, keep, **keys) -> OperationPath:
        passes = [ROUGH, a_pass("finish_walls", **keys)]
        *_, path = paths_of(keep, passes)
        return path

    def test_a_wall_is_begun_where_there_is_room_and_not_by_boring(self) -> None:
        """Above and below the boss, where the middles of its half circles lie, posts stand close;
        to its left and right the floor is open.
        """
        posts = {"north": block(30, 60.3, 70, 66), "south": block(30, 4, 70, 9.7)}
        path = self.walls({**BOSS, **posts})
        assert not any(m.role is Role.RAMP for m in path.moves if not isinstance(m, Rapid))

    def lengths(self, path: OperationPath) -> float:
        total, at = 0.0, path.moves[0].to
        for move in path.moves[1:]:
            if isinstance(move, Turn) and move.role is Role.CUT:
                total += Arc(at.xy, move.to.xy, move.centre, move.ccw).length
            at = move.to
        return total

    def test_a_boss_is_a_few_arcs_clockwise_and_a_hole_counter_clockwise(self) -> None:
        path = self.walls(BOSS)
        round_it = [m for m in path.moves if isinstance(m, Turn) and m.role is Role.CUT]
        assert 2 <= len(round_it) <= 5 and not any(m.ccw for m in round_it)
        ring = {"ring": with_holes(disc(50, 35, 30), disc(50, 35, 14))}
        inner = [
            m
            for m in self.walls(ring).moves
            if isinstance(m, Turn) and m.role is Role.CUT and m.centre.distance(m.to.xy) < 14
        ]
        assert inner and all(m.ccw for m in inner)

    def test_goes_a_little_more_than_once_round(self) -> None:
        once = 2 * math.pi * 20
        assert once < self.lengths(self.walls(BOSS)) <= once + 0.5 * 5 + 1e-6

    def test_spring_passes_go_round_again(self) -> None:
        once = 2 * math.pi * 20
        assert self.lengths(self.walls(BOSS, spring_passes=2)) > 3 * once

    def test_conventional_turns_the_other_way(self) -> None:
        path = self.walls(BOSS, direction="conventional")
        assert all(m.ccw for m in path.moves if isinstance(m, Turn) and m.role is Role.CUT)

    def test_leads_are_tangent_quarter_circles(self) -> None:
        path = self.walls(BOSS)
        at = path.moves[0].to
        before = None
        for move in path.moves[1:]:
            if isinstance(move, Turn):
                arc = Arc(at.xy, move.to.xy, move.centre, move.ccw)
                if move.role is Role.LEAD:
                    assert abs(arc.sweep) == pytest.approx(math.pi / 2)
                if before is not None:
                    assert before.tangent(1.0).distance(arc.tangent(0.0)) < 1e-6
                before = arc
            at = move.to

    def test_an_open_wall_begins_and_ends_in_air(self) -> None:
        keep = {"rail": Keep(block(80, -130, 230, 200), is_open=True)}
        path = self.walls(keep)
        ys = [m.to.y for m in path.moves if not isinstance(m, Rapid) and m.role is Role.CUT]
        assert max(ys) > 70 + 5 and all(m.to.x == 75 for m in path.moves)

    def test_inner_corners_are_slowed(self) -> None:
        keep = {"stop": block(20, 20, 80, 30), "post": block(20, 29, 30, 60)}
        path = self.walls(keep)
        feeds = [(m.to, m.feed) for m in path.moves if not isinstance(m, Rapid)]
        at_corner = min(feeds, key=lambda f: math.dist((35, 35), (f[0].x, f[0].y)))
        assert at_corner[1] <= 0.5 * max(feed for _, feed in feeds)

    def test_only_the_regions_asked_for(self) -> None:
        keep = {"boss": disc(25, 35, 12), "post": disc(75, 35, 12)}
        path = self.walls(keep, regions=("post",))
        assert min(m.to.x for m in path.moves) > 50


POCKET = {"frame": with_holes(block(-1, -1, 101, 71), disc(50, 35, 14))}


class TestEntries:
    def test_a_closed_pocket_is_entered_by_a_helix_no_steeper_than_asked(self) -> None:
        """A helix of path radius rho drops 2 pi rho tan(angle) a turn. Plane geometry."""
        rough = a_pass("rough", to=-4.0, pattern="contour_parallel")
        (path,) = paths_of(POCKET, [rough])
        at, slopes = path.moves[0].to, []
        for move in path.moves[1:]:
            if isinstance(move, Turn) and move.role is Role.RAMP:
                length = Arc(at.xy, move.to.xy, move.centre, move.ccw).length
                slopes.append(math.degrees(math.atan2(at.z - move.to.z, length)))
                assert move.centre.distance(move.to.xy) <= 5.0
            at = move.to
        assert slopes and max(slopes) <= 3.0 + 1e-9
        plunged = [m.to.z for m in path.moves if not isinstance(m, Rapid) and m.role is Role.PLUNGE]
        assert min(plunged) > 0

    def test_too_tight_a_pocket_names_the_cutter_that_could(self) -> None:
        keep = {"frame": with_holes(block(-1, -1, 101, 71), disc(50, 35, 5.6))}
        rough = a_pass("rough", to=-4.0, pattern="contour_parallel", line=33)
        blunt = end_mill(centre_cutting=False)
        job, part = bench(keep, [rough], tools=[blunt, end_mill("T2", 6.0)])
        plan = lower(job, part)
        assert plan.value is not None
        (found,) = cut(job, part, plan.value).findings
        assert found.code == "E408" and "`T2`" in found.help
        assert found.primary is not None and found.primary.span.line == 33

    def test_clamps_are_left_alone(self) -> None:
        clamp = Blocked(name="clamp", region=block(40, -20, 60, 6), top=8.0, origin=span())
        paths = paths_of({"boss": disc(50, 45, 12)}, [ROUGH], obstacles=[clamp])
        clearance = Clearance(clamp.region)
        for path in paths:
            at = path.moves[0].to
            for move in path.moves[1:]:
                if move.to.z < 5 and at.z < 5 and at.xy != move.to.xy:
                    segment = (
                        Arc(at.xy, move.to.xy, move.centre, move.ccw)
                        if isinstance(move, Turn)
                        else Line(at.xy, move.to.xy)
                    )
                    assert clearance.of(segment).distance >= 5 - 1e-6
                at = move.to
