"""Ways back at depth: beside the row that was just cut, where the cutter may run quickly."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
import shapely
from planning_bench import MACHINE

from compiler.geometry import Arc, Line, Point
from compiler.paths.linking.at_depth import Ground, Rated, quickest, ways
from compiler.paths.pen import Feeds
from compiler.paths.progress import Progress
from compiler.paths.run import polyline
from compiler.paths.timing import way_seconds

FEEDS = Feeds(cut=600.0, link=4000.0, entry=100.0, plunge=200.0)


def ground_of(progress: Progress, allowed: shapely.Polygon) -> Ground:
    return Ground(allowed, progress, FEEDS, MACHINE.acceleration)


def places_of(way: Rated) -> shapely.LineString:
    return shapely.LineString(polyline([segment for segment, _ in way]))


def way_back(rows: list[float], low: float = -50.0) -> tuple[Rated, Progress]:
    """From the end of the last of rows along x back to its start, in a block 100 wide."""
    progress = Progress(shapely.box(0, 0, 100, 60), 5.0)
    for y in rows:
        progress.cut([Line(Point(-6, y), Point(106, y))])
    ground = ground_of(progress, shapely.box(-50, low, 150, 60))
    way = quickest(ways(ground, (106, rows[-1], 1, 0), (-6, rows[-1], 1, 0), 1e9), ground, 1e9)
    assert way is not None
    return way, progress


def test_back_along_a_row_the_cutter_keeps_off_what_stands_beside_it() -> None:
    way, progress = way_back([0.0, 4.0])
    quick = [segment for segment, feed in way if feed == FEEDS.link]
    assert sum(segment.length for segment in quick) > 100
    assert progress.is_free(places_of(way))
    assert all(progress.is_free(shapely.LineString(polyline([s])), slack=-0.05) for s in quick)


def test_back_along_a_slot_it_has_no_room_and_keeps_the_cutting_feed() -> None:
    way, _ = way_back([30.0], low=0.0)  # and none round the block
    inside = [feed for segment, feed in way if 0 < segment.at(0.5).x < 100]
    assert inside and set(inside) == {FEEDS.cut}


def test_a_way_round_what_stands_is_quick_and_free_and_nearly_the_shortest() -> None:
    """Round a square corner of material the shortest way of the centre is two tangents and an arc
    of the cutter's radius (plane geometry); the way keeps a little more off it, without a corner,
    and is drawn as a turn, a line, one arc, a line and a turn.
    """
    progress = Progress(shapely.box(0, 0, 100, 60), 5.0)
    ground = ground_of(progress, shapely.box(-50, -50, 150, 110))
    way = quickest(ways(ground, (-12.0, 30.0, 0, 1), (40.0, -12.0, 0, 1), 1e9), ground, 1e9)
    assert way is not None
    assert progress.is_free(places_of(way), slack=-0.05)
    apart = math.hypot(12.0, 30.0), math.hypot(40.0, 12.0)
    tangents = sum(math.sqrt(length**2 - 25) for length in apart)
    turns = 2 * math.pi * 2.5
    assert tangents < sum(segment.length for segment, _ in way) < tangents + 5 * math.pi / 2 + turns
    assert sum(isinstance(segment, Arc) for segment, _ in way) == 3
    assert len(way) <= 6
    for (a, _), (b, _) in pairwise(way):
        assert a.end.distance(b.start) < 1e-6
        assert a.tangent(1.0).dot(b.tangent(0.0)) > 1 - 1e-6
    slow = sum(segment.length for segment, feed in way if feed < FEEDS.link)
    assert slow <= 3.5 * 0.5 * progress.radius + 1e-6  # before what is met next alone


def test_a_way_round_a_boss_is_one_arc_between_its_tangents() -> None:
    """Two tangents and the arc between them, of the boss's and the cutter's radius and what it
    keeps off (plane geometry: a string round a disc).
    """
    boss = Point(0, 0)
    progress = Progress(shapely.Point(boss).buffer(20, quad_segs=64), 5.0)
    ground = ground_of(progress, shapely.box(-90, -90, 90, 90))
    way = quickest(ways(ground, (-60, 1, 1, 0), (60, 1, 1, 0), 1e9), ground, 1e9)
    assert way is not None
    wide = [s for s, _ in way if isinstance(s, Arc) and s.radius > 5.0]
    assert len(wide) == 1
    assert wide[0].centre.distance(boss) < 1.0
    assert 24.5 < wide[0].radius < 26.5
    assert progress.is_free(places_of(way), slack=-0.05)
    reach = 25.3
    string = 2 * math.sqrt(60**2 - reach**2) + reach * (math.pi - 2 * math.acos(reach / 60))
    assert sum(segment.length for segment, _ in way) < string + 1.5


def test_a_way_round_is_not_taken_where_it_is_longer_than_given() -> None:
    progress = Progress(shapely.box(0, -1000, 10, 1000), 5.0)
    ground = ground_of(progress, shapely.box(-50, -50, 60, 50))
    assert quickest(ways(ground, (-6, 0, 1, 0), (16, 0, 1, 0), 5.0), ground, 5.0) is None


def test_seconds_of_a_way_stop_at_corners_alone() -> None:
    """Speed kept along a straight line, none at a right angle: v = a t, by hand."""
    a, v = 500.0, 50.0  # mm/s2, mm/s
    straight = lines(Point(0, 0), Point(20, 0), Point(50, 0))
    assert way_seconds(straight, [3000, 3000], a) == pytest.approx(50 / v + v / a)
    bent = lines(Point(0, 0), Point(20, 0), Point(20, 30))
    assert way_seconds(bent, [3000, 3000], a) == pytest.approx(50 / v + 2 * v / a)
    # from rest to half the speed over the first leg, on to the full, and down again
    slower = way_seconds(straight, [1500, 3000], a)
    first = 20 / 25 + 25 / a / 2
    up, down = 25 / a, v / a
    level = 30 - (v**2 - 25**2) / (2 * a) - v**2 / (2 * a)
    assert slower == pytest.approx(first + up + down + level / v)


def test_an_arc_is_gone_as_fast_as_the_machine_bears_across_it() -> None:
    """v2 / r = a (mechanics): 5 mm at 500 mm/s2 bear 50 mm/s, a quarter of that radius half."""
    quarter = Arc(Point(1.25, 0), Point(0, 1.25), Point(0, 0), True)
    way = [*lines(Point(1.25, -50), Point(1.25, 0)), quarter]
    a, v, slow = 500.0, 50.0, 25.0
    brake, last = (v - slow) / a, slow / a
    level = 50 - v**2 / (2 * a) - (v**2 - slow**2) / (2 * a)
    arc = quarter.length - slow**2 / (2 * a)
    expected = v / a + level / v + brake + arc / slow + last
    assert way_seconds(way, [3000, 3000], a) == pytest.approx(expected)


def lines(*places: Point) -> list[Line]:
    return [Line(a, b) for a, b in pairwise(places)]
