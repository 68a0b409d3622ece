"""What the distance from the ways tells of a material, held against polygons of a library."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely

from compiler.geometry import Arc, Line, Point
from compiler.paths.chords import broken, points_along, points_of_each
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


def test_places_near_lie_on_the_ways_evenly_with_their_ends() -> None:
    place, within, pitch = (12.0, 22.0), 16.0, 1.0
    found = ways_over_the_plate().places_near(place, within, pitch)
    lines = [shapely.LineString(chain) for chain in CHAINS]
    circle = shapely.Point(place).buffer(within, quad_segs=64)
    assert (np.hypot(*(found - place).T) <= within).all()
    assert (shapely.distance(shapely.MultiLineString(lines), shapely.points(found)) < 1e-9).all()
    length = sum(line.intersection(circle).length for line in lines)
    assert length - 2 < len(found) * pitch < 1.1 * length + 4
    everywhere = ways_over_the_plate().places_near(place, 1e3, pitch)
    for line in lines:
        assert (everywhere == line.coords[0]).all(axis=1).any()
        assert np.hypot(*(everywhere - line.coords[-1]).T).min() < 1e-9


def test_a_polyline_is_broken_evenly() -> None:
    """Against the lengths that a library gives: no piece is longer than asked by a step or more."""
    turn = np.linspace(0, 1.5 * math.pi, 200)
    points = 20 * np.column_stack([np.cos(turn), np.sin(turn)])
    bounds = broken(points, 18.0).tolist()
    pieces = [points[a : b + 1] for a, b in pairwise(bounds)]
    assert bounds[0] == 0 and bounds[-1] == 199 and bounds == sorted(set(bounds))
    step = 20 * turn[1]
    assert all(shapely.LineString(piece).length < 18 + step for piece in pieces)
    assert broken(points[:2].copy(), 0.001).tolist() == [0, 1]
    assert broken(np.array([[0.0, 0], [50, 0], [51, 0]]), 6.0).tolist() == [0, 1, 2]
