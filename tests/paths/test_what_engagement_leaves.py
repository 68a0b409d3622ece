"""What walks at a constant engaged angle would leave standing, and how it is found and cut."""

import math

import numpy as np
from engagement_measure import measure
from numpy.typing import NDArray
from shapely import LineString, Polygon, box

from compiler.geometry import Line
from compiler.geometry import Point as Place
from compiler.paths.constant_engagement.ground import EVERYWHERE, gathered
from compiler.paths.constant_engagement.left import TILE, Left
from compiler.paths.constant_engagement.margins import OFF_WALL, margins
from compiler.paths.constant_engagement.posts import across
from compiler.paths.stroke import Piece, Stroke

RADIUS = 6.35
LIMIT = math.radians(60)
POST = Polygon([(0, 0), (0.16, 0.05), (0.05, 1.6), (-0.03, 1.0)])


def nowhere_shut(_: NDArray[np.float64]) -> bool:
    return True


def test_a_thin_post_is_led_across_whole_and_within_the_limit() -> None:
    left = Left(POST, box(-50, -50, 50, 50), RADIUS)
    (edge,) = left.islands(EVERYWHERE)
    rows = across(edge, left, RADIUS, LIMIT, nowhere_shut)
    assert rows is not None
    way = Line(Place(*rows[0, :2]), Place(*rows[-1, :2]))
    found = measure((Stroke((Piece(way),)),), radius=RADIUS, stock=POST, spacing=0.05)
    assert 0 < found.angle.max() <= LIMIT
    assert POST.difference(LineString(rows[:, :2]).buffer(RADIUS, quad_segs=64)).is_empty
    assert np.hypot(*(rows[0, :2] - edge).T).min() > RADIUS  # begins in air


def test_a_post_larger_than_the_limit_bears_is_left_to_the_walks() -> None:
    large = box(0, 0, 0.2, 1.2 * LIMIT * RADIUS)
    left = Left(large, box(-50, -50, 50, 50), RADIUS)
    assert across(next(left.islands(EVERYWHERE)), left, RADIUS, LIMIT, nowhere_shut) is None


def test_a_front_that_a_seam_cuts_off_just_before_its_wall_is_begun_at() -> None:
    # tiles meet at this height; the wall is a hair above, and the front's last chord beyond the
    # seam is all beside the wall
    seam = 0.5713 * TILE * RADIUS
    wall = seam + 0.05
    material = Polygon([(10, 5), (24, seam - 0.4), (29, seam), (30, wall), (10, wall)])
    left = Left(material, box(-50, -50, 100, wall), RADIUS)
    _, fronts = left.fronts(1, np.array([30.0, wall]))
    assert any(math.dist(front[:2], (29, seam)) < 1 for front in fronts)


def test_what_is_left_is_gathered_into_places_that_lie_apart() -> None:
    # the third bridges the first two
    places = gathered([(0, 0, 1, 1), (5, 0, 6, 1), (1.5, 0, 4.5, 1), (9, 9, 10, 10)], 1.0)
    assert places == [(-0.5, -0.5, 6.5, 1.5), (8.5, 8.5, 10.5, 10.5)]


def test_the_last_of_what_is_beside_a_wall_is_cut_as_near_to_it_as_the_rest() -> None:
    # along a wall on the right, ever less engaged, then in air
    engaged = np.radians([30.0, 1.5, 0.5, 0.0])
    marks = np.arange(4.0)
    rows = np.column_stack([marks, np.zeros(4), np.ones(4), np.zeros(4), engaged])
    nearest = np.column_stack([marks, np.zeros((4, 2)), np.zeros(4)])
    inside = np.array([False] * 4 + [True] * 4)  # to the right and to the left
    outwards = margins(rows, nearest, inside, LIMIT, RADIUS)[:, 1]
    assert (outwards[:3] == OFF_WALL).all()
    assert outwards[3] > 10 * OFF_WALL
