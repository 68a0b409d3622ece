"""Cutter radius compensation as NISTIR 6556 has it: sec. 3.5.10 and appendix B.

The report's own figures where they are given; the offset of a whole contour against a general
polygon library, which knows nothing of G-code.
"""

from __future__ import annotations

import math

import pytest
import shapely
from reading import moves, refusal, take

from compiler.read import Motion

# A closed contour of straight sides and outer corners of radius 1, with the pre-entry moves to C
# and B and the tangent entry arc to A: the form of the report's example (appendix B); the
# coordinates of the contour are from memory of it. Tool diameter 1.
PART_EDGE = (
    "G1 X1 Y5",
    "G41 D1 G1 Y4",
    "G3 X2 Y3 I1",
    "G2 X3 Y2 J-1",
    "G1 Y-1",
    "G2 X2 Y-2 I-1",
    "G1 X-2",
    "G2 X-2.6 Y-0.2 J1",
    "G1 X1.4 Y2.8",
    "G2 X2 Y3 I0.6 J-0.8",
    "G40",
)
# The same contour as the path of the centre of a tool of nominal diameter 1: arcs of 1.5.
CENTRE_PATH = (
    "G1 X1.5 Y5",
    "G41 D1 G1 Y4",
    "G3 X2 Y3.5 I0.5",
    "G2 X3.5 Y2 J-1.5",
    "G1 Y-1",
    "G2 X2 Y-2.5 I-1.5",
    "G1 X-2",
    "G2 X-2.9 Y0.2 J1.5",
    "G1 X1.1 Y3.2",
    "G2 X2 Y3.5 I0.9 J-1.2",
    "G40",
)


def _line(motions: tuple[Motion, ...]) -> shapely.LineString:
    """The centre's path, arcs as short chords."""
    places = [(motions[0].start.x, motions[0].start.y)]
    for motion in motions:
        if motion.centre is None:
            places.append((motion.end.x, motion.end.y))
            continue
        first = math.atan2(motion.start.y - motion.centre.y, motion.start.x - motion.centre.x)
        for k in range(1, 201):
            angle = first + motion.sweep * k / 200
            x, y = motion.centre.x, motion.centre.y
            places.append(
                (x + motion.radius * math.cos(angle), y + motion.radius * math.sin(angle))
            )
    return shapely.LineString(places)


def test_the_first_move_ends_at_the_right_angle() -> None:
    # NISTIR 6556 appendix B: tool diameter 1, from (1, 5) with G41 to Y4
    (move,) = moves("G41 D1 G1 Y4", at=(1, 5, 0), offsets={1: 0.5})
    assert (move.end.x, move.end.y) == pytest.approx((1.433013, 4.25), abs=5e-7)
    # and from (1.5, 4) with G41 to (3, 3): computed from the report's rule
    (move,) = moves("G41 D1 G1 X3 Y3", at=(1.5, 4, 0), offsets={1: 0.5})
    assert (move.end.x, move.end.y) == pytest.approx((3.151085, 3.476627), abs=5e-7)


def test_the_first_move_to_the_right_is_its_mirror_image() -> None:
    (move,) = moves("G42 D1 G1 Y4", at=(1, 5, 0), offsets={1: 0.5})
    assert (move.end.x, move.end.y) == pytest.approx((2 - 1.433013, 4.25), abs=5e-7)


@pytest.mark.parametrize("radius", [0.1, 0.5, 0.9])
def test_a_part_edge_is_run_round_at_the_tool_radius(radius: float) -> None:
    motions = moves(*PART_EDGE, at=(0, 6, 0), offsets={1: radius})
    contour = _line(moves(*PART_EDGE[3:-1], at=(2, 3, 0)))
    edge = shapely.Polygon(contour.coords)
    wanted = edge.buffer(radius, quad_segs=400).exterior
    around = _line(motions[-7:])
    assert around.hausdorff_distance(wanted) < 2e-3
    assert around.is_ring or around.distance(shapely.Point(around.coords[-1])) < 1e-9


@pytest.mark.parametrize("off", [-0.015, 0.0, 0.02])
def test_a_centre_path_moves_by_the_wear_offset(off: float) -> None:
    # the report: a 0.97 tool on the path of a 1.0 tool has -0.03 in a table of diameters
    motions = moves(*CENTRE_PATH, at=(0, 6, 0), offsets={1: off})
    contour = _line(moves(*CENTRE_PATH[3:-1], at=(2, 3.5, 0)))
    wanted = shapely.Polygon(contour.coords).buffer(off, quad_segs=400).exterior
    around = _line(tuple(m for m in motions if m.line >= 4))
    assert around.hausdorff_distance(wanted) < 2e-3


def test_an_offset_of_zero_leaves_the_path_as_it_is_written() -> None:
    plain = [line.replace("G41 D1 ", "") for line in CENTRE_PATH]
    shifted = moves(*CENTRE_PATH, at=(0, 6, 0), offsets={1: 0.0})
    for a, b in zip(shifted, moves(*plain, at=(0, 6, 0)), strict=True):
        assert a.end == b.end
        assert a.centre == b.centre


def test_an_outer_corner_is_rounded_by_an_arc_of_the_tool_radius() -> None:
    found = moves("G41 D1 G1 X5 Y0", "G1 X10", "Y-10", at=(0, -3, 0), offsets={1: 1.0})
    arc = found[-2]
    assert arc.kind == "arc"
    assert not arc.ccw
    assert (arc.centre.x, arc.centre.y) == (10, 0) if arc.centre else False
    assert (arc.start.x, arc.start.y) == pytest.approx((10, 1))
    assert (arc.end.x, arc.end.y) == pytest.approx((11, 0))
    assert (found[-1].end.x, found[-1].end.y) == pytest.approx((11, -10))


def test_depth_is_taken_on_the_move_and_not_round_the_corner() -> None:
    found = moves("G41 D1 G1 X5 Y0", "G1 X10", "Y-10 Z-2", at=(0, -3, 0), offsets={1: 1.0})
    assert found[-2].end.z == 0
    assert found[-1].end.z == -2


def test_no_way_off_is_made_up() -> None:
    # sec. 3.5.10: after G40 the next move starts from where the tool is
    found = moves("G41 D1 G1 X5 Y0", "G1 X10", "G40 G1 X12 Y0", at=(0, -3, 0), offsets={1: 1.0})
    assert (found[-1].start.x, found[-1].start.y) == pytest.approx((10, 1))
    assert (found[-1].end.x, found[-1].end.y) == (12, 0)


def test_words_left_out_are_those_of_the_text_not_of_the_centre() -> None:
    found = moves("G41 D1 G1 X5 Y0", "G1 X10", "G1 X20 Z-1", at=(0, -3, 0), offsets={1: 1.0})
    assert (found[-1].end.x, found[-1].end.y) == pytest.approx((20, 1))


ON = "G41 D1 G1 X5 Y0"
REFUSED = [
    # the numbers are those of the report's list of errors
    ("70", (), "G41 D1 G1 X0 Y0.5", "not longer than"),
    ("67", (ON, "G1 X10"), "G1 Y10", "sharp inner corner"),
    ("167", (ON, "G1 X10"), "G3 X11 Y1 J1", "is not above the offset's"),
    ("54", (ON,), "G41 D1", "while it is on"),
    ("54b", (ON,), "G42 D1", "while it is on"),
    ("39", (ON,), "G20", "units change"),
    ("60", (ON,), "G28", "way home"),
    ("62", (ON,), "G53 G0 Z0", "way home"),
    ("3.5.13", (ON,), "G55", "work offset"),
    ("3.5.16", (ON,), "G81 X1 Y1 Z-1 R1", "cycle"),
    ("71", (), "G1 X1 D1", "uses `D`"),
    # stricter than the report: no rapid, no arc first, no change of tool, no offset left unsaid
    ("rapid", (ON,), "G0 X20", "rapid"),
    ("arc first", (), "G41 D1 G3 X2 Y0 I1", "is an arc"),
    ("tool", (ON,), "T2 M6", "tool changes"),
    ("no D", (), "G41 G1 X5", "by `D`"),
    ("unknown D", (), "G41 D7 G1 X5", "D7"),
]


@pytest.mark.parametrize(("number", "before", "line", "said"), REFUSED)
def test_what_is_refused(number: str, before: tuple[str, ...], line: str, said: str) -> None:
    assert said in refusal(*before, line, at=(0, -3 if before else 0, 0), offsets={1: 1.0})


def test_the_end_word_switches_it_off() -> None:
    outcome = take(ON, at=(0, -3, 0), offsets={1: 1.0})
    assert outcome.value is not None
    assert outcome.value.blocks[-1].state.compensation == "off"
    assert outcome.value.blocks[0].state.compensation == "left"
    assert outcome.value.blocks[0].state.diameter_offset == 1
