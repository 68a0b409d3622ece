"""Constant engagement on small parts: what it promises, measured by means of its own."""

import math
from functools import cache
from itertools import pairwise

import numpy as np
import pytest
import shapely
from clearing_task import Direction, clearing_task, swept
from engagement_measure import Measured, measure, samples
from shapely import LineString, Point, box
from shapely.affinity import scale
from shapely.geometry.base import BaseGeometry

from compiler.geometry import Point as Place
from compiler.motion import Role
from compiler.paths.constant_engagement import plan
from compiler.paths.constant_engagement.laws import straight_step
from compiler.paths.stroke import Stroke, Way
from compiler.paths.task import Task

RADIUS = 6.35
LIMIT = math.radians(60)
FILM = 0.05  # mm; films as thin as chords and fitting leave are no work


def make(stock: BaseGeometry, keep: BaseGeometry, direction: Direction = "climb") -> Task:
    return clearing_task(stock, keep, radius=RADIUS, limit=LIMIT, direction=direction)


PLATE = box(0, 0, 80, 60)
PARTS: dict[str, tuple[BaseGeometry, BaseGeometry]] = {
    "island": (PLATE, Point(40, 30).buffer(12, 36)),
    "rail": (PLATE, box(-60, -60, 140, 15)),
    "two": (PLATE, Point(24, 30).buffer(9, 36).union(box(46, 18, 62, 42))),
    "pocket": (PLATE, PLATE.difference(box(14, 12, 66, 48).buffer(-8).buffer(8))),
    "slot": (PLATE, box(-1, -1, 81, 61).difference(box(30, -2, 30 + 2.6 * RADIUS, 45))),
}


@cache
def planned(name: str, direction: Direction = "climb") -> tuple[Task, tuple[Stroke, ...], Measured]:
    stock, keep = PARTS[name]
    task = make(stock, keep, direction)
    strokes = plan(task)
    return task, strokes, measure(strokes, radius=RADIUS, stock=task.material, spacing=0.5, rim=360)


@pytest.mark.parametrize("name", PARTS)
def test_the_limit_is_held(name: str) -> None:
    _, _, found = planned(name)
    full = found.feed_factor > 0.999
    over = full & (found.angle > LIMIT + math.radians(0.5))
    assert found.length[over].sum() < 0.003 * found.cutting_length()
    high = full & (found.angle > LIMIT + math.radians(4))
    assert found.length[high].sum() < 0.001 * found.cutting_length()
    assert found.angle[full].max() < LIMIT + math.radians(15)
    # where it cannot be held, the feed falls with the chip: 1 - cos is the straight step's share
    load = (1 - np.cos(found.angle)) * found.feed_factor
    assert load[~full].max(initial=0) < 1 - math.cos(LIMIT + math.radians(8))
    # and made use of; the loops of a channel begin and end with little in hand
    assert found.quantile(0.5) > LIMIT - math.radians(24 if name == "slot" else 20)


def test_the_mouth_of_a_slot_hardly_wider_than_the_cutter_is_cut_in_loops_too() -> None:
    slot = box(20, -2, 20 + 2.1 * RADIUS, 26)
    task = make(box(0, 0, 54, 32), box(-1, -1, 55, 26).difference(slot))
    # loops of a few tenths: what lies between places a quarter millimetre apart counts there
    found = measure(plan(task), radius=RADIUS, stock=task.material, spacing=0.1, rim=720)
    over = found.angle > LIMIT + math.radians(4)  # at any feed; 0.11 % was measured, 68 degrees
    assert found.length[over].sum() < 0.002 * found.cutting_length()
    assert found.angle.max() < LIMIT + math.radians(15)


@pytest.mark.parametrize("name", PARTS)
def test_all_that_can_be_reached_is_cleared(name: str) -> None:
    task, strokes, _ = planned(name)
    reach = task.centres.buffer(RADIUS, quad_segs=36).intersection(task.material)
    left = reach.difference(swept(strokes, RADIUS)).buffer(-FILM / 2)
    assert left.area < 1e-3


@pytest.mark.parametrize("name", PARTS)
def test_the_walls_are_not_touched(name: str) -> None:
    _, keep = PARTS[name]
    _, strokes, _ = planned(name)
    places = samples(strokes, 0.1)[0]
    assert shapely.distance(keep, shapely.points(places)).min() >= RADIUS - 1e-6


@pytest.mark.parametrize("name", PARTS)
def test_every_stroke_starts_where_nothing_is_left(name: str) -> None:
    task, strokes, _ = planned(name)
    material = task.material
    for stroke in strokes:
        start = stroke.pieces[0].segment.start
        if stroke.way is Way.OPEN:
            touched = Point(start).buffer(RADIUS - FILM).intersection(material)
            assert touched.area < 0.05, start
        material = material.difference(swept((stroke,), RADIUS))


@pytest.mark.parametrize("name", PARTS)
def test_pieces_follow_on(name: str) -> None:
    _, strokes, _ = planned(name)
    for stroke in strokes:
        for before, after in zip(stroke.pieces, stroke.pieces[1:], strict=False):
            assert before.segment.end.distance(after.segment.start) < 1e-9


def test_pieces_on_both_sides_of_an_inner_corner_follow_on() -> None:
    walls = [Point(x, 0).buffer(8, 36) for x in (13, 27)] + [box(-10, -20, 50, -2)]
    task = clearing_task(box(4, 0, 36, 12), shapely.union_all(walls), radius=5, limit=LIMIT)
    strokes = plan(task)
    assert any(len(stroke.pieces) > 1 for stroke in strokes)
    for stroke in strokes:
        for before, after in pairwise(stroke.pieces):
            assert before.segment.end.distance(after.segment.start) < 1e-9


def test_no_pass_goes_through_a_wall_that_it_comes_upon_steeply() -> None:
    hub = Point(94, 50).buffer(8.7, 36).union(LineString([(94, 50), (108, 50)]).buffer(5.2, 36))
    cheek = shapely.Polygon([(84, 16), (116, 16), (108, 34), (84, 34)]).buffer(-3).buffer(3.2, 36)
    other = scale(cheek, 1, -1, origin=(0, 50))
    stands = shapely.union_all([hub, cheek, other])
    task = clearing_task(box(100, 45, 120, 75), stands, radius=5, limit=LIMIT)
    strokes = plan(task)
    places = samples(strokes, 0.5)[0]
    assert len(places) > 100
    assert shapely.distance(stands, shapely.points(places)).min() >= 5 - 1e-6


def test_a_pass_begins_where_stock_ends_at_a_narrow_angle_to_its_only_wall() -> None:
    # climbing, passes begin where the wall leaves the stock on the right; along it, the cutter is
    # in air 20 mm before that
    stands = shapely.Polygon([(37, 37.5), (58, 12.5), (82, 32.5), (61, 57.5)])
    task = make(box(0, 0, 44, 40), stands)
    left = task.material.difference(swept(plan(task), RADIUS))
    assert left.buffer(-FILM / 2).area < 1e-3


def test_pieces_leave_as_the_ones_before_arrive() -> None:
    # round walls, and a gap only just wider than the cutter; 1 degree is our own bound, no source
    discs = [Point(x, 20).buffer(9, 36) for x in (22, 53.2)]
    strokes = plan(make(box(0, 0, 70, 40), shapely.union_all(discs)))
    assert sum(len(stroke.pieces) for stroke in strokes) > 20
    for stroke in strokes:
        for before, after in pairwise(stroke.pieces):
            arrives, leaves = before.segment.tangent(1.0), after.segment.tangent(0.0)
            turn = math.atan2(arrives.cross(leaves), arrives.dot(leaves))
            assert abs(math.degrees(turn)) < 1, before.segment.end


def test_only_a_closed_area_is_bored_into() -> None:
    bored = {name: sum(s.way is Way.BORE for s in planned(name)[1]) for name in PARTS}
    assert bored == {"island": 0, "rail": 0, "two": 0, "pocket": 1, "slot": 0}
    assert planned("pocket")[1][0].way is Way.BORE


def side_of_material(name: str, direction: str) -> float:
    """Share of the cutting places with material ahead on the right that no cut before took."""
    stock, keep = PARTS[name]
    _, strokes, found = planned(name, direction)
    headings = samples(strokes, 0.5)[1]
    run = np.cumsum(found.length)
    material = stock.difference(keep)
    right = total = 0
    for i in range(0, len(run), 7):
        if found.angle[i] < math.radians(30):
            continue
        ahead = Place(*headings[i])
        probe = Place(*found.places[i]).plus(ahead, 0.3 * RADIUS).plus(ahead.left(), -0.9 * RADIUS)
        before = found.places[run < run[i] - 0.2 * RADIUS]
        taken = (np.hypot(*(before - np.array(probe)).T) < RADIUS).any()
        right += bool(not taken and material.contains(Point(probe)))
        total += 1
    return right / total


def test_climb_keeps_the_material_on_the_right() -> None:
    assert side_of_material("island", "climb") > 0.9
    assert side_of_material("island", "conventional") < 0.1


def test_both_ways_hold_the_limit_and_shorten_the_way_between() -> None:
    def between(strokes: tuple[Stroke, ...]) -> float:
        """Over lifts, and at depth."""
        pieces = [piece for stroke in strokes for piece in stroke.pieces]
        return sum(piece.segment.length for piece in pieces if piece.role is Role.LINK) + sum(
            a.pieces[-1].segment.end.distance(b.pieces[0].segment.start)
            for a, b in pairwise(strokes)
        )

    _, one_way, _ = planned("rail")
    _, both, found = planned("rail", "both")
    assert found.over(LIMIT) < 0.003
    assert between(both) < 0.7 * between(one_way)


@pytest.mark.parametrize("direction", ["conventional", "both"])
def test_a_pocket_is_cut_in_any_direction(direction: str) -> None:
    _, _, found = planned("pocket", direction)
    assert found.over(LIMIT) < 0.003


def test_the_same_task_gives_the_same_strokes() -> None:
    stock, keep = PARTS["rail"]
    assert plan(make(stock, keep)) == planned("rail")[1]


def test_nothing_to_do_gives_nothing() -> None:
    assert plan(make(PLATE, box(-50, -50, 150, 150))) == ()


@pytest.mark.parametrize("radius", [3.0, 6.35, 10.0])
def test_the_straight_step_is_the_handbook_formula(radius: float) -> None:
    # ae = r (1 - cos phi): plane geometry, common in handbooks of milling
    assert straight_step(radius, math.pi / 2) == pytest.approx(radius)
    assert straight_step(radius, math.pi / 3) == pytest.approx(radius / 2)
