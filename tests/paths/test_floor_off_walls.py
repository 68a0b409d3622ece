"""A floor is finished a hair off walls that are not finished yet: along them it would rub.

A cutter that runs along a wall at the very offset that stands meets, by the rounding of a written
program, a film of it in its full height. Common practice, no source.
"""

from __future__ import annotations

import pytest
from planning_bench import a_pass, bench, block, disc
from test_cut_properties import motions_of

from compiler.geometry import Point
from compiler.motion import Rapid, Role

BOSS = disc(16, 12, 5)


def nearest_to_the_boss(left: float) -> list[float]:
    """How near the centre of the 10 mm cutter comes to the boss, pass by pass, less its radius."""
    asked = [
        a_pass("rough", to=-3.0, pattern="contour_parallel", wall_allowance=left),
        a_pass("finish_floor", pattern="contour_parallel", wall_allowance=left),
    ]
    paths = motions_of(*bench({"boss": BOSS}, asked, stock=block(0, 0, 32, 24))).paths
    return [
        min(
            Point(16, 12).distance(m.to.xy) - 5.0 - 5.0
            for m in path.moves
            if not isinstance(m, Rapid) and m.role is Role.CUT
        )
        for path in paths
    ]


def test_off_walls_that_stand_unfinished() -> None:
    rough, floor = nearest_to_the_boss(0.2)
    assert rough == pytest.approx(0.2, abs=1e-6)
    assert floor == pytest.approx(0.21, abs=1e-6)


def test_up_to_walls_that_are_to_size() -> None:
    assert nearest_to_the_boss(0.0)[-1] == pytest.approx(0.0, abs=1e-6)
