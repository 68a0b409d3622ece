"""Programs broken on purpose: each kind of harm is caught by the obligation that names it."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import pytest
from boss_plate import (
    CENTRE,
    CLEAR,
    FLOOR,
    MACHINE,
    SPAN,
    circle,
    cutter,
    make_job,
    make_operation,
    make_part,
    make_plan,
    rectangle,
    rings,
    standing,
    world,
)

from compiler.commands.verdict import uncut_words
from compiler.diagnostics import Diagnostic, Severity
from compiler.geometry import Point
from compiler.job.model import Holder, Pass
from compiler.judge.judge import CODES
from compiler.judge.model import Leftover
from compiler.judge.uncut import SPECK, uncut
from compiler.motion import Motions, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Blocked
from compiler.plan.model import Level

LAST_RING = "G2 X15.0000 Y20.0000 Z-4.000 I-15.0000 J0.0000 F400.0"


def broken(world) -> dict[str, Diagnostic]:
    """Broken obligations by name."""
    outcome = world.judge()
    assert outcome.value is not None
    codes = {code: name for name, code in CODES.items()}
    found = {codes[f.code]: f for f in outcome.findings if f.code in codes}
    if any(f.code == "E501" for f in outcome.findings):
        return {"refused": outcome.findings[0]}
    assert set(found) == {e.name for e in outcome.value.obligations if not e.held}
    for diagnostic in found.values():
        assert diagnostic.help, diagnostic
        assert diagnostic.message
    return found


# regions_stand, E510


def test_a_motion_nudged_into_the_wall() -> None:
    nudged = world()
    for old, new in (("45.0000", "44.9900"), ("X15.0000", "X15.0100"), ("I-15.0", "I-14.99")):
        nudged = nudged.edited(old, new, count=9)
    nudged = nudged.edited("I15.0000", "I14.9900")
    found = broken(nudged)
    assert {"regions_stand", "text_true"} <= set(found)
    e510 = found["regions_stand"]
    assert e510.code == "E510"
    data = dict(e510.data)
    assert data["measured"] == pytest.approx(-0.01, abs=0.002)
    assert e510.primary is not None and e510.primary.span.line == 7  # the pass in the spec
    assert any(f"program line {n}" in e510.notes[0] for n in (39, 40, 41))


def test_exact_distances_tell_a_thousandth() -> None:
    # the allowance is 0.0025 mm; the raster's pitch is a hundred times that
    inside = make_part(standing=(standing("boss", circle(CENTRE, 10.002)),))
    outside = make_part(standing=(standing("boss", circle(CENTRE, 10.003)),))
    assert "regions_stand" not in broken(world(part=inside))
    assert "regions_stand" in broken(world(part=outside))


def test_a_wrong_arc_sense() -> None:
    # the short way round from left to right at the wall: G3 passes on the other side
    half = "G2 X45.0000 Y20.0000 Z-4.000 I15.0000 J0.0000 F400.0"
    found = broken(world().edited(half, half.replace("G2", "G3")))
    assert "text_true" in found


def test_a_lost_sign() -> None:
    # the arc's radii then differ, and no control takes it
    assert "refused" in broken(world().edited("I-15.0000 J0.0000", "I15.0000 J0.0000"))
    # a coordinate's sign: the plunge comes down on the other side
    assert "text_true" in broken(world().edited("G1 X72.0000 Y20.0000 Z-4", "G1 X72. Y20. Z4"))


def test_a_straight_cut_through_the_boss() -> None:
    moves = rings()
    moves.insert(-1, Straight(Point3(15, 20, FLOOR), 400.0, Role.CUT))
    moves[-1] = Rapid(Point3(15, 20, CLEAR))
    found = broken(world(moves))
    assert set(found) >= {"regions_stand"}
    # the centre runs through the middle: as deep as the boss's and the cutter's radius
    assert dict(found["regions_stand"].data)["measured"] <= -5.0


def test_a_terrace_is_not_cut_below_its_top() -> None:
    low = make_part(
        standing=(
            standing("boss", circle(CENTRE, 10)),
            standing("pad", rectangle(0, 0, 8, 8), top=-3.0),
        )
    )
    found = broken(world(part=low))
    assert "regions_stand" in found
    assert "`pad`" in found["regions_stand"].message
    flush = make_part(
        standing=(
            standing("boss", circle(CENTRE, 10)),
            standing("pad", rectangle(0, 0, 8, 8), top=-4.0),
        )
    )
    assert not broken(world(part=flush))


def test_a_ramp_over_a_lower_region_is_judged_at_each_height() -> None:
    pad = standing("pad", rectangle(20, 38.5, 40, 40), top=-3.0)
    part = make_part(standing=(standing("boss", circle(CENTRE, 10)), pad), lowest_cut=-12.0)
    # comes down from above the pad's top only once it has passed it
    good = [
        Rapid(Point3(-8, 40, CLEAR)),
        Rapid(Point3(-8, 40, 1.3)),
        Straight(Point3(-8, 40, -2.9), 100.0, Role.PLUNGE),
        Straight(Point3(50, 40, -2.9), 400.0, Role.CUT),
        Straight(Point3(58, 40, -3.3), 100.0, Role.RAMP),
        Rapid(Point3(58, 40, CLEAR)),
    ]
    assert "regions_stand" not in broken(world(good, part=part))
    bad = [*good]
    bad[3] = Straight(Point3(36, 40, -2.9), 400.0, Role.CUT)
    assert "regions_stand" in broken(world(bad, part=part))


def test_declared_holes_may_be_drilled_in_a_region_and_no_others() -> None:
    drill = cutter(kind="drill", diameter=5.0, tip_angle=math.radians(118), flutes=2)
    job = make_job(
        tools=(drill,),
        passes=(Pass(kind="drill", name="clear", tool="T1", to=-4.0, at=(CENTRE,), origin=SPAN),),
    )
    plan = make_plan(make_operation(kind="drill", pattern=None))

    def hole(x: float) -> list:
        return [
            Rapid(Point3(x, 20, CLEAR)),
            Rapid(Point3(x, 20, 1.3)),
            Straight(Point3(x, 20, -4.0), 100.0, Role.PLUNGE),
            Rapid(Point3(x, 20, CLEAR)),
        ]

    assert not set(broken(world(hole(30.0), job=job, plan=plan))) - {"load_held"}
    assert "regions_stand" in broken(world(hole(30.1), job=job, plan=plan))


@pytest.mark.parametrize(
    ("off", "depth", "fits"),
    [
        (2.0, 1.5, True),  # cone 2.5 wide at the top, less 0.5 of edge
        (1.99, 1.5, False),
        (1.0, 0.5, True),  # the tip's own flat runs along the wall
        (0.99, 0.4, False),
    ],
)
def test_a_broken_edge_is_as_wide_as_declared(off: float, depth: float, fits: bool) -> None:
    cone = cutter(kind="chamfer_mill", diameter=8.0, tip_angle=math.pi / 2, tip_diameter=2.0)
    edge = Pass(kind="break_edges", name="clear", tool="T1", width=0.5, origin=SPAN)
    job = make_job(tools=(cone,), passes=(edge,))
    plan = make_plan(make_operation(kind="break_edges", pattern=None))
    radius = 10.0 + off
    right, left = Point3(30 + radius, 20, -depth), Point3(30 - radius, 20, -depth)
    moves = [
        Rapid(Point3(72, 20, CLEAR)),
        Rapid(Point3(72, 20, 1.3)),
        Straight(Point3(72, 20, -depth), 100.0, Role.PLUNGE),
        Straight(right, 200.0, Role.LEAD),
        Turn(left, CENTRE, False, 200.0, Role.CUT),
        Turn(right, CENTRE, False, 200.0, Role.CUT),
        Rapid(Point3(30 + radius, 20, CLEAR)),
    ]
    assert ("regions_stand" not in broken(world(moves, job=job, plan=plan))) == fits


# floor_kept, E511


def test_a_cut_below_its_floor() -> None:
    found = broken(world().edited(LAST_RING, LAST_RING.replace("Z-4.000", "Z-4.010")))
    assert found["floor_kept"].code == "E511"
    assert dict(found["floor_kept"].data)["margin"] == pytest.approx(-0.01)


def test_what_the_workholding_forbids() -> None:
    part = make_part(lowest_cut=-3.9)
    assert "floor_kept" in broken(world(part=part))


def test_another_operation_s_floor_is_no_excuse() -> None:
    shallow = make_operation(levels=(Level(top_mm=0, bottom_mm=-3.9, standing=("boss",)),))
    assert "floor_kept" in broken(world(plan=make_plan(shallow)))


# rapids_clear, E512


def test_a_dropped_retract() -> None:
    moves = rings()
    assert isinstance(moves[-1], Rapid)
    moves[-1] = Rapid(Point3(75, 20, FLOOR))
    back = [*moves, Rapid(Point3(-15, 20, FLOOR)), Rapid(Point3(-15, 20, CLEAR))]
    found = broken(world(back))
    assert found["rapids_clear"].code == "E512"
    assert "boss" in found["rapids_clear"].message


def test_a_rapid_into_material() -> None:
    found = broken(world().edited("G0 X72.0000 Y20.0000 Z1.300", "G0 X50.0000 Y20.0000 Z-1.000"))
    assert "material" in found["rapids_clear"].message
    assert "program line 11" in found["rapids_clear"].notes[0]


def test_a_rapid_that_is_clear_straight_but_not_by_the_dog_leg() -> None:
    # the straight way passes 18 mm from the post, the corner of the dog-leg stands on it
    post = Blocked(name="clamp", region=rectangle(84, 18, 86, 22), top=4.0, origin=SPAN)
    part = make_part(obstacles=(post,))
    moves = rings()
    straight = [
        *moves[:-1],
        Rapid(Point3(45, 20, CLEAR)),
        Rapid(Point3(45, -20, CLEAR)),
        Rapid(Point3(45, -20, 1.0)),
        Rapid(Point3(65, 0, 1.0)),
        Rapid(Point3(65, 0, CLEAR)),
    ]
    clear = broken(world(straight, part=part))
    assert "rapids_clear" not in clear  # exactly diagonal: both ways are one
    bent = [*straight]
    bent[-2] = Rapid(Point3(85, 60, 1.0))
    bent[-1] = Rapid(Point3(85, 60, CLEAR))
    assert "rapids_clear" in broken(world(bent, part=part))


def test_a_rapid_down_from_an_unknown_height() -> None:
    found = broken(world().edited("G0 G43 H1 Z5.000", "G0 G43 H1 Z-1.000"))
    assert "rapids_clear" in found


@pytest.mark.parametrize(
    "block", ["G28", "G53 G0 X0 Y0", "G53 G0 Z-100", "G91 G28 X0 Y0\nG90", "G30 X0"]
)
def test_machine_coordinates_down_in_the_work(block: str) -> None:
    last = "G0 X45.0000 Y20.0000 Z5.000\n"
    found = broken(world().edited(last, block + "\n" + last))
    assert "rapids_clear" in found


@pytest.mark.parametrize("block", ["G53 G0 Z0", "G91 G28 Z0\nG90", "G53 G0 Z0\nG53 G0 X0 Y0"])
def test_home_by_way_of_z(block: str) -> None:
    assert not broken(world().edited("M9\nM5\nM30", block + "\nM9\nM5\nM30"))


def test_bare_g28_goes_by_way_of_part_zero() -> None:
    text = world().edited("G0 Z5.000\nM9\nM5", "G28 Z-4\nM9\nM5")
    moved = text.edited("G0 X45.0000 Y20.0000 Z5.000\nG28", "G0 X75. Y20. Z5.\nG0 X50.\nG28")
    assert broken(moved)


# entries_safe, E513


def test_a_plunge_into_material() -> None:
    down = [
        Rapid(Point3(52, 20, CLEAR)),
        Rapid(Point3(52, 20, 1.3)),
        Straight(Point3(52, 20, FLOOR), 100.0, Role.PLUNGE),
        Straight(Point3(72, 20, FLOOR), 200.0, Role.CUT),
    ]
    found = broken(world([*down, *rings()[3:]]))
    assert found["entries_safe"].code == "E513"
    assert "straight down" in found["entries_safe"].message


def ramped(angle: float) -> list:
    length = 4.0 / math.tan(math.radians(angle))
    lead = [
        Rapid(Point3(7, 3, CLEAR)),
        Rapid(Point3(7, 3, 0.0)),
    ]
    legs = []
    z, x, side = 0.0, 7.0, 1
    while z > FLOOR + 1e-9:
        step = min(20.0, length * (z - FLOOR) / 4.0)
        z -= 4.0 * step / length
        x += side * step
        side = -side
        legs.append(Straight(Point3(x, 3, round(z, 6)), 100.0, Role.RAMP))
    return [*lead, *legs, Rapid(Point3(x, 3, CLEAR)), *rings()]


@pytest.mark.parametrize(("angle", "safe"), [(2.9, True), (3.3, False)])
def test_a_ramp_within_and_beyond_its_angle(angle: float, safe: bool) -> None:
    found = broken(world(ramped(angle)))
    assert ("entries_safe" not in found) == safe


def test_a_cutter_that_does_not_cut_to_its_centre() -> None:
    job = make_job(tools=(cutter(centre_cutting=False),))
    assert "entries_safe" in broken(world(ramped(2.9), job=job))


# engagement_held, E514


def slotting(feed: float) -> list:
    return [
        Rapid(Point3(-8, 5, CLEAR)),
        Rapid(Point3(-8, 5, 1.3)),
        Straight(Point3(-8, 5, FLOOR), 100.0, Role.PLUNGE),
        Straight(Point3(68, 5, FLOOR), feed, Role.CUT),
        Rapid(Point3(68, 5, CLEAR)),
        *rings(),
    ]


def test_a_slot_at_full_feed() -> None:
    found = broken(world(slotting(400.0)))
    assert found["engagement_held"].code == "E514"
    assert "slot" in found["engagement_held"].message
    assert "200 mm/min" in found["engagement_held"].help
    assert "engagement_held" not in broken(world(slotting(200.0)))


def test_a_promise_not_kept() -> None:
    promised = make_operation(pattern="constant_engagement", engagement_deg=60.0)
    found = broken(world(plan=make_plan(promised)))
    assert "engagement_held" in found
    loose = make_operation(pattern="constant_engagement", engagement_deg=150.0)
    assert "engagement_held" not in broken(world(plan=make_plan(loose)))


# load_held, E515


@pytest.mark.parametrize(
    ("change", "unit"),
    [({"power": 0.05}, "kW"), ({"peak_torque": 0.1}, "N m")],
)
def test_more_than_the_machine_bears(change: dict, unit: str) -> None:
    found = broken(world(job=make_job(machine=replace(MACHINE, **change))))
    assert found["load_held"].code == "E515"
    assert dict(found["load_held"].data)["unit"] == unit
    assert "feed at most" in found["load_held"].help


def test_a_spindle_far_too_slow_for_its_feed() -> None:
    found = broken(world().edited("S5000 M3", "S500 M3"))
    assert dict(found["load_held"].data)["unit"] == "mm"  # the chip is ten times as thick


def test_a_slender_cutter_bends() -> None:
    slim = cutter(stickout=90.0, flute_length=22.0, shank_diameter=6.0, holder=None)
    found = broken(world(job=make_job(tools=(slim,))))
    assert "load_held" in found


# holder_clear, E516


def test_flutes_too_short() -> None:
    found = broken(world(job=make_job(tools=(cutter(flute_length=3.0),))))
    assert found["holder_clear"].code == "E516"
    assert "flutes" in found["holder_clear"].message


def test_a_holder_against_the_boss() -> None:
    stubby = cutter(stickout=3.0, flute_length=3.99, holder=Holder(diameter=30.0, length=50.0))
    found = broken(world(job=make_job(tools=(stubby,))))
    assert "holder" in found["holder_clear"].message


def test_an_obstacle_in_the_way_of_the_cutter() -> None:
    clamp = Blocked(name="clamp", region=rectangle(62, 10, 80, 14), top=3.0, origin=SPAN)
    found = broken(world(part=make_part(obstacles=(clamp,))))
    assert "clamp" in found["holder_clear"].message


# machine_fits, E517


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"max_rpm": 4000.0}, "rpm"),
        ({"min_rpm": 5500.0}, "rpm"),
        ({"max_feed": 300.0}, "feed"),
        ({"travel": (60.0, 200.0, 300.0)}, "travel"),
    ],
)
def test_what_the_machine_cannot_do(change: dict, word: str) -> None:
    found = broken(world(job=make_job(machine=replace(MACHINE, **change))))
    assert found["machine_fits"].code == "E517"
    assert word in found["machine_fits"].message


@pytest.mark.parametrize(
    "change", [{"max_feed": 254.0}, {"travel": (60.0, 200.0, 300.0)}, {"power": 0.001}]
)
def test_an_inch_job_is_told_in_inches(change: dict) -> None:
    found = broken(world(job=make_job(units="inch", machine=replace(MACHINE, **change))))
    said = [f"{each.message} {each.help}" for each in found.values()]
    assert said and not any(re.search(r"\b(mm|kW|m/min)\b", each) for each in said), said
    if "max_feed" in change:  # 254 mm/min are 10 in/min, the inch being 25.4 mm (NIST SP 811)
        assert found["machine_fits"].help == "set the feed to 10 in/min at most"


# nothing_left, E518


def test_a_ring_left_out() -> None:
    moves = rings()
    del moves[8:17]
    found = broken(world(moves))
    assert found["nothing_left"].code == "E518"


def test_a_program_of_nothing_leaves_everything() -> None:
    found = broken(world([*rings()[:2], Rapid(Point3(72, 20, CLEAR))]))
    assert "nothing_left" in found


def test_a_corner_no_cutter_reaches_is_named_not_broken() -> None:
    # two walls meeting square beside the boss: a sharp inside corner of the kept shape
    wall = standing("wall", rectangle(-30, -30, 1, 70))
    other = standing("sill", rectangle(-30, -30, 90, 0.0))
    part = make_part(standing=(standing("boss", circle(CENTRE, 10)), wall, other))
    moves: list = [
        Rapid(Point3(72, 5, CLEAR)),
        Rapid(Point3(72, 5, 1.3)),
        Straight(Point3(72, 5, FLOOR), 100.0, Role.PLUNGE),
        Straight(Point3(6, 5, FLOOR), 200.0, Role.CUT),
        Straight(Point3(6, 48, FLOOR), 200.0, Role.CUT),
    ]
    for k, x in enumerate([8.0, 10.0]):
        moves.append(Straight(Point3(x, 48 if k == 0 else 5, FLOOR), 200.0, Role.CUT))
        moves.append(Straight(Point3(x, 5 if k == 0 else 48, FLOOR), 200.0, Role.CUT))
    moves += [Straight(Point3(10, 52, FLOOR), 200.0, Role.LINK)]
    for y in (48, 45, 42, 39, 36, 35):
        moves.append(Straight(Point3(6 if y % 2 else 66, y, FLOOR), 200.0, Role.CUT))
    ring_start = Point3(CENTRE.x + 15, CENTRE.y, FLOOR)
    moves += [Rapid(Point3(moves[-1].to.x, 35, CLEAR)), Rapid(Point3(72, 20, CLEAR))]
    moves += [Rapid(Point3(72, 20, 1.3)), Straight(Point3(72, 20, FLOOR), 100.0, Role.PLUNGE)]
    for radius in (24, 21, 18, 15):
        right = Point3(CENTRE.x + radius, CENTRE.y, FLOOR)
        stop = 12.0
        if radius <= 15:
            moves.append(Straight(right, 200.0, Role.LINK))
            left = Point3(CENTRE.x - radius, CENTRE.y, FLOOR)
            moves.append(Turn(left, CENTRE, False, 400.0, Role.CUT))
            moves.append(Turn(right, CENTRE, False, 400.0, Role.CUT))
        else:
            moves.append(Straight(Point3(right.x, right.y + stop, FLOOR), 200.0, Role.CUT))
            moves.append(Straight(Point3(right.x, right.y - stop, FLOOR), 200.0, Role.CUT))
    moves.append(Rapid(Point3(ring_start.x, ring_start.y, CLEAR)))
    outcome = world(moves, part=part).judge()
    report = outcome.value
    assert report is not None
    corner = [p for p in report.leftovers if p.x_mm < 3.5 and p.y_mm < 2.5]
    assert len(corner) == 1
    # r^2 (cot(theta / 2) - (pi - theta) / 2) = 5.365 mm2 at r 5, 90 degrees (plane geometry)
    assert corner[0].area_mm2 == pytest.approx(5.365, rel=0.01)
    assert corner[0].reaching_diameter_mm is None  # sharp: no cutter at all
    assert corner[0].depth_mm == pytest.approx(4.0)
    (told,) = uncut(make_job(), world().plan, corner)
    assert (told.code, told.severity) == ("W518", Severity.WARNING)
    assert told.message == "1 place stays uncut that no cutter of the job reaches, 4 mm high"
    assert told.notes[0].endswith("a sharp corner, or too narrow for any cutter")


def test_places_left_at_a_clamp_are_told_as_such() -> None:
    job = make_job()
    left = Leftover(
        x_mm=2.0, y_mm=3.0, area_mm2=12.0, depth_mm=4.0, reaching_diameter_mm=3.0, obstacle="clamp"
    )
    (found,) = uncut(job, world().plan, [left])
    assert "1 place stays uncut where obstacles keep the cutter off, 4 mm high" in found.message
    assert found.notes == ("at X2 Y3: 12 mm², 4 mm high; obstacle `clamp` is in the way",)
    assert uncut_words([found]) == ", with 1 place at obstacles left uncut"
    speck = left.model_copy(
        update={"obstacle": "", "reaching_diameter_mm": None, "area_mm2": SPECK / 2}
    )
    assert uncut(job, world().plan, [speck]) == ()


# program_sane, E519


@pytest.mark.parametrize(
    ("old", "new", "word"),
    [
        ("S5000 M3\n", "S5000\n", "spindle"),
        ("S5000 M3", "S5000 M4", "counter-clockwise"),
        ("S5000 M3", "M3", "spindle"),
        ("G0 G43 H1 Z5.000", "G0 Z5.000", "length offset"),
        ("G0 G43 H1 Z5.000", "G0 G43 H2 Z5.000", "length offset"),
        ("T1 M6\n", "T3 M6\n", "no tool of the job"),
        # beyond the table: errors 155 and 164 of NISTIR 6556; 166, of D, is refused on reading
        ("T1 M6\n", "T999 M6\n", "no tool of the job"),
        ("G0 G43 H1 Z5.000", "G0 G43 H999 Z5.000", "length offset"),
        ("T1 M6\n", "T1\n", "before any tool"),
        ("T1 M6\nG17 G21 G40 G49 G80 G90 G94", "T1 M6\nG17 G21 G40 G49 G80 G90", "per minute"),
        ("T1 M6\nG17 G21 G40", "T1 M6\nG17 G40", "units"),
        ("M6\nG17 G21 G40 G49 G80 G90 G94\nG54", "M6\nG17 G21 G40 G49 G80 G90 G94\nG55", "G55"),
        ("M5\nM30", "M30", "spindle"),
        ("M9\nM5\nM30", "M5\nM30", "coolant"),
        ("G0 Z5.000\nM9\nM5", "G0 Z-2.000\nM9\nM5", "above the work"),
        ("G0 X72.0000 Y20.0000 Z5.000\n", "M0\nG1 Z-1. F100\nM0\n", "stops"),
    ],
)
def test_a_program_that_is_not_sane(old: str, new: str, word: str) -> None:
    found = broken(world().edited(old, new))
    assert found["program_sane"].code == "E519"
    outcome = world().edited(old, new).judge().value
    assert outcome is not None
    whole = next(e for e in outcome.obligations if e.name == "program_sane")
    assert word in whole.what or "more of the kind" in whole.what
    assert whole.measured is not None and whole.measured >= 1 and whole.allowed == 0
    assert whole.margin == -whole.measured


def test_a_swapped_tool() -> None:
    job = make_job(tools=(cutter(1), cutter(2, 12.0)))
    text = world(job=job)
    assert not broken(text)
    swapped = text.edited("T1 M6", "T2 M6").edited("G43 H1", "G43 H2")
    found = broken(swapped)
    assert "regions_stand" in found  # a millimetre wider on the radius


# text_true, E520


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("G2 X45.0000 Y20.0000", "G2 X45.0008 Y20.0000"),
        ("G1 X69.0000 Y20.0000 Z-4.000 F200.0", "G1 X69.0000 Y20.0000 Z-4.000 F210.0"),
        ("G0 X72.0000 Y20.0000 Z1.300\n", ""),
        ("G0 Z5.000\nM9", "G0 Z5.000\nG0 X-50 Z10\nG1 X-60 F100\nM9"),
        ("G2 X-12.0000", "G3 X-12.0000"),
        ("S5000 M3", "S4900 M3"),
        ("M9\nG0 G43", "M8\nG0 G43"),
    ],
)
def test_a_text_that_says_something_else(old: str, new: str) -> None:
    found = broken(world().edited(old, new))
    assert found["text_true"].code == "E520"


def test_a_planned_stop_that_is_not_there() -> None:
    good = world()
    (path,) = good.motions.paths
    planned = replace(good, motions=Motions((replace(path, stop_before=True),)))
    assert "text_true" in broken(planned)
    assert not broken(planned.edited("T1 M6", "M0\nT1 M6"))


# refused text, E501


def test_a_text_that_is_refused_has_no_evidence() -> None:
    outcome = world().edited("S5000 M3", "S5000 M3 Q1").judge()
    assert outcome.failed and outcome.value is not None
    assert not any(entry.held for entry in outcome.value.obligations)
    (found,) = outcome.findings
    assert found.code == "E501"
    assert "line 7" in found.message


def test_places_say_line_operation_and_spec() -> None:
    entry = world().edited(LAST_RING, LAST_RING.replace("Z-4.000", "Z-4.100")).entry("floor_kept")
    assert entry.worst is not None
    assert entry.worst.operation == "clear"
    assert (entry.worst.spec_file, entry.worst.spec_line) == ("specs/boss.yaml", 7)
    assert entry.worst.program_line is not None
    assert Point(entry.worst.x_mm or 0, entry.worst.y_mm or 0) is not None


def test_all_feeds_that_are_others_are_counted() -> None:
    edited = world().edited("F400.0", "F390.0", count=3)
    (found,) = [f for f in edited.judge().findings if f.code == "E520"]
    fed = [k for k, line in enumerate(edited.text.split("\n"), 1) if "F390.0" in line]
    first, *others = fed
    assert found.message.startswith(f"line {first} is fed at 390.0 mm/min")
    assert f"and {len(others)} more fed otherwise, lines {others[0]} to {others[-1]}" in (
        found.message
    )


def test_what_is_held_has_no_negative_margin() -> None:
    # 0.002 mm below the floor is inside the 0.0025 mm that rounding is granted
    report = world().edited("Z-4.000", "Z-4.002", count=99).judge().value
    assert report is not None
    floor = next(entry for entry in report.obligations if entry.name == "floor_kept")
    assert floor.held and floor.margin == pytest.approx(0.0005, abs=1e-4)
    assert all(
        entry.margin is None or entry.margin >= 0 for entry in report.obligations if entry.held
    )
    low = world().edited("Z-4.000", "Z-4.003", count=99).judge().value
    assert low is not None
    broken_floor = next(entry for entry in low.obligations if entry.name == "floor_kept")
    assert not broken_floor.held and broken_floor.margin is not None and broken_floor.margin < 0
