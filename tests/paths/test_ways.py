"""What the distance from the ways tells of a material, held against polygons of a library."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from compiler.geometry import Arc, Line, Point
from compiler.paths.chords import points_along, points_of_each
from compiler.paths.progress import Progress
from compiler.paths.ways import CHORDS, STANDS, UNSURE, Edges, Ways

RADIUS = 3.0
PLATE = shapely.box(0, 0, 60, 40).difference(shapely.box(20, 15, 35, 30))
CHAINS = (
    np.array([[-5.0, 5.0], [30.0, 8.0], [55.0, 30.0]]),
    np.array([[10.0, 45.0], [10.0, 20.0], [14.0, 18.0]]),
)


def ways_over_the_plate() -> Ways:
    ways = Ways(RADIUS)
    for chain in CHAINS:
        ways.add(chain)
    return ways


def test_places_are_told_as_by_polygons_but_at_rims() -> None:
    places = np.random.default_rng(1).uniform([-3, -3], [63, 43], (4000, 2))
    told = ways_over_the_plate().told(places, Edges.of(PLATE))
    lines = shapely.MultiLineString([chain.tolist() for chain in CHAINS])
    points = shapely.points(places)
    far = shapely.distance(lines, points)
    unsure = told == UNSURE
    stands = shapely.contains(PLATE, points) & (far > RADIUS)
    assert ((told == STANDS) == stands)[~unsure].all()
    assert (np.abs(far[unsure] - RADIUS) <= CHORDS).all() and 0 < unsure.sum() < 40


@pytest.mark.parametrize("reach", [RADIUS - 0.015, RADIUS, RADIUS + 1.3])
def test_a_way_that_surely_meets_something_does_so_by_polygons(reach: float) -> None:
    """And of those that meet more than a speck by polygons most are told."""
    ways, edges = ways_over_the_plate(), Edges.of(PLATE)
    lines = [shapely.LineString(chain) for chain in CHAINS]
    left = PLATE.difference(shapely.union_all(shapely.buffer(lines, RADIUS, quad_segs=64)))
    random = np.random.default_rng(2)
    missed = 0
    for _ in range(150):
        line = random.uniform([-8, -8], [68, 48], (random.integers(1, 4), 2))
        shape = shapely.LineString(line) if len(line) > 1 else shapely.Point(line[0])
        met = left.intersection(shape.buffer(reach, quad_segs=64)).area
        told = ways.surely_meets(line, reach, edges)
        assert met > 0 or not told
        missed += met > 1.0 and not told
    assert missed <= 3


def test_what_was_gone_along_is_gone_and_beyond_it_all_stands() -> None:
    progress = Progress(PLATE, RADIUS)
    progress.cut([Line(Point(-5, 5), Point(65, 5))])
    heights = np.array([2 + 1e-4, 5.0, 8 - 1e-4, 8 + 1e-4, 12.0])
    found = progress.loaded(np.column_stack([np.full(5, 10.0), heights]))
    assert found.tolist() == [False, False, False, True, True]


@pytest.mark.parametrize("ccw", [True, False])
def test_points_along_arcs_lie_on_them_within_the_chord(ccw: bool) -> None:
    """A chord of a circle of radius r over the angle a stands r (1 - cos(a / 2)) off it at most
    (plane geometry).
    """
    arc = Arc(Point(5, 0), Point(0, 5), Point(0, 0), ccw)
    whole = Arc(Point(0, 5), Point(0, 5), Point(0, 2), ccw)
    chain = [Line(Point(9, 0), Point(5, 0)), arc, whole]
    points = points_along(chain, 0.01)
    count = math.ceil(abs(arc.sweep) / (2 * math.acos(1 - 0.01 / 5)))
    for k in range(count + 1):
        assert points[1 + k].tolist() == pytest.approx([*arc.at(k / count)], abs=1e-12)
    around = points[1 + count :]
    assert np.hypot(around[:, 0], around[:, 1] - 2).tolist() == pytest.approx([3.0] * len(around))
    each, of = points_of_each(chain, 0.01)
    assert len(each) == len(points) + 2 and of.tolist() == sorted(of.tolist())
    assert each[of == 1].tolist() == points[1 : count + 2].tolist()
