"""Strokes as moves: arcs, helices, ramps, and the times that links are weighed by."""

from __future__ import annotations

import math

import pytest

from compiler.geometry import Arc, Line, Point
from compiler.knowledge.ramp import helix_length, ramp_length
from compiler.motion import Point3, Role, Straight, Turn
from compiler.paths.pen import Feeds, Pen
from compiler.paths.stroke import Piece
from compiler.paths.timing import seconds, up_over_down

FEEDS = Feeds(cut=1000, link=3000, entry=200, plunge=400)


def pen_at(x: float, y: float, z: float) -> Pen:
    pen = Pen()
    pen.over(Point(x, y), 5.0)
    pen.down(1.0, z, 200)
    return pen


def arc(radius: float, sweep: float) -> Arc:
    end = Point(radius * math.sin(sweep), radius * (1 - math.cos(sweep)))
    return Arc(Point(0, 0), end, Point(0, radius), True)


def test_an_arc_stays_an_arc_with_its_centre() -> None:
    pen = pen_at(0, 0, -1)
    pen.follow(Piece(arc(10, 1.0)), FEEDS)
    assert isinstance(pen.moves[-1], Turn) and pen.moves[-1].centre == Point(0, 10)


def test_an_arc_with_its_centre_beyond_any_machine_becomes_lines_within_a_micrometre() -> None:
    """Height of an arc over its chord: r (1 - cos(sweep / 2)). Plane geometry."""
    pen, flat = pen_at(0, 0, -1), arc(20000, 0.001)
    before = len(pen.moves)
    pen.follow(Piece(flat), FEEDS)
    lines = pen.moves[before:]
    assert all(isinstance(move, Straight) for move in lines)
    assert flat.radius * (1 - math.cos(flat.sweep / len(lines) / 2)) <= 0.001
    assert lines[-1].to.xy == flat.end


def test_a_helix_is_no_steeper_than_asked_and_ends_where_it_begins() -> None:
    """Length = depth / sin(angle) at least; 5 mm at 3 degrees 95.536613 mm (plane geometry)."""
    assert helix_length(5.0, math.radians(3)) == pytest.approx(95.536613, abs=1e-5)
    centre = Point(0, 0)
    east, west = Point(2.5, 0), Point(-2.5, 0)
    turns = [Arc(east, west, centre, True), Arc(west, east, centre, True)]
    pen = pen_at(2.5, 0, 0)
    before = len(pen.moves)
    pen.helix(turns, -5.0, math.radians(3), 200)
    down = pen.moves[before:]
    assert all(isinstance(move, Turn) and move.role is Role.RAMP for move in down)
    assert down[-1].to.xy == east and down[-1].to.z == -5.0
    length = len(down) * math.pi * 2.5
    assert length >= ramp_length(5.0, math.radians(3)) - 1e-9
    assert math.hypot(length, 5) < 95.536613 + 2 * math.pi * 2.5


def test_a_ramp_goes_to_and_fro_no_steeper_than_asked() -> None:
    """5 mm at 3 degrees takes 95.405684 mm: depth / tan(angle) (plane geometry)."""
    line = Line(Point(0, 0), Point(10, 0))
    pen = pen_at(0, 0, 0)
    before = len(pen.moves)
    pen.ramp(line, -5.0, math.radians(3), 200)
    down = pen.moves[before:]
    assert len(down) * 10 >= 95.405684 and len(down) % 2 == 0
    assert down[-1].to.xy == line.start and down[-1].to.z == -5.0


def test_the_last_of_the_way_down_in_air_is_slow() -> None:
    pen = Pen()
    pen.over(Point(0, 0), 5.0)
    pen.settle(1.0, -6.0, 1.0, 1000, 200)
    assert [(m.to.z, m.feed) for m in pen.moves if isinstance(m, Straight)] == [
        (-5.0, 1000),
        (-6.0, 200),
    ]


def test_times_are_trapezoids() -> None:
    """v = 100 mm/s, a = 500 mm/s2: 20 mm are spent speeding up and slowing down (kinematics)."""
    assert seconds(20, 6000, 500) == pytest.approx(0.4)
    assert seconds(120, 6000, 500) == pytest.approx(1.4)
    assert seconds(5, 6000, 500) == pytest.approx(0.2)
    assert seconds(0, 6000, 500) == 0


def test_a_lift_costs_its_four_moves() -> None:
    from planning_bench import MACHINE

    lift = up_over_down(MACHINE, 50, 15, 3, ((11, 1000), (1, 200)))
    parts = [seconds(15, 8000, 500), seconds(50, 8000, 500), seconds(3, 8000, 500)]
    assert lift == pytest.approx(sum(parts) + seconds(11, 1000, 500) + seconds(1, 200, 500))


def test_what_only_goes_on_is_one_block() -> None:
    """Three stretches of one line, the middle one crossed in air; two parts of one arc."""
    pen = pen_at(0, 0, -1)
    before = len(pen.moves)
    for x, role in ((10, Role.CUT), (12, Role.LINK), (30, Role.CUT)):
        pen.follow(Piece(Line(Point(pen.at_depth(-1).x, 0), Point(x, 0)), role), FEEDS)
    (one,) = pen.moves[before:]
    assert one == Straight(Point3(30, 0, -1), 1000, Role.CUT)
    whole = Arc(Point(30, 0), Point(40, 10), Point(30, 10), True)
    for part in (whole.part(0, 0.3), whole.part(0.3, 1)):
        pen.follow(Piece(part), FEEDS)
    assert pen.moves[before + 1 :] == [Turn(Point3(40, 10, -1), whole.centre, True, 1000, Role.CUT)]


@pytest.mark.parametrize(
    ("to", "factor", "role"),
    [
        ((20.0, 0.001), 1.0, Role.CUT),  # a bend, however slight
        ((20.0, 0.0), 0.5, Role.CUT),  # another feed
        ((5.0, 0.0), 1.0, Role.CUT),  # back the way it came
        ((20.0, 0.0), 1.0, Role.LEAD),  # told apart in pictures
    ],
)
def test_what_differs_stays_two_blocks(to: tuple[float, float], factor: float, role: Role) -> None:
    pen = pen_at(0, 0, -1)
    before = len(pen.moves)
    pen.follow(Piece(Line(Point(0, 0), Point(10, 0))), FEEDS)
    pen.follow(Piece(Line(Point(10, 0), Point(*to)), role, factor), FEEDS)
    assert len(pen.moves) == before + 2
