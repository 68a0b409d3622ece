"""Ways at depth round what stands, against plane geometry."""

import math
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from shapely import Point, box
from shapely.geometry.base import BaseGeometry

from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.field import Field
from compiler.paths.constant_engagement.ground import areas
from compiler.paths.constant_engagement.left import Left
from compiler.paths.linking.joins import Way
from compiler.paths.linking.rounded import rounded

RADIUS = 6.35
ROOM = box(-70, -70, 70, 70)
APART = 33.0  # from the middle; not more than three radii from the material
AT, TO = (-APART, 0.0, 1.0, 0.0), (APART, 0.0, 1.0, 0.0)
BENDS = (RADIUS / 2, RADIUS / 4, RADIUS / 10)


def way(material: BaseGeometry, longest: float, centres: BaseGeometry = ROOM) -> Way | None:
    """From one side to the other, as the planner has it."""
    left = Left(areas(material), ROOM, RADIUS)
    safe = Grid.of(areas(centres), RADIUS / 4)

    def free(path: NDArray[np.float64]) -> bool:
        return safe.holds(path) and not left.touches(path)

    corners = Field(safe, left).way(np.array(AT[:2]), np.array(TO[:2]), longest, free)
    return None if corners is None else rounded(AT, TO, corners, BENDS, longest, free)


def test_round_a_disc_it_is_hardly_longer_than_a_string() -> None:
    disc = Point(0, 0.5).buffer(15, 36)
    found = way(disc, 200)
    assert found is not None
    # two tangents and an arc round the disc grown by the cutter (plane geometry)
    reach = 15 + RADIUS
    string = 2 * math.sqrt(APART**2 - reach**2)
    string += reach * (math.pi - 2 * math.acos(reach / APART))
    length = sum(segment.length for segment in found)
    assert string - 1 < length < 1.05 * string
    places = [segment.at(k / 8) for segment in found for k in range(9)]
    assert min(disc.distance(Point(place)) for place in places) > RADIUS - 0.02
    for a, b in pairwise(found):
        assert a.end.distance(b.start) < 1e-9
        assert a.tangent(1.0).dot(b.tangent(0.0)) > 1 - 1e-9


def test_a_way_that_is_too_long_or_shut_off_is_none() -> None:
    disc = Point(0, 0.5).buffer(15, 36)
    assert way(disc, 68) is None
    assert way(disc, 200, ROOM.difference(box(-1, -70, 1, 70))) is None


def test_it_goes_where_something_was_taken_away_since() -> None:
    wall = box(-16, -68, 16, 68)
    left = Left(wall, ROOM, RADIUS)
    field = Field(Grid.of(ROOM, RADIUS / 4), left)
    ends = np.array(AT[:2]), np.array(TO[:2])
    assert field.way(*ends, 120, lambda path: not left.touches(path)) is None
    left.remove(box(-20, 5, 20, 25))
    corners = field.way(*ends, 120, lambda path: not left.touches(path))
    assert corners is not None
    assert ((corners[1:-1, 1] > 5) & (corners[1:-1, 1] < 25)).all()
