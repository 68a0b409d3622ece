"""Walls whose path the control may shift: how compensation is switched on and off.

A straight move longer than the offset first, then an arc wider than it: NISTIR 6556 sec. 3.5.10 and
appendix B.
"""

from __future__ import annotations

import pytest
from planning_bench import Keep, a_pass, bench, block, disc, end_mill, with_holes

from compiler.diagnostics import Diagnostic
from compiler.geometry import Arc, Line, Segment
from compiler.motion import Move, OperationPath, Rapid, Straight, Turn
from compiler.paths.cut import cut
from compiler.plan.lower import lower

WEAR = 0.1
ROUGH = a_pass("rough", to=-6.0, pattern="contour_parallel")
BOSS = {"boss": disc(50, 35, 15)}
RAIL = {"rail": Keep(block(80, -130, 230, 200), is_open=True)}
# two walls that meet in a sharp inside corner
ANGLE = {"stop": block(20, 20, 80, 30), "post": block(20, 29, 30, 60)}


def walls(keep, **keys) -> OperationPath:
    passes = [ROUGH, a_pass("finish_walls", compensation="control", wear_range=WEAR, **keys)]
    job, part = bench(keep, passes)
    plan = lower(job, part)
    assert plan.value is not None and not plan.failed, plan.findings
    outcome = cut(job, part, plan.value)
    assert outcome.value is not None, outcome.findings
    return outcome.value.paths[-1]


def findings(passes, **keys) -> list[Diagnostic]:
    job, part = bench(BOSS, passes, **keys)
    return list(lower(job, part).findings)


def stretches(path: OperationPath) -> list[list[tuple[Move, Segment]]]:
    """The runs that the control compensates, each with the move after it."""
    found: list[list[tuple[Move, Segment]]] = []
    at, inside = path.moves[0].to, False
    for move in path.moves[1:]:
        segment = (
            Arc(at.xy, move.to.xy, move.centre, move.ccw)
            if isinstance(move, Turn)
            else Line(at.xy, move.to.xy)
        )
        is_on = not isinstance(move, Rapid) and move.side is not None
        if is_on and not inside:
            found.append([])
        if is_on or inside:
            found[-1].append((move, segment))
        at, inside = move.to, is_on
    return found


@pytest.mark.parametrize("keep", [BOSS, RAIL, ANGLE], ids=["boss", "rail", "angle"])
@pytest.mark.parametrize("direction", ["climb", "conventional"])
class TestRuns:
    def test_a_straight_move_longer_than_the_range_and_a_wider_arc_come_first(
        self, keep, direction: str
    ) -> None:
        for run in stretches(walls(keep, direction=direction)):
            (first, straight), (second, arc) = run[:2]
            assert isinstance(first, Straight) and straight.length > WEAR
            assert isinstance(second, Turn) and isinstance(arc, Arc) and arc.radius > WEAR
            assert straight.tangent(1.0).distance(arc.tangent(0.0)) < 1e-6

    def test_it_is_switched_off_on_a_straight_move_after_the_arc_off_the_wall(
        self, keep, direction: str
    ) -> None:
        for run in stretches(walls(keep, direction=direction)):
            (before, arc), (last, straight) = run[-2:]
            assert isinstance(before, Turn) and isinstance(arc, Arc)
            assert isinstance(last, Straight) and last.side is None
            assert straight.length > WEAR

    def test_the_side_is_that_of_the_tool_beside_its_wall(self, keep, direction: str) -> None:
        wanted = "left" if direction == "climb" else "right"
        runs = stretches(walls(keep, direction=direction))
        assert runs
        assert {move.side for run in runs for move, _ in run[:-1]} == {wanted}  # type: ignore[union-attr]

    def test_no_arc_that_an_offset_turns_in_on_is_as_small_as_the_range(
        self, keep, direction: str
    ) -> None:
        inner = direction == "climb"  # climbing, the tool's side is the left: of ccw arcs the inner
        for run in stretches(walls(keep, direction=direction)):
            for _, segment in run[:-1]:
                if isinstance(segment, Arc) and segment.ccw == inner:
                    assert segment.radius > WEAR

    def test_it_stays_at_one_height(self, keep, direction: str) -> None:
        for run in stretches(walls(keep, direction=direction)):
            assert len({move.to.z for move, _ in run}) == 1


def test_without_the_key_nothing_is_compensated() -> None:
    job, part = bench(BOSS, [ROUGH, a_pass("finish_walls")])
    plan = lower(job, part).value
    assert plan is not None
    outcome = cut(job, part, plan)
    assert outcome.value is not None
    for path in outcome.value.paths:
        assert all(isinstance(m, Rapid) or m.side is None for m in path.moves)


def test_the_range_is_a_tenth_of_a_millimetre_or_four_thousandths_where_none_is_given() -> None:
    asked = a_pass("finish_walls", compensation="control")
    for units, most in (("mm", 0.1), ("inch", 0.1016)):
        job, part = bench(BOSS, [ROUGH, asked], units=units)
        plan = lower(job, part).value
        assert plan is not None
        assert plan.operations[1].wear_range_mm == pytest.approx(most)
        assert any("D1" in reason and "set to 0" in reason for reason in plan.operations[1].reasons)


def test_no_room_beside_a_wall_is_named_with_its_place() -> None:
    # in a hole of 11.4 the centre of a 10 mm cutter runs a circle of 1.4: too tight for the arcs
    keep = {"frame": with_holes(block(-1, -1, 101, 71), disc(50, 35, 5.7))}
    passes = [ROUGH, a_pass("finish_walls", compensation="control", wear_range=0.4)]
    job, part = bench(keep, passes)
    plan = lower(job, part)
    assert plan.value is not None, plan.findings
    outcome = cut(job, part, plan.value)
    assert outcome.value is None
    found = [f for f in outcome.findings if f.code == "E463"]
    assert found and "wear_range" in found[0].help


def test_a_range_wider_than_wear_is_refused_with_the_widest() -> None:
    asked = a_pass("finish_walls", compensation="control", wear_range=0.6)
    (found,) = findings([ROUGH, asked])
    assert found.code == "E461" and "0.5 mm" in found.help


def test_two_tools_may_not_share_an_offset() -> None:
    passes = [
        ROUGH,
        a_pass("finish_walls", compensation="control"),
        a_pass("finish_walls", "T2", compensation="control"),
    ]
    other = end_mill("T2", 8.0, diameter_offset=1)
    assert [f.code for f in findings(passes, tools=[end_mill(), other])] == ["E462"]


def test_a_range_without_compensation_is_a_warning() -> None:
    (found,) = findings([ROUGH, a_pass("finish_walls", wear_range=0.05)])
    assert found.code == "W461"
