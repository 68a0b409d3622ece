"""Engaged angles on the way, the feed lowered for them, and rows that leave no ridge."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from planning_bench import a_pass, bench, block, with_holes

from compiler.geometry import EMPTY, Arc, Line, Point
from compiler.paths.cut import cut
from compiler.paths.load import RIM, eased, engaged_angles
from compiler.paths.progress import Progress
from compiler.paths.stroke import Piece
from compiler.paths.task import Task
from compiler.plan.lower import lower

RESOLVED = math.pi / RIM  # rad: the rim's points are so far apart
MIDDLE = np.array([0.5])
JUST_AHEAD = np.array([0.05])  # beyond the disc where the cut so far ends


def task_of(engagement: float | None = None) -> Task:
    area = shapely.box(-100, -100, 100, 100)
    return Task(
        radius=5.0, forbidden=EMPTY, centres=area, material=area, cleared=area, work=area,
        step=4.0, engagement=engagement, direction="climb", slot_factor=0.4,
    )  # fmt: skip


def disc_at_origin(radius: float) -> shapely.Polygon:
    return shapely.Point(0, 0).buffer(radius, quad_segs=256)


@pytest.mark.parametrize(("depth", "degrees"), [(1.0, 36.869898), (2.5, 60.0), (7.5, 120.0)])
def test_along_a_straight_wall(depth: float, degrees: float) -> None:
    """cos(phi) = 1 - ae/r: El-Hofy, Fundamentals of Machining Processes, sec. 6.3.1.4."""
    progress = Progress(shapely.box(-50, -50, 50, 0), 5.0)
    line = Line(Point(-20, 5 - depth), Point(20, 5 - depth))
    (angle,) = engaged_angles(line, MIDDLE, progress)
    assert angle == pytest.approx(math.radians(degrees), abs=RESOLVED)


@pytest.mark.parametrize(
    ("radius", "before", "after", "degrees"), [(5, 18, 20, 60.4401), (6, 20, 26, 98.6269)]
)
def test_enlarging_a_hole(radius: float, before: float, after: float, degrees: float) -> None:
    """cos(phi) = 1 - ae (2 R1 - ae) / (2 r (R1 - r)): law of cosines, derived."""
    stock = shapely.box(-60, -60, 60, 60).difference(disc_at_origin(before))
    progress = Progress(stock, radius)
    rho = after - radius
    # climbing in a hole goes counter-clockwise; the quarter behind the cutter is already cut
    behind = Arc(Point(0, -rho), Point(rho, 0), Point(0, 0), True)
    progress.cut([behind])
    ahead = Arc(Point(rho, 0), Point(0, rho), Point(0, 0), True)
    (angle,) = engaged_angles(ahead, JUST_AHEAD, progress)
    assert angle == pytest.approx(math.radians(degrees), abs=RESOLVED)


def before_a_corner() -> Progress:
    """A square inner corner that a row of radius 5 has run round at (0, 0), turning left."""
    cleared = [shapely.box(-60, -5, 0, 60), shapely.box(-60, 0, 5, 60), disc_at_origin(5)]
    stock = shapely.box(-60, -60, 60, 60).difference(shapely.union_all(cleared))
    return Progress(stock, 5.0)


@pytest.mark.parametrize(("step", "degrees"), [(2.0, 143.130), (1.0, 126.870), (4.0, 168.463)])
def test_at_an_inner_corner(step: float, degrees: float) -> None:
    """phi = arccos(1 - s/r) + (180 deg - theta) where the next row turns: derived.

    References: plane geometry; contour-parallel rows, interior angle theta of 90 degrees.
    """
    line = Line(Point(-40, -step), Point(step, -step))
    (angle,) = engaged_angles(line, np.array([1.0]), before_a_corner())
    assert angle == pytest.approx(math.radians(degrees), abs=RESOLVED)


def test_the_last_stretch_before_an_inner_corner_is_slowed() -> None:
    """And the first after it: there the spike has only just gone."""
    row = [Line(Point(-40, -2), Point(2, -2)), Line(Point(2, -2), Point(2, 40))]
    pieces = eased([Piece(segment) for segment in row], before_a_corner(), task_of())
    slow = [piece for piece in pieces if piece.feed_factor < 1.0]
    assert slow and all(piece.feed_factor == pytest.approx(0.4) for piece in slow)
    assert any(piece.segment.end.distance(Point(2, -2)) < 1e-9 for piece in slow)
    assert sum(piece.segment.length for piece in slow) < 3 * 5.0


@pytest.mark.parametrize(
    ("radius", "before", "after", "degrees"), [(5, 22, 20, 48.3943), (4, 9, 8, 34.6222)]
)
def test_round_a_boss(radius: float, before: float, after: float, degrees: float) -> None:
    """cos(phi) = 1 - ae (2 R1 + ae) / (2 r (R1 + r)): law of cosines, derived."""
    progress = Progress(disc_at_origin(before), radius)
    rho = after + radius
    # climbing round a boss goes clockwise
    progress.cut([Arc(Point(0, rho), Point(rho, 0), Point(0, 0), False)])
    ahead = Arc(Point(rho, 0), Point(0, -rho), Point(0, 0), False)
    (angle,) = engaged_angles(ahead, JUST_AHEAD, progress)
    assert angle == pytest.approx(math.radians(degrees), abs=RESOLVED)


def test_only_the_slot_part_of_a_row_is_slowed() -> None:
    """Light along a wall, then into the full width of a block: slow from there on."""
    stock = shapely.union_all([shapely.box(-60, -60, 60, 0), shapely.box(10, -10, 60, 60)])
    progress = Progress(stock, 5.0)
    pieces = eased([Piece(Line(Point(-40, 3), Point(40, 3)))], progress, task_of())
    assert [p.feed_factor for p in pieces] == [1.0, 0.4]
    assert pieces[0].segment.end.x == pytest.approx(5, abs=3)


def test_a_promised_engagement_lowers_the_feed_sooner() -> None:
    progress = Progress(shapely.box(-60, -60, 60, 0), 5.0)
    row = [Piece(Line(Point(-40, 1), Point(40, 1)))]  # 78 degrees
    assert eased(row, progress, task_of())[0].feed_factor == 1.0
    progress = Progress(shapely.box(-60, -60, 60, 0), 5.0)
    assert eased(row, progress, task_of(math.radians(60)))[0].feed_factor == 0.4


@pytest.mark.parametrize("part", [0.4, 0.6, 0.85, 0.95])
@pytest.mark.parametrize("pattern", ["contour_parallel", "direction_parallel"])
def test_rows_leave_no_ridge_however_wide_the_step(part: float, pattern: str) -> None:
    """Rows at a sharp turn of 90 degrees leave a ridge from s = r (1 + sin 45) = 0.854 D on.

    Plane geometry, derived. Beyond it what is left must be found and cut.
    """
    frame = with_holes(block(-1, -1, 101, 71), block(20, 15, 80, 55))
    job, part_ = bench(
        {"frame": frame},
        [a_pass("rough", to=-3.0, pattern=pattern, radial_depth=part * 10)],
    )
    plan = lower(job, part_)
    assert plan.value is not None
    outcome = cut(job, part_, plan.value)
    assert outcome.value is not None, outcome.findings
    swept = Progress(shapely.box(0, 0, 100, 70), 5.0)
    at = None
    for move in outcome.value.paths[0].moves:
        if at is not None and at.z == move.to.z == -3.0 and at.xy != move.to.xy:
            if hasattr(move, "centre"):
                swept.cut([Arc(at.xy, move.to.xy, move.centre, move.ccw)])
            else:
                swept.cut([Line(at.xy, move.to.xy)])
        at = move.to
    # four corners keep r^2 (1 - pi/4) = 5.365046 each (plane geometry, derived)
    assert swept.left_in(shapely.box(20, 15, 80, 55)).area == pytest.approx(4 * 5.365046, abs=1.0)
