"""Joining, nesting and picking: gaps, repeats, junctions, crossings, strays."""

from __future__ import annotations

import math
import random
import time

import pytest
from dxf_maker import VOICE, codes, drawn, dxf, errors
from hypothesis import assume, given
from hypothesis import strategies as st

from compiler.diagnostics import Severity
from compiler.drawing.inner import GRIDS, inner_point
from compiler.drawing.join import join
from compiler.drawing.model import CURVE_TOLERANCE
from compiler.drawing.read import read_drawing
from compiler.drawing.select import Asked, closed_region, open_chain
from compiler.geometry import Arc, Line, Point
from compiler.geometry.distance import point_distance
from compiler.geometry.inside import InsideTest

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]


def lines(m, corners, closed=True, **attribs) -> None:
    ends = list(zip(corners, corners[1:] + corners[:1], strict=True))
    for a, b in ends if closed else ends[:-1]:
        m.add_line(a, b, dxfattribs=attribs)


def picked(draw, **asked):
    return closed_region(drawn(draw), Asked(**asked), VOICE)


def region(draw, **asked):
    outcome = picked(draw, **asked)
    assert outcome.value is not None, outcome.findings
    return outcome.value


@given(st.permutations(range(8)), st.lists(st.booleans(), min_size=8, max_size=8))
def test_order_and_direction_do_not_matter(order, backwards) -> None:
    corners = [(0, 0), (9, 0), (9, 4), (6, 4), (6, 7), (3, 7), (3, 4), (0, 4)]
    sides = list(zip(corners, corners[1:] + corners[:1], strict=True))

    def draw(m) -> None:
        for i in order:
            a, b = sides[i] if not backwards[i] else sides[i][::-1]
            m.add_line(a, b)

    one = region(draw)
    assert one.area == pytest.approx(9 * 4 + 3 * 3)
    assert one == region(lambda m: lines(m, corners))


@given(st.floats(0.002, 0.12))
def test_a_corner_with_a_gap_comes_back_exactly(gap: float) -> None:
    def draw(m) -> None:
        m.add_line((0, 0), (10 - gap / 2, 0))
        m.add_line((10, gap / 2), (10, 10))
        m.add_line((10, 10), (0, 10))
        m.add_line((0, 10), (0, 0))

    outcome = picked(draw)
    assert outcome.value is not None and codes(outcome) == ["W703"]
    assert outcome.value.area == pytest.approx(100, abs=1e-9)
    told = dict(outcome.findings[0].data)["largest_gap_mm"]
    assert told == pytest.approx(gap / math.sqrt(2))


def test_a_tangent_arc_with_gaps_comes_back_exactly() -> None:
    def draw(m) -> None:
        m.add_line((0.03, 0), (7.95, 0))
        m.add_arc((8, 2), 2, -89, 89)
        m.add_line((7.95, 4), (0, 4))
        m.add_line((0, 4), (0, 0.04))

    stadium = region(draw)
    assert stadium.area == pytest.approx(8 * 4 + math.pi * 2, abs=1e-6)
    arcs = [s for s in stadium.segments() if isinstance(s, Arc)]
    assert all(a.radius == pytest.approx(2, abs=1e-6) for a in arcs)


def test_a_gap_wider_than_allowed_is_open_and_says_what_would_close_it() -> None:
    def draw(m) -> None:
        lines(m, [(0, 0), (10, 0), (10, 10), (0, 10), (0, 0.5)], closed=False)

    outcome = picked(draw)
    assert errors(outcome) == ["E706"]
    assert "0.5 mm apart" in outcome.findings[0].help
    assert region(draw, join_gap=0.6).area == pytest.approx(100)


def test_the_nearest_ends_are_joined_first() -> None:
    def draw(m) -> None:
        lines(m, [(0, 0), (10, 0), (10, 10), (0, 10), (0, 0.02)], closed=False)
        m.add_line((0.1, 0.05), (5, 5))  # near the corner, but not as near

    outcome = picked(draw)
    assert "E706" in errors(outcome)
    assert region(draw, on_unclosed="ignore").area == pytest.approx(100)


def test_line_work_drawn_twice_counts_once() -> None:
    def draw(m) -> None:
        lines(m, SQUARE)
        lines(m, list(reversed(SQUARE)))
        m.add_line((2, 0), (5, 0))  # on the lower side
        m.add_circle((5, 5), 2)
        m.add_arc((5, 5), 2, 30, 200)

    outcome = picked(draw)
    assert outcome.value is not None
    assert outcome.value.area == pytest.approx(100 - 4 * math.pi)
    assert codes(outcome) == ["W704"]
    assert all(f.severity is Severity.NOTE for f in outcome.findings)


def test_two_halves_that_share_a_side_are_picked_by_a_point() -> None:
    def draw(m) -> None:
        lines(m, SQUARE)
        m.add_line((4, 0), (4, 10))

    # the divider ends on the sides, not in corners: it is open
    assert errors(picked(draw)) == ["E706"]

    def halves(m) -> None:
        lines(m, [(0, 0), (4, 0), (4, 10), (0, 10)])
        lines(m, [(4, 0), (10, 0), (10, 10), (4, 10)])

    outcome = picked(halves)
    assert errors(outcome) == ["E707", "E707"]
    assert "containing" in outcome.findings[-1].help
    assert region(halves, containing=Point(1, 1)).area == pytest.approx(40)
    assert region(halves, containing=Point(9, 1)).area == pytest.approx(60)


def test_the_way_out_of_many_junctions_is_worked_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """One point in the largest face serves all that is told: in a crowded drawing of 7 KB finding
    it anew for each took longer than all else.
    """
    from compiler.drawing import select

    asked: list[int] = []

    def counted(segments):
        asked.append(len(segments))
        return inner_point(segments)

    def panes(m) -> None:
        for x in range(0, 12, 2):
            lines(m, [(x, 0), (x + 2, 0), (x + 2, 5), (x, 5)])

    monkeypatch.setattr(select, "inner_point", counted)
    outcome = picked(panes)
    assert errors(outcome) == ["E707"] * select.MOST_TOLD
    assert asked == [4]


@given(st.integers(3, 9), st.floats(0.2, 1), st.floats(0, 6))
def test_the_named_point_has_the_most_room_of_all_that_were_tried(
    count: int, wave: float, turn: float
) -> None:
    """Held against trying every point of the coarse grid on every side, in the plainest way."""
    angles = [turn + math.tau * i / (2 * count) for i in range(2 * count)]
    places = [Point(20 * math.cos(a), 20 * math.sin(a)) for a in angles]
    places = [p if i % 2 else p.times(wave) for i, p in enumerate(places)]
    star = [Line(a, b) for a, b in zip(places, [*places[1:], places[0]], strict=True)]

    def room(p: Point) -> float:
        return min(point_distance(p, s) for s in star)

    xs, ys = zip(*places, strict=True)
    steps = [i / GRIDS[0] for i in range(1, GRIDS[0])]
    wide, high = max(xs) - min(xs), max(ys) - min(ys)
    grid = [Point(min(xs) + wide * s, min(ys) + high * t) for s in steps for t in steps]
    inside = [p for p in grid if InsideTest(star).contains(p)]
    assume(inside)
    assert room(inner_point(star)) == max(map(room, inside))


def test_loops_that_touch_at_a_corner() -> None:
    def draw(m) -> None:
        lines(m, SQUARE)
        lines(m, [(10, 10), (14, 10), (14, 14), (10, 14)])

    assert errors(picked(draw)) == ["E707"]
    assert region(draw, containing=Point(12, 12)).area == pytest.approx(16)
    assert region(draw, containing=Point(5, 5)).area == pytest.approx(100)


def test_loops_that_cross_are_refused_with_the_place_and_the_layer() -> None:
    def draw(m) -> None:
        lines(m, SQUARE, layer="PLATE")
        m.add_circle((10, 5), 2, dxfattribs={"layer": "PLATE"})

    outcome = picked(draw)
    assert errors(outcome) == ["E708"]
    assert "`PLATE`" in outcome.findings[0].message
    assert "[10, 3]" in outcome.findings[0].message or "[10, 7]" in outcome.findings[0].message
    assert errors(picked(draw, containing=Point(1, 1))) == ["E708"]


def test_a_loop_that_crosses_itself_is_refused() -> None:
    assert errors(picked(lambda m: lines(m, [(0, 0), (10, 10), (10, 0), (0, 12)]))) == ["E708"]


def test_nesting_gives_holes_and_islands_in_them() -> None:
    def draw(m) -> None:
        for r in (10, 8, 6, 3):
            m.add_circle((0, 0), r)
        m.add_circle((30, 0), 1)

    assert region(draw).area == pytest.approx(math.pi * (100 - 64 + 36 - 9 + 1))
    ring = region(draw, containing=Point(9, 0))
    assert ring.area == pytest.approx(math.pi * 36)
    assert region(draw, containing=Point(0, 0)).area == pytest.approx(math.pi * 9)


def test_no_loop_round_the_point_names_one_that_has() -> None:
    outcome = picked(lambda m: m.add_circle((20, 0), 5), containing=Point(0, 0))
    assert errors(outcome) == ["E711"]
    assert "[20, 0]" in outcome.findings[0].help


def test_layers_by_name_and_pattern() -> None:
    def draw(m) -> None:
        m.add_circle((0, 0), 5, dxfattribs={"layer": "Boss-1"})
        m.add_circle((20, 0), 2, dxfattribs={"layer": "BOSS-2"})
        m.add_circle((40, 0), 1, dxfattribs={"layer": "Holes [M3]"})

    assert region(draw, layers=("boss-*",)).area == pytest.approx(29 * math.pi)
    assert region(draw, layers=("boss-?", "Holes [M3]")).area == pytest.approx(30 * math.pi)
    missing = picked(draw, layers=("Bos-1",))
    assert errors(missing) == ["E704"] and "did you mean `Boss-1`?" in missing.findings[0].help


def test_an_empty_layer_has_nothing_closed() -> None:
    assert errors(picked(lambda m: m.add_text("no lines"))) == ["E705"]


def test_strays_are_warnings_where_they_are_to_be_ignored() -> None:
    def draw(m) -> None:
        lines(m, SQUARE)
        m.add_line((20, 0), (30, 0))

    assert errors(picked(draw)) == ["E706"]
    ignored = picked(draw, on_unclosed="ignore")
    assert ignored.value is not None and codes(ignored) == ["W706"]
    elsewhere = picked(draw, containing=Point(5, 5))
    assert elsewhere.value is not None and codes(elsewhere) == ["W706"]


def test_an_open_chain_is_walked_from_its_leftmost_end() -> None:
    def draw(m) -> None:
        m.add_line((10, 8), (10, 4))
        m.add_arc((8, 4), 2, 270, 0)
        m.add_line((8, 2), (0, 2))

    outcome = open_chain(drawn(draw), Asked(), VOICE)
    assert outcome.value is not None
    assert outcome.value.start == pytest.approx((0, 2))
    assert outcome.value.end == pytest.approx((10, 8))
    assert len(outcome.value.segments) == 3


def test_one_open_chain_of_several_must_be_picked() -> None:
    def draw(m) -> None:
        m.add_line((0, 0), (10, 0))
        m.add_line((0, 5), (10, 6))

    part = drawn(draw)
    assert errors(open_chain(part, Asked(), VOICE)) == ["E712"]
    near = open_chain(part, Asked(containing=Point(5, 4)), VOICE)
    assert near.value is not None and near.value.start.y == pytest.approx(5)
    closed = drawn(lambda m: m.add_circle((0, 0), 1))
    assert errors(open_chain(closed, Asked(), VOICE)) == ["E712"]


def test_short_chords_become_arcs_where_asked() -> None:
    chords = 72
    hole = [
        (5 + 2 * math.cos(i * math.tau / chords), 5 + 2 * math.sin(i * math.tau / chords))
        for i in range(chords)
    ]

    def draw(m) -> None:
        lines(m, SQUARE)
        lines(m, hole)
        lines(
            m, [(5 + math.cos(i * math.tau / 6), 5 + math.sin(i * math.tau / 6)) for i in range(6)]
        )

    as_drawn = region(draw)
    assert sum(1 for _ in as_drawn.segments()) == 4 + chords + 6
    found = region(draw, arcs_within=0.003)
    arcs = [s for s in found.segments() if isinstance(s, Arc)]
    assert len(arcs) == 2 and all(a.radius == pytest.approx(2) for a in arcs)
    # the sagitta of a chord, r (1 - cos(pi / n)), is 1.9 micrometres: within 1 there is no arc
    assert 2 * (1 - math.cos(math.pi / chords)) > 0.0015
    assert all(not isinstance(s, Arc) for s in region(draw, arcs_within=0.001).segments())


def test_a_rounded_corner_of_chords_becomes_an_arc_between_lines() -> None:
    corner = [
        (8 + 2 * math.cos(a), 8 + 2 * math.sin(a)) for a in (i * math.pi / 48 for i in range(25))
    ]

    found = region(lambda m: lines(m, [(0, 0), (10, 0), *corner, (0, 10)]), arcs_within=0.002)
    assert len(list(found.segments())) == 5
    assert found.area == pytest.approx(100 - (1 - math.pi / 4) * 4, abs=1e-6)


def test_ten_thousand_entities_in_any_order_are_quick() -> None:
    """Read, joined and nested in under 2 seconds on a quiet machine: twenty times what a plain loop
    takes there. Both are time of the processor, and slow down alike where other work goes on.
    """
    chosen = random.Random(5)
    sides = []
    for i in range(50):
        for k in range(50):
            x, y = 10 * i, 10 * k
            corners = [(x, y), (x + 8, y), (x + 8, y + 8), (x, y + 8)]
            sides += list(zip(corners, corners[1:] + corners[:1], strict=True))
    chosen.shuffle(sides)

    def draw(m) -> None:
        for a, b in sides:
            m.add_line(a, b)

    data = dxf(draw)
    begun = time.process_time()
    part = read_drawing(data, VOICE)
    assert part.value is not None
    outcome = closed_region(part.value, Asked(), VOICE)
    spent = time.process_time() - begun
    assert outcome.value is not None and outcome.value.area == pytest.approx(2500 * 64)
    begun = time.process_time()
    sum(i * i for i in range(2_000_000))
    loop = time.process_time() - begun
    assert spent < 20 * loop, f"{spent} s, the loop {loop} s"


def test_thousands_of_lines_one_above_the_other_are_quick() -> None:
    part = drawn(lambda m: [m.add_line((0, i), (500, i)) for i in range(5000)] and None)
    begun = time.process_time()
    assert len(join(part.drawn).runs) == 5000
    assert time.process_time() - begun < 2.0


def test_a_drawing_on_top_of_itself_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    from compiler.drawing import crowd

    monkeypatch.setattr(crowd, "MOST_PAIRS", 1000)

    def draw(m) -> None:
        for i in range(100):
            m.add_circle((0, 0), 5 + i * 0.01)

    assert errors(picked(draw)) == ["E702"]
    assert errors(picked(draw, containing=Point(0, 0))) == ["E702"]


def test_a_ring_of_thousands_of_pieces_is_one_loop() -> None:
    count = 6000
    corners = [
        (100 * math.cos(i * math.tau / count), 100 * math.sin(i * math.tau / count))
        for i in range(count)
    ]
    part = drawn(lambda m: lines(m, corners))
    (loop,) = join(part.drawn).loops
    assert loop.count == count
    assert loop.outline.area == pytest.approx(count / 2 * 1e4 * math.sin(math.tau / count))


@pytest.mark.parametrize("off", [0.0, 12_345.678, -600_000.0])
def test_a_drawing_far_from_zero_is_the_one_at_zero(off: float) -> None:
    def draw(m) -> None:
        m.add_line((off + 0.03, off), (off + 7.95, off))
        m.add_arc((off + 8, off + 2), 2, -89, 89)
        m.add_line((off + 7.95, off + 4), (off, off + 4))
        m.add_line((off, off + 4), (off, off + 0.04))
        m.add_circle((off + 4, off + 2), 1)
        m.add_circle((off + 4, off + 2), 1)

    outcome = picked(draw)
    assert outcome.value is not None and codes(outcome) == ["W703", "W704"]
    assert outcome.value.area == pytest.approx(8 * 4 + math.pi * 2 - math.pi, abs=1e-5)


@pytest.mark.parametrize("bulge", [1e-6, -1e-7, 1e-8, 1e-10])
def test_a_side_of_a_radius_of_many_kilometres_is_straight(bulge: float) -> None:
    """Bulge 1e-6 on 100 mm: a radius of 25 km, a rise of 0.05 micrometres."""

    def draw(m) -> None:
        m.add_lwpolyline(
            [(0, 0, bulge), (100, 0, 0), (100, 50, 0), (0, 50, 0)], format="xyb", close=True
        )

    found = region(draw)
    assert found.area == pytest.approx(5000, abs=1e-2)
    assert not any(isinstance(s, Arc) for s in found.segments())


def test_an_arc_of_ten_kilometres_keeps_to_its_tolerance() -> None:
    radius, wide = 1e7, 2000.0
    half = math.degrees(math.asin(wide / 2 / radius))
    part = drawn(lambda m: m.add_arc((0, -radius), radius, 90 - half, 90 + half))
    assert len(part.drawn) > 1 and all(d.smooth for d in part.drawn)
    for piece in part.drawn:
        for t in (0.0, 0.25, 0.5, 1.0):
            place = piece.segment.at(t)
            assert abs(math.hypot(place.x, place.y + radius) - radius) <= CURVE_TOLERANCE
    whole = drawn(lambda m: m.add_circle((0, -radius), radius))
    assert not whole.drawn and [f.code for f in whole.faults] == ["E709"]


@pytest.mark.parametrize("radius", [1e16, 1e20, 1e150])
def test_arcs_beyond_all_measure_are_lines_or_refused(radius: float) -> None:
    part = drawn(lambda m: m.add_arc((0, -radius), radius, 89.999999, 90.000001))
    assert part.faults or all(isinstance(d.segment, Line) for d in part.drawn)
    part = drawn(lambda m: m.add_arc((0, -radius), radius, 90, 90 + 1e-15))
    assert all(f.code == "E709" for f in part.faults)


def test_a_vast_arc_that_swings_out_of_bounds_is_refused() -> None:
    """Its ends and its middle lie within a kilometre, what is between them does not."""
    part = drawn(lambda m: m.add_circle((0, 600_000), 590_000))
    assert [f.code for f in part.faults] == ["E709"] and not part.drawn
