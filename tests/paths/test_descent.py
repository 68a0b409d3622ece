"""Where the cutter comes down beside the blank, and how near its last row goes to the edge."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
import shapely
from planning_bench import a_pass, bench, disc, end_mill
from test_cut_properties import motions_of

from compiler.geometry import EMPTY, Arc, Line, Point
from compiler.motion import Rapid, Role, Straight
from compiler.paths.entry import seeds
from compiler.paths.sets import NONE
from compiler.paths.task import Task
from compiler.plan.lower import lower


@pytest.mark.parametrize("pattern", ["contour_parallel", "direction_parallel"])
def test_the_cutter_comes_down_well_beside_the_blank(pattern: str) -> None:
    """By the approach distance, which is what it keeps above the material as well."""
    job, part = bench({"boss": disc(50, 35, 15)}, [a_pass("rough", to=-4.0, pattern=pattern)])
    motions = motions_of(job, part)
    (path,) = motions.paths
    low_x, low_y, high_x, high_y = part.stock.bounds
    outside = []
    at = path.moves[0].to
    for move in path.moves[1:]:
        came_down = isinstance(move, Rapid) and move.to.xy == at.xy and move.to.z < at.z
        if came_down and not (low_x < at.x < high_x and low_y < at.y < high_y):
            dx = max(low_x - at.x, 0.0, at.x - high_x)
            dy = max(low_y - at.y, 0.0, at.y - high_y)
            outside.append(math.hypot(dx, dy) - 5.0)
        at = move.to
    assert outside and min(outside) >= part.approach - 0.01


def test_walls_are_come_down_to_in_air_at_no_slot_s_feed() -> None:
    """A slender cutter bears little of a slot as deep as its walls; in cleared area it meets none.

    Two fifths of the feed is common practice, no source.
    """
    slender = end_mill("T2", 5.0, flute_length=10.0, stickout=28.0)
    asked = [a_pass("rough", to=-4.0), a_pass("finish_walls", "T2", direction="climb")]
    job, part = bench({"boss": disc(50, 35, 15)}, asked, tools=[end_mill(), slender])
    plan = lower(job, part).value
    assert plan is not None
    cutting = plan.operations[-1].cutting
    assert cutting.plunge_feed_mm_min == pytest.approx(0.4 * cutting.finish_feed_mm_min, rel=0.05)
    assert cutting.entry_feed_mm_min < cutting.plunge_feed_mm_min / 2
    walls = motions_of(job, part).paths[-1]
    down = [m for m in walls.moves if isinstance(m, Straight) and m.role is Role.PLUNGE]
    assert down and down[-1].to.z == -4.0
    assert down[-1].feed == cutting.plunge_feed_mm_min


@pytest.mark.parametrize("step", [2.9, 3.25, 4.0, 6.5])
def test_the_last_straight_row_reaches_beyond_the_edge(step: float) -> None:
    """Whatever the step, no film is left along the far edge of the blank."""
    asked = a_pass("rough", to=-4.0, pattern="direction_parallel", angle=0.0, radial_depth=step)
    job, part = bench({"boss": disc(50, 35, 15)}, [asked])
    (path,) = motions_of(job, part).paths
    cuts = [m for m in path.moves if not isinstance(m, Rapid) and m.role is Role.CUT]
    ys = [m.to.y for m in cuts]
    _, low_y, _, high_y = part.stock.bounds
    assert max(ys) + 5.0 >= high_y + 0.05 and min(ys) - 5.0 <= low_y - 0.05


def test_a_cutter_with_a_dead_centre_only_goes_round_it() -> None:
    """No ramp, and no helix narrower than half its diameter (common practice, no source)."""
    room = shapely.box(-40, -6, 40, 6)
    task = Task(
        radius=5.0,
        forbidden=EMPTY,
        centres=room,
        material=room,
        cleared=NONE,
        work=room,
        step=4.0,
        engagement=None,
        direction="climb",
        least_helix=2.5,
        centre_cutting=False,
    )
    ways = list(seeds(task, Point(0, 0)))
    arcs = [piece.segment for way in ways for piece in way.pieces]
    assert ways and all(isinstance(arc, Arc) and arc.radius >= 2.5 for arc in arcs)
    whole = list(seeds(replace(task, centre_cutting=True), Point(0, 0)))
    assert any(isinstance(piece.segment, Line) for way in whole for piece in way.pieces)
