"""Loads against worked examples of the handbook formulas, and on programs cut in simulation.

Formulas as in Machinery's Handbook; stepped cantilever with 0.8 of the diameter over the flutes:
Kops and Vo, CIRP Annals 39/1 (1990).
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest
from boss_plate import (
    CLEAR,
    FLOOR,
    MACHINE,
    MATERIAL,
    cutter,
    make_job,
    make_operation,
    make_part,
    make_plan,
    rectangle,
    standing,
    world,
)

from compiler.judge.judge import make_case
from compiler.judge.obligations.load_held import (
    EFFICIENCY,
    _running_rate,
    deflection,
    removal_rates,
)
from compiler.motion import Point3, Rapid, Role, Straight
from compiler.read import read


@pytest.mark.parametrize(
    ("tool", "force", "expected"),
    [
        # D 10, L 30, 200 N: 0.0149208 mm carbide, 0.0426308 mm high-speed steel
        (cutter(flute_length=30.0, stickout=30.0), 200.0, 0.0149208),
        (cutter(flute_length=30.0, stickout=30.0, material="hss"), 200.0, 0.0426308),
        # fluted 22 of 40: two steps, 0.0179607 mm
        (cutter(flute_length=22.0, stickout=40.0), 200.0, 0.0179607),
    ],
)
def test_bending_of_worked_examples(tool, force: float, expected: float) -> None:
    assert deflection(tool, force) == pytest.approx(expected, abs=1e-7)


def side_cut(radial: float, feed: float = 716.197):
    """A row along the stock's front edge: D 10, n 4774.648, z 3, ap 4."""
    y = radial - 5.0
    moves = [
        Rapid(Point3(-8, y, CLEAR)),
        Rapid(Point3(-8, y, 1.3)),
        Straight(Point3(-8, y, FLOOR), 100.0, Role.PLUNGE),
        Straight(Point3(68, y, FLOOR), feed, Role.CUT),
        Rapid(Point3(68, y, CLEAR)),
    ]
    job = make_job(material=replace(MATERIAL, specific_cutting_force=2000.0))
    made = world(moves, job=job, part=make_part(standing=()))
    return made.edited("S5000", "S4774.648")


def test_power_and_torque_of_a_worked_example() -> None:
    # D 10, vc 150, z 3, fz 0.05, ae 2, kc 2000: at ap 10 0.477465 kW and 0.954930 N m; here ap 4
    tight = replace(MACHINE, power=0.477465 * 0.4 / EFFICIENCY, peak_torque=10.0)
    made = side_cut(2.0)
    entry = replace(made, job=replace(made.job, machine=tight)).entry("load_held")
    assert entry.unit == "kW"
    assert entry.measured == pytest.approx(entry.allowed, rel=0.02)
    weak = replace(MACHINE, power=None, peak_torque=0.954930 * 0.4)
    entry = replace(made, job=replace(made.job, machine=weak)).entry("load_held")
    assert (entry.unit, entry.measured) == ("N m", pytest.approx(entry.allowed, rel=0.02))


def test_thinned_chip_of_a_side_cut() -> None:
    # D 10, ae 1, fz 0.1: greatest chip 0.06 mm (circular-arc model)
    made = side_cut(1.0, feed=0.1 * 3 * 4774.648)
    table = {"carbide": ((10.0, 0.03),)}
    job = replace(made.job, material=replace(made.job.material, chip_load=table), machine=MACHINE)
    report = replace(made, job=job).judge().value
    assert report is not None
    entry = next(e for e in report.obligations if e.name == "load_held")
    assert entry.unit == "mm"
    assert entry.measured == pytest.approx(0.06, abs=5e-4)
    assert entry.margin == pytest.approx(0.0, abs=5e-4)  # the table's, twice


def test_a_moment_before_a_corner_is_no_lasting_load() -> None:
    # along one wall and into a corner: the skin ahead is met over the whole front for a moment
    skin = 0.25
    left = standing("left", rectangle(-60, -60, 0, 100))
    front = standing("front", rectangle(-60, -60, 120, 0))
    part = make_part(standing=(left, front))

    def pocket(off: float):
        ways = [(68, off), (off, off), (off, 48)]
        return [Straight(Point3(x, y, FLOOR), 300.0, Role.CUT) for x, y in ways]

    moves = [Rapid(Point3(68, 5 + skin, CLEAR)), Rapid(Point3(68, 5 + skin, 1.3))]
    moves += [Straight(Point3(68, 5 + skin, FLOOR), 100.0, Role.PLUNGE), *pocket(5 + skin)[1:]]
    moves += [Straight(Point3(68, 48, FLOOR), 300.0, Role.CUT), *pocket(5.0)]
    moves += [Rapid(Point3(5, 48, CLEAR))]
    made = world(moves, part=part, plan=make_plan(make_operation(kind="finish_walls")))
    program = read(made.text).value
    assert program is not None
    case = make_case(
        job=made.job,
        part=part,
        plan=made.plan,
        motions=made.motions,
        program=program,
        line_owner=made.owners,
    )
    along = max(
        k for k, m in enumerate(case.motions) if m.kind == "line" and abs(m.end.x - 5.0) < 1e-9
    )
    into = along - 1
    samples = case.cut.samples
    peak = math.degrees(samples.angle[samples.motion == into].max())
    assert peak > 40.0
    steady = 4.0 * skin * 300.0
    bare = 4.0 * 5.0 * (1 - math.cos(math.radians(peak))) * 300.0
    assert steady < removal_rates(case)[into] < 0.5 * bare
    assert np.isfinite(removal_rates(case)).all()


def test_a_narrow_cut_is_credited_with_a_thinner_chip_only_so_far() -> None:
    # ae 0.3 of D 10: sin phi is 0.341, but no less than 0.4 of the feed per tooth counts
    made = side_cut(0.3, feed=0.1 * 3 * 4774.648)
    table = {"carbide": ((10.0, 0.019),)}
    job = replace(made.job, material=replace(made.job.material, chip_load=table), machine=MACHINE)
    entry = replace(made, job=job).entry("load_held")
    assert not entry.held and entry.unit == "mm"
    assert entry.measured == pytest.approx(0.4 * 0.1, abs=1e-4)


def test_a_stretch_of_path_does_not_reach_back_over_a_change_of_tool() -> None:
    """A heavy cut by one tool is no load on the next: both cuts have their own rate to the end."""
    volume, length = np.array([60.0, 60.0, 1.0, 1.0]), np.ones(4)
    feed, stretch, tool = np.full(4, 100.0), np.full(4, 3.0), np.array([1, 1, 2, 2])
    found = _running_rate(volume, length, feed, stretch, tool)
    assert found == pytest.approx([6000.0, 6000.0, 100.0, 100.0])
