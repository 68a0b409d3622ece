"""The chip of a rib met head-on, and cutting speeds, which nothing thin or narrow excuses.

Circular-arc model of the chip: feed per tooth times the cosine between the direction of travel and
the place of the rim that meets material (Martellotti, Trans. ASME 63, 1941; from memory).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from boss_plate import CLEAR, FLOOR, MACHINE, make_part, world

from compiler.motion import Point3, Rapid, Role, Straight

FEED = 0.09 * 3 * 5000  # 0.09 mm a tooth


def rows(ys: list[float], feed: float):
    """Rows along the stock at these Y, the last one at the feed; stock 60 x 40, cutter D 10."""
    moves = []
    for k, y in enumerate(ys):
        moves += [
            Rapid(Point3(-8, y, CLEAR)),
            Rapid(Point3(-8, y, 1.3)),
            Straight(Point3(-8, y, FLOOR), 100.0, Role.PLUNGE),
            Straight(Point3(68, y, FLOOR), feed if k == len(ys) - 1 else 150.0, Role.CUT),
            Rapid(Point3(68, y, CLEAR)),
        ]
    made = world(moves, part=make_part(standing=()))
    table = {"carbide": ((10.0, 0.03),)}
    job = replace(made.job, material=replace(made.job.material, chip_load=table), machine=MACHINE)
    return replace(made, job=job)


def test_a_rib_ahead_takes_the_whole_chip_however_narrow() -> None:
    # rows at 10 and 22 leave a rib of 2 between them; along its middle the rim meets it squarely
    entry = rows([10.0, 22.0, 16.0], FEED).entry("load_held")
    assert not entry.held and entry.unit == "mm"
    assert entry.measured == pytest.approx(0.09, rel=0.01)


def test_the_same_width_at_the_side_takes_a_thinner_chip() -> None:
    # radial depth 2 of D 10: sin of acos(1 - 2 * 2 / 10) is 0.8
    entry = rows([2.0, 4.0], FEED / 1.3).entry("load_held")
    assert entry.unit == "mm"
    assert entry.measured == pytest.approx(0.8 * 0.09 / 1.3, rel=0.02)


def test_twice_the_table_s_speed_is_too_quick() -> None:
    made = rows([2.0], 150.0)
    speed = {"carbide": 50.0}  # 5000 rpm on D 10 are 157 m/min
    job = replace(made.job, material=replace(made.job.material, cutting_speed=speed))
    entry = replace(made, job=job).edited("S5000", "S6000").entry("load_held")
    assert not entry.held and entry.unit == "m/min"
    assert entry.measured == pytest.approx(188.5, abs=0.1)
    assert "rpm" in entry.remedy
