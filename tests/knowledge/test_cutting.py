"""Worked-out speeds and feeds: inside every limit, in the shops' ranges, given values kept."""

import dataclasses
import math

import pytest
from cutters import cutter
from hypothesis import assume, given
from hypothesis import strategies as some

from compiler.diagnostics import Severity
from compiler.job.model import CuttingGiven, Machine, Material, Tool
from compiler.knowledge import bending, power, speeds
from compiler.knowledge import engagement as rim
from compiler.knowledge.cutting import (
    CuttingData,
    axial_depth_for,
    chip_load_for,
    reach_share,
    work_out,
)
from compiler.knowledge.given import Doubt, check_given, check_reach
from compiler.knowledge.limits import Cut, available_torque, limits
from compiler.knowledge.machines import MACHINES
from compiler.knowledge.materials import MATERIALS

AUTO = CuttingGiven()
ALUMINIUM = MATERIALS["aluminium_6061"]
STEEL = MATERIALS["steel_1018"]
KNEE = MACHINES["knee_mill"]
STRONG = MACHINES["machining_centre_medium"]


def work(
    tool: Tool,
    material: Material = ALUMINIUM,
    machine: Machine = STRONG,
    fixed: CuttingGiven = AUTO,
    *,
    deep: float = 0.5,
    wide: float = 0.5,
    engagement: float | None = None,
    finish: bool = False,
) -> CuttingData:
    """Depths are shares of the diameter."""
    return work_out(
        tool=tool,
        material=material,
        machine=machine,
        given=fixed,
        axial_depth=deep * tool.diameter,
        radial_depth=wide * tool.diameter,
        engagement=engagement,
        finish=finish,
    )


def doubts(
    tool: Tool, fixed: CuttingGiven, machine: Machine = KNEE, material: Material = ALUMINIUM
) -> tuple[Doubt, ...]:
    data = work(tool, material, machine, fixed)
    return check_given(
        tool=tool,
        material=material,
        machine=machine,
        given=fixed,
        data=data,
        axial_depth=0.5 * tool.diameter,
        radial_depth=0.5 * tool.diameter,
        engagement=None,
        finish=False,
    )


# --- inside every limit --------------------


@given(
    some.sampled_from(sorted(MATERIALS)),
    some.sampled_from(sorted(MACHINES)),
    some.floats(0.5, 63),
    some.integers(1, 6),
    some.sampled_from(["hss", "carbide"]),
    some.floats(1.5, 9),
    some.floats(0.01, 2.5),
    some.floats(0.005, 1.0),
    some.booleans(),
)
def test_nothing_ends_above_a_limit(
    material_name: str,
    machine_name: str,
    diameter: float,
    flutes: int,
    made_of: str,
    reach: float,
    deep: float,
    wide: float,
    finish: bool,
) -> None:
    material, machine = MATERIALS[material_name], MACHINES[machine_name]
    assume(made_of in material.cutting_speed)
    tool = cutter(diameter, flutes=flutes, material=made_of, stickout=reach * diameter)
    data = work(tool, material, machine, deep=deep, wide=wide, finish=finish)
    assert machine.min_rpm <= data.rpm <= machine.max_rpm
    deflection = bending.FINISHING_DEFLECTION if finish else bending.ROUGHING_DEFLECTION
    for feed, width in ((data.feed, wide * diameter), (data.slot_feed, diameter)):
        cut = Cut(
            tool=tool,
            material=material,
            machine=machine,
            rpm=data.rpm,
            axial_depth=deep * diameter,
            radial_depth=width,
            engagement=rim.straight_wall(tool.radius, width),
            deflection=deflection,
        )
        for limit in limits(cut, "mm"):
            assert limit.taken(feed) <= limit.allowed * (1 + 1e-9), limit.name
    assert 0 < data.slot_feed <= data.feed <= machine.max_feed
    assert 0 < data.entry_feed <= 0.5 * data.feed
    assert 0 < data.finish_feed <= data.feed
    assert data.chip_load == pytest.approx(data.feed / data.rpm / flutes)


def test_power_limit_by_hand() -> None:
    # the same arithmetic, spelled out: Q kc C / 60e6 over the spindle's efficiency
    tool = cutter(20, flutes=4, stickout=40)
    data = work(tool, STEEL, KNEE, deep=1.0, wide=0.5)
    chip = data.feed / data.rpm / 4
    force = STEEL.specific_cutting_force * power.feed_factor(chip) * power.WORN_EDGE
    needed = 20 * 10 * data.feed * force / 60e6 / power.EFFICIENCY
    assert 0.9 * KNEE.power <= needed <= KNEE.power  # type: ignore[operator]
    assert any("power" in reason for reason in data.reasons)


def test_torque_limit_by_hand() -> None:
    weak = dataclasses.replace(KNEE, power=None, peak_torque=5.0)
    tool = cutter(20, flutes=4, material="hss", stickout=30)
    data = work(tool, STEEL, weak, deep=0.5, wide=0.5)
    chip = data.feed / data.rpm / 4
    kc = STEEL.specific_cutting_force * power.feed_factor(chip) * power.WORN_EDGE
    kilowatts = 10 * 10 * data.feed * kc / 60e6
    # M = 9549.297 P / n, and of the peak only 80 %
    assert 3.6 <= 9549.297 * kilowatts / data.rpm <= 4.0
    assert any("torque" in reason for reason in data.reasons)


def test_a_thin_chip_is_said() -> None:
    slender = cutter(3, material="hss", stickout=25, flute_length=20)
    data = work(slender, STEEL, KNEE, deep=3.0, wide=0.5)
    assert data.chip_load < 0.25 * chip_load_for(slender, STEEL)
    assert any("the chip is thin" in reason for reason in data.reasons)
    usual = work(cutter(3), STEEL, KNEE, deep=0.5, wide=0.5)
    assert not any("the chip is thin" in reason for reason in usual.reasons)


def test_bending_limit_by_hand() -> None:
    tool = cutter(12, material="hss", stickout=40, flute_length=40, helix_angle=0.0)
    data = work(tool, STEEL, STRONG, deep=1.0, wide=0.5)
    chip = data.feed / data.rpm / 3
    # no helix, half immersion: one tooth at its thickest chip, over the whole depth
    kc = STEEL.specific_cutting_force * power.feed_factor(chip) * power.WORN_EDGE
    across = math.hypot(1, 0.5) * kc * chip * 12
    arm = 40 - 6  # the force acts half way up the cut
    inertia = math.pi * (0.8 * 12) ** 4 / 64
    bent = across * arm**2 * (3 * 40 - arm) / (6 * 210_000 * inertia)
    assert 0.045 <= bent <= 0.0501
    assert any("bending" in reason for reason in data.reasons)


@given(
    some.sampled_from(sorted(MATERIALS)),
    some.floats(1, 50),
    some.sampled_from(["hss", "carbide"]),
    some.floats(0.1, 2.5),
    some.floats(0.02, 1.0),
)
def test_the_mean_force_at_the_very_tip_is_borne_too(
    name: str, diameter: float, made_of: str, deep: float, wide: float
) -> None:
    # the handbooks' plainer reckoning: F = 60000 P / vc, all of it at the tip, a sharp edge
    tool = cutter(diameter, material=made_of)
    material = MATERIALS[name]
    assume(made_of in material.cutting_speed)
    data = work(tool, material, STRONG, deep=deep, wide=wide)
    rate = deep * wide * diameter**2 * data.feed
    watts = power.cutting_power(rate, material.specific_cutting_force)
    across = power.mean_force(watts, data.surface_speed)
    assert across * bending.compliance(tool) <= bending.ROUGHING_DEFLECTION


def test_a_machine_that_does_not_say_is_not_a_limit() -> None:
    quiet = dataclasses.replace(KNEE, power=None, peak_torque=None)
    tool = cutter(20, flutes=4, stickout=40)
    assert work(tool, STEEL, quiet, deep=1.0).feed > work(tool, STEEL, KNEE, deep=1.0).feed


# --- in the shops' ranges (common practice, no source) --------------------


@pytest.mark.parametrize(
    ("material", "made_of", "speed", "diameter", "chip"),
    [
        ("aluminium_6061", "carbide", (200, 600), 10, (0.06, 0.12)),
        ("aluminium_6061", "hss", (60, 150), 10, (0.06, 0.12)),
        ("steel_1018", "carbide", (90, 180), 6, (0.02, 0.04)),
        ("steel_1018", "hss", (25, 35), 6, (0.02, 0.04)),
        ("steel_4140", "carbide", (70, 140), 12, (0.05, 0.09)),
        ("stainless_304", "carbide", (50, 110), 10, (0.03, 0.05)),
        ("stainless_304", "hss", (12, 20), 6, (0.015, 0.03)),
        ("titanium_6al4v", "carbide", (35, 70), 12, (0.035, 0.065)),
        ("iron_gjl_250", "carbide", (80, 150), 10, (0.04, 0.07)),
        ("acetal", "carbide", (150, 400), 20, (0.10, 0.20)),
    ],
)
def test_half_immersion_is_in_the_shops_range(
    material: str,
    made_of: str,
    speed: tuple[float, float],
    diameter: float,
    chip: tuple[float, float],
) -> None:
    tool = cutter(diameter, material=made_of, stickout=2.5 * diameter)
    data = work(tool, MATERIALS[material], STRONG, deep=0.2, wide=0.5)
    assert speed[0] <= data.surface_speed <= speed[1]
    assert chip[0] * 0.99 <= data.chip_load <= chip[1]


# Speeds and feeds that NIST used for its own small parts (machining package, inch): end mill
# diameter in, rpm and feed in/min at the middle level. Material not stated; the order of size.
@pytest.mark.parametrize(("inch", "rpm", "feed"), [(0.125, 9000, 27), (0.25, 9000, 110)])
def test_same_order_as_a_published_programme(inch: float, rpm: float, feed: float) -> None:
    tool = cutter(inch * 25.4)
    data = work(tool, ALUMINIUM, dataclasses.replace(STRONG, max_rpm=rpm), deep=0.25)
    assert feed / 3 <= data.feed / 25.4 <= feed * 3


# --- how each value comes about --------------------


def test_feed_follows_the_clamped_spindle() -> None:
    tool = cutter(3)
    slow = work(tool, ALUMINIUM, KNEE, deep=0.2)
    assert slow.rpm == KNEE.max_rpm
    assert slow.chip_load == pytest.approx(chip_load_for(tool, ALUMINIUM), rel=0.02)
    assert any("held to the machine's 4200 rpm" in reason for reason in slow.reasons)


def test_slow_spindle_is_raised_to_the_least() -> None:
    eager = dataclasses.replace(KNEE, min_rpm=1000)
    data = work(cutter(25, material="hss"), MATERIALS["titanium_6al4v"], eager, deep=0.1)
    assert data.rpm == 1000
    assert any("raised to the machine's least 1000 rpm" in reason for reason in data.reasons)


def test_thin_chips_raise_the_feed_but_not_beyond_double() -> None:
    tool = cutter(10)
    table = chip_load_for(tool, ALUMINIUM)
    fifth = work(tool, wide=0.2, deep=0.2)
    assert fifth.chip_load == pytest.approx(1.25 * table, rel=0.02)  # 1/sin(53.13 deg)
    skim = work(tool, wide=0.01, deep=0.2)
    assert skim.chip_load == pytest.approx(2 * table, rel=0.02)
    assert any("raised 2.00 times" in reason for reason in skim.reasons)


def test_a_promised_engagement_stands_for_the_radial_depth() -> None:
    tool = cutter(10)
    promised = work(tool, wide=0.9, engagement=math.radians(60), deep=0.2)
    straight = work(tool, wide=0.25, deep=0.2)
    assert promised.feed == straight.feed


def test_finishing_takes_a_share_and_no_raise() -> None:
    tool = cutter(10)
    data = work(tool, wide=0.03, deep=0.2, finish=True)
    assert data.chip_load == pytest.approx(0.8 * chip_load_for(tool, ALUMINIUM), rel=0.02)
    assert data.finish_feed == data.feed
    rough = work(tool, wide=0.2, deep=0.2)
    table_feed = speeds.table_feed(rough.rpm, 3, chip_load_for(tool, ALUMINIUM))
    assert rough.finish_feed == pytest.approx(0.8 * table_feed, rel=0.01)


def test_a_deep_slot_is_slower() -> None:
    tool = cutter(10)
    shallow, deep = work(tool, deep=0.4), work(tool, deep=1.0)
    assert shallow.slot_feed == shallow.feed
    # common practice: a third to a half off in slots deeper than the diameter
    assert deep.slot_feed <= 0.7 * deep.feed
    assert any(reason.startswith("in a slot, 50 % of") for reason in deep.reasons)
    assert not any("in a slot" in reason for reason in shallow.reasons)


def test_a_ramp_is_a_shallow_slot() -> None:
    tool = cutter(10)
    shallow, deep = work(tool, deep=0.5, wide=0.03), work(tool, deep=2.0, wide=0.03)
    assert deep.slot_feed < 0.7 * shallow.slot_feed
    assert deep.entry_feed == shallow.entry_feed


def test_long_reach_lowers_chip_and_depth() -> None:
    short, long = cutter(10, stickout=30), cutter(10, stickout=50)
    assert reach_share(short) == 1 and reach_share(long) == pytest.approx(0.7)
    assert chip_load_for(long, ALUMINIUM) == pytest.approx(0.7 * chip_load_for(short, ALUMINIUM))
    assert axial_depth_for(long, ALUMINIUM, 2.5) < axial_depth_for(short, ALUMINIUM, 2.5)
    assert any("reach of 5.0 diameters" in reason for reason in work(long).reasons)


def test_long_reach_leaves_a_drill_its_chip() -> None:
    """It is pushed along its axis, guided by its hole (common practice, no source)."""
    short, long = cutter(6, kind="drill", stickout=18), cutter(6, kind="drill", stickout=70)
    assert chip_load_for(long, ALUMINIUM) == chip_load_for(short, ALUMINIUM)


def test_chip_load_between_and_beyond_the_rows() -> None:
    at = {size: chip_load_for(cutter(size), STEEL) for size in (0.5, 1, 6, 8, 10, 20, 50)}
    assert at[0.5] == pytest.approx(at[1] / 2)
    assert at[8] == pytest.approx((at[6] + at[10]) / 2)
    assert at[50] == at[20]


def test_axial_depth_by_width() -> None:
    tool = cutter(6, flute_length=20)
    assert axial_depth_for(tool, ALUMINIUM, 6) == pytest.approx(3)  # a slot: half the diameter
    assert axial_depth_for(tool, ALUMINIUM, 1) == pytest.approx(9)  # a side cut: 1.5 diameters
    assert 3 < axial_depth_for(tool, ALUMINIUM, 3.6) < 9
    assert axial_depth_for(cutter(6, flute_length=5), ALUMINIUM, 1) == 5


def test_slender_cutters_cut_shallower() -> None:
    stiff = cutter(12.7, flute_length=32)
    soft = dataclasses.replace(stiff, material="hss")
    assert axial_depth_for(soft, STEEL, 3) < axial_depth_for(stiff, STEEL, 3)


def test_a_hopeless_cutter_is_left_a_fifth_of_the_depth() -> None:
    thread = cutter(12, material="hss", stickout=200, flute_length=200)
    usual = STEEL.side_depth * 12 * reach_share(thread)
    assert 0.17 * usual <= axial_depth_for(thread, STEEL, 3) <= 0.2 * usual


def test_round_figures() -> None:
    for diameter in (2, 5, 9.7, 16):
        data = work(cutter(diameter), STEEL, KNEE)
        assert data.rpm % 10 == 0 and data.feed == int(data.feed)
    tool = cutter(9.7)
    inch = work_out(
        tool=tool,
        material=STEEL,
        machine=KNEE,
        given=AUTO,
        axial_depth=3,
        radial_depth=3,
        engagement=None,
        finish=False,
        units="inch",
    )
    assert inch.feed / 25.4 * 10 == pytest.approx(round(inch.feed / 25.4 * 10))
    assert any("ft/min" in reason for reason in inch.reasons)


# --- given values --------------------


def test_given_values_are_kept() -> None:
    fixed = CuttingGiven(rpm=3333, feed=444, entry_feed=55, finish_feed=222)
    data = work(cutter(10), STEEL, KNEE, fixed)
    assert (data.rpm, data.feed, data.entry_feed, data.finish_feed) == (3333, 444, 55, 222)
    assert data.slot_feed <= 444
    assert data.plunge_feed == 55  # all that goes down goes as the author says


def test_given_speed_and_chip_load_are_turned_into_rpm_and_feed() -> None:
    data = work(cutter(10), STEEL, KNEE, CuttingGiven(speed=100, chip_load=0.05))
    assert data.rpm == pytest.approx(speeds.spindle_speed(100, 10), rel=0.005)
    assert data.feed == pytest.approx(data.rpm * 3 * 0.05)


def test_sane_given_values_raise_no_doubt() -> None:
    assert doubts(cutter(10), CuttingGiven(rpm=4000, feed=900, entry_feed=300)) == ()
    assert doubts(cutter(10), AUTO) == ()


@pytest.mark.parametrize(
    ("fixed", "key", "severity"),
    [
        (CuttingGiven(rpm=9000), "rpm", Severity.ERROR),
        (CuttingGiven(speed=600), "speed", Severity.ERROR),
        (CuttingGiven(rpm=20), "rpm", Severity.ERROR),
        (CuttingGiven(feed=5000), "feed", Severity.ERROR),
        (CuttingGiven(chip_load=0.5), "chip_load", Severity.ERROR),
        (CuttingGiven(chip_load=0.2), "chip_load", Severity.WARNING),
        (CuttingGiven(feed=20), "feed", Severity.WARNING),
        (CuttingGiven(entry_feed=2600), "entry_feed", Severity.ERROR),
        (CuttingGiven(finish_feed=2600), "finish_feed", Severity.ERROR),
        (CuttingGiven(rpm=4000, speed=50), "speed", Severity.WARNING),
    ],
)
def test_given_values_out_of_range(fixed: CuttingGiven, key: str, severity: Severity) -> None:
    found = doubts(cutter(10), fixed)
    assert (key, severity) in {(each.key, each.severity) for each in found}
    assert all(each.help for each in found)


@pytest.mark.parametrize(("asked", "offered"), [(9000, "4200 rpm"), (20, "60 rpm")])
def test_spindle_help_is_the_nearest_that_can_be(asked: float, offered: str) -> None:
    found = [each for each in doubts(cutter(10), CuttingGiven(rpm=asked)) if each.key == "rpm"]
    assert found[0].help == f"ask for {offered}"


def test_fast_surface_speed_is_a_warning_with_a_number() -> None:
    found = doubts(cutter(10), CuttingGiven(rpm=4200, feed=300), material=MATERIALS["nickel_718"])
    fast = [each for each in found if each.key == "rpm"]
    assert fast[0].severity is Severity.WARNING and "700 rpm" in fast[0].help


def test_the_help_of_an_overload_is_borne() -> None:
    tool, fixed = cutter(16, flutes=4), CuttingGiven(rpm=2400, feed=2400)
    found = [each for each in doubts(tool, fixed, KNEE, STEEL) if "power" in each.message]
    best = float(found[0].help.split(" mm/min")[0])
    again = doubts(tool, CuttingGiven(rpm=2400, feed=best), KNEE, STEEL)
    assert not [each for each in again if each.severity is Severity.ERROR]


def test_reach() -> None:
    assert check_reach(cutter(10, stickout=50)) == ()
    assert check_reach(cutter(10, stickout=60))[0].severity is Severity.WARNING
    assert check_reach(cutter(10, stickout=90, kind="drill")) == ()


def test_drills() -> None:
    data = work(cutter(6, kind="drill", flutes=2), STEEL, KNEE, deep=3, wide=1.0)
    assert 0 < data.feed <= KNEE.max_feed
    assert data.rpm <= KNEE.max_rpm


# --- the torque curve --------------------


def test_torque_follows_the_curve() -> None:
    # by hand: 30 N m to 1000 rpm, falling to 10 at 3000: 20 N m at 2000
    falling = dataclasses.replace(
        KNEE, peak_torque=None, torque_curve=((100.0, 30.0), (1000.0, 30.0), (3000.0, 10.0))
    )
    for rpm, torque in ((50, 30), (500, 30), (2000, 20), (2500, 15), (4000, 10)):
        assert available_torque(falling, rpm) == pytest.approx(torque)
    held = dataclasses.replace(falling, peak_torque=12.0)
    assert available_torque(held, 500) == 12 and available_torque(held, 3000) == 10
    assert available_torque(dataclasses.replace(KNEE, peak_torque=None), 500) is None


def test_a_weak_curve_lowers_the_feed() -> None:
    tool = cutter(20, flutes=4, material="hss", stickout=30)
    weak = dataclasses.replace(
        KNEE, power=None, peak_torque=40.0, torque_curve=((100.0, 2.0), (400.0, 5.0))
    )
    data = work(tool, STEEL, weak, deep=0.5, wide=0.5)
    chip = data.feed / data.rpm / 4
    kc = STEEL.specific_cutting_force * power.feed_factor(chip) * power.WORN_EDGE
    kilowatts = 10 * 10 * data.feed * kc / 60e6
    # M = 9549.297 P / n, and of what the curve has at most 80 %
    allowed = 5.0 if data.rpm >= 400 else 2.0 + 3.0 * (data.rpm - 100) / 300
    assert 0.7 * allowed <= 9549.297 * kilowatts / data.rpm <= 0.8 * allowed * 1.001


# --- in the job's own units --------------------


def test_loads_are_said_in_horsepower_in_inch_jobs() -> None:
    tool = cutter(20, flutes=4, stickout=40)
    fixed = CuttingGiven(rpm=1900, feed=3000)
    data = work(tool, STEEL, KNEE, fixed, deep=1.0)
    found = check_given(
        tool=tool,
        material=STEEL,
        machine=KNEE,
        given=fixed,
        data=data,
        axial_depth=20,
        radial_depth=10,
        engagement=None,
        finish=False,
        units="inch",
    )
    said = " ".join(doubt.message for doubt in found)
    # 2.2 kW / 0.7457 kW a horsepower (NIST SP 811)
    assert "the spindle's power of 2.95 hp" in said
    assert "kW" not in said and "N m" not in said
