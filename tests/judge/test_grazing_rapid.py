"""A rapid that takes less than a cell of the raster off the material is still seen."""

import pytest
from boss_plate import CENTRE, CLEAR, FEED, FLOOR, world

from compiler.motion import Point3, Rapid, Role, Straight


def beside(off: float) -> list[Rapid | Straight]:
    """A slot, and a rapid back along it, `off` mm nearer to what still stands."""
    x, low, high = CENTRE.x + 18.0, CENTRE.y - 60.0, CENTRE.y + 60.0
    return [
        Rapid(Point3(x, low, CLEAR)),
        Rapid(Point3(x, low, 1.3)),
        Straight(Point3(x, low, FLOOR), 100.0, Role.PLUNGE),
        Straight(Point3(x, high, FLOOR), FEED, Role.CUT),
        Rapid(Point3(x - off, high, FLOOR)),
        Rapid(Point3(x - off, low, FLOOR)),
        Rapid(Point3(x - off, low, CLEAR)),
    ]


@pytest.mark.parametrize(("off", "clear"), [(0.0, True), (0.3, False), (1.0, False)])
def test_a_rapid_may_not_graze(off: float, clear: bool) -> None:
    entry = world(beside(off)).entry("rapids_clear")
    assert entry.held is clear, entry.what
