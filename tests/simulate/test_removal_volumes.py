"""What is removed against closed forms of plane geometry (derived; worked out by hand)."""

from __future__ import annotations

import math

import numpy as np
import pytest
from stock import block, cut, cutter, disc, line, rapid, ring, turn

from compiler.geometry import Region
from compiler.simulate.raster import AIR, Grid, choose_pitch, inside


def test_straight_slot() -> None:
    # D L + pi r^2 over the depth: 1735.619449 mm3 for D 10, L 50, depth 3
    found = cut([line((25, 50, -3), (75, 50, -3))], pitch=0.05)
    assert found.removed == pytest.approx(1735.619449, rel=3e-4)


def test_oblique_slot() -> None:
    a, b = (20.0, 20.0, -3.0), (20 + 50 * math.cos(0.7), 20 + 50 * math.sin(0.7), -3.0)
    assert cut([line(a, b)], pitch=0.05).removed == pytest.approx(1735.619449, rel=3e-4)


def test_closed_square_path() -> None:
    # 8 a r - (4 - pi) r^2 = 1578.539816 mm2 for a 40, r 5
    corners = [(30.0, 30.0, -1.0), (70.0, 30.0, -1.0), (70.0, 70.0, -1.0), (30.0, 70.0, -1.0)]
    moves = [line(corners[k], corners[(k + 1) % 4]) for k in range(4)]
    assert cut(moves, pitch=0.05).removed == pytest.approx(1578.539816, rel=3e-4)


def test_circular_path() -> None:
    # 4 pi rho r = 1256.637061 mm2 for rho 20, r 5
    assert cut([ring(50, 50, 20, -1)], pitch=0.05).removed == pytest.approx(1256.637061, rel=3e-4)


@pytest.mark.parametrize("ccw", [True, False])
def test_quarter_arc(ccw: bool) -> None:
    # quarter of the ring, and a disc's two halves at its ends
    expected = 1256.637061 / 4 + math.pi * 25
    move = turn((70, 50, -1), (50, 70 if ccw else 30, -1), (50, 50), ccw=ccw)
    assert cut([move], pitch=0.05).removed == pytest.approx(expected, rel=3e-4)


def pocket(x0: float, y0: float, x1: float, y1: float, z: float) -> list:
    """Rows 4 mm apart over the centres' rectangle, then once round it."""
    moves, y, side = [], y0, 1
    while y <= y1:
        ends = ((x0, y, z), (x1, y, z))
        moves.append(line(*ends[::side]))
        y, side = y + 4, -side
    corners = [(x0, y0, z), (x1, y0, z), (x1, y1, z), (x0, y1, z)]
    return moves + [line(corners[k], corners[(k + 1) % 4]) for k in range(4)]


def test_rectangular_pocket() -> None:
    # w h - (4 - pi) r^2 = 2378.539816 mm2 for 60 x 40, r 5
    found = cut(pocket(25, 35, 75, 65, -2.0), pitch=0.05)
    assert found.removed / 2 == pytest.approx(2378.539816, rel=3e-4)


def test_pocket_round_a_boss() -> None:
    # w h - (4 - pi) r^2 - pi Rb^2 = 5664.380551 mm2 for 100 x 60 round a boss of 20, r 5
    moves = [ring(60, 50, 15 + 2.5 * k, -1) for k in range(5)]
    for x0, y0, x1, y1 in (
        (15, 25, 41, 75),
        (79, 25, 105, 75),
        (15, 25, 105, 31),
        (15, 69, 105, 75),
    ):
        moves += pocket(x0, y0, x1, y1, -1)
    corners = [(41, 31), (41, 69), (79, 31), (79, 69)]
    # the corners between ring and rows: far from the boss, any move will do
    moves += [
        line((x, y, -1), (60 + 0.78 * (x - 60), 50 + 0.78 * (y - 50), -1)) for x, y in corners
    ]
    found = cut(moves, stock=block(0, 0, 120, 100), pitch=0.1)
    assert found.removed == pytest.approx(5664.380551, rel=1e-3)


def test_heights_are_exact_in_z_at_any_pitch() -> None:
    for pitch in (0.05, 0.3, 1.0):
        found = cut([line((25, 50, -2.345678), (75, 50, -2.345678))], pitch=pitch)
        heights = np.unique(found.heights[found.heights > AIR / 2])
        assert heights == pytest.approx([-2.345678, 0.0], abs=1e-6)


@pytest.mark.parametrize(
    ("tool", "area"),
    [
        # cross sections of a slot 4 deep, D 10
        (cutter(kind="ball_mill"), 25 * math.acos(0.2) - 1 * math.sqrt(24)),
        (cutter(kind="bull_mill", corner_radius=2.0), 40 - (4 - math.pi) / 2 * 4),
        (cutter(kind="chamfer_mill", tip_angle=math.pi / 2, tip_diameter=2.0), 4 * (2 + 10) / 2),
    ],
    ids=["ball", "corner", "cone"],
)
def test_profiles_cut_their_cross_section(tool, area: float) -> None:
    # plane geometry: circle segment, square less the corners' spandrels, trapezium
    found = cut([line((-20, 50, -4), (120, 50, -4))], tool, pitch=0.05)
    assert found.removed / 100 == pytest.approx(area, rel=2e-3)


@pytest.mark.parametrize("down", [True, False])
def test_ramp_is_exact(down: bool) -> None:
    # Each cell ends at the height of the last (lowest) moment that the end covers it. Over a chord
    # 2c of the rim that is slope L^2 / 2 + slope L 2c; over the rim D h L / 2 + h pi r^2 (derived).
    a, b = (20.0, 50.0, 0.0), (80.0, 50.0, -3.0)
    found = cut([line(a, b) if down else line(b, a)], pitch=0.05)
    assert found.removed == pytest.approx(10 * 60 * 3 / 2 + 3 * math.pi * 25, rel=3e-4)


def test_helix_to_the_bottom_and_a_level_turn_leave_a_bore() -> None:
    # bore of 2 rho + D (derived): pi (rho + r)^2 when rho <= r
    motions = []
    z = 0.0
    for _ in range(4):
        motions.append(turn((53, 50, z), (53, 50, z - 0.5), (50, 50), ccw=True))
        z -= 0.5
    motions.append(ring(50, 50, 3, z))
    found = cut(motions, pitch=0.05)
    assert found.removed == pytest.approx(math.pi * 64 * 2, rel=5e-4)
    assert found.heights[1000, 1000] == pytest.approx(-2.0)


def test_what_goes_through_leaves_air_and_no_more_volume_than_there_was() -> None:
    found = cut([line((-20, 50, -30), (120, 50, -30))], bottom=-20, pitch=0.1)
    assert found.removed == pytest.approx(10 * 100 * 20, rel=1e-3)
    assert (found.heights[500] == AIR).all()


def test_contact_is_seen_before_removal_and_only_well_inside_the_rim() -> None:
    slot = line((-20, 50, -3), (120, 50, -3))
    found = cut([slot, rapid((50, 80, 5), (50, 80, -1)), rapid((50, 50, 5), (50, 50, -3))])
    assert found.facts.touched.tolist() == [True, True, False]
    assert found.facts.depth[1] == pytest.approx(1.0)
    assert math.hypot(found.facts.touch_x[1] - 50, found.facts.touch_y[1] - 80) <= 5
    assert found.facts.removed[1] == 0.0  # a rapid is reported, it takes nothing


def test_holder_and_shank_against_the_stock_as_it_is() -> None:
    thick = cutter(shank_diameter=16.0, flute_length=4.0)
    down = [line((-20, 50, -3), (120, 50, -3)), line((-20, 50, -6), (120, 50, -6))]
    contacts = cut(down, thick).band_contacts
    assert list(contacts) == [1]
    assert contacts[1][0] == "shank"
    assert contacts[1][1] == pytest.approx(2.0)
    wider = [line((-20, y, -3), (120, y, -3)) for y in (42, 46, 50, 54, 58)]
    assert cut([*wider, down[1]], thick).band_contacts == {}


def test_region_with_a_hole_on_the_raster() -> None:
    region = Region((*block(0, 0, 40, 30).outlines, disc(20, 15, 10, hole=True)))
    grid = Grid.over(region.bounds, 0.1)
    area = inside(region, grid).sum() * 0.01
    assert area == pytest.approx(1200 - math.pi * 100, rel=3e-4)


def test_pitch_follows_the_cutter_and_bounds_the_cells() -> None:
    assert choose_pitch((0, 0, 60, 40), 6.0) == pytest.approx(0.25)
    assert choose_pitch((0, 0, 60, 40), 0.5) == 0.05
    low = choose_pitch((0, 0, 1000, 1000), 0.5)
    assert (1000 / low) ** 2 <= 2.51e6
