"""Every kind of entity as lines and arcs: bulges, turned blocks, ellipses, splines, all versions.

Bulge figures are those of the DXF Reference's definition, the tangent of a quarter of the included
angle [from memory]: chord 10, bulge 0.5 is radius 6.25 and sagitta 2.5.
"""

from __future__ import annotations

import itertools
import math

import ezdxf
import pytest
from dxf_maker import VOICE, as_bytes, codes, document, drawn, dxf, errors
from hypothesis import given
from hypothesis import strategies as st

from compiler.drawing.model import CURVE_TOLERANCE
from compiler.drawing.read import read_drawing
from compiler.drawing.select import Asked, closed_region
from compiler.geometry import Arc, Line, Point
from compiler.geometry.distance import point_distance


def region(drawing, **asked):
    outcome = closed_region(drawing, Asked(**asked), VOICE)
    assert outcome.value is not None, outcome.findings
    return outcome.value


def test_a_bulge_is_an_arc() -> None:
    part = drawn(lambda m: m.add_lwpolyline([(0, 0, 0.5), (10, 0, 0)], format="xyb"))
    (arc,) = (d.segment for d in part.drawn)
    assert isinstance(arc, Arc) and arc.ccw
    assert arc.radius == pytest.approx(6.25)
    assert arc.bounds[1] == pytest.approx(-2.5)


@given(st.floats(-3, 3).filter(lambda b: abs(b) > 0.01), st.floats(1, 100))
def test_every_bulge_keeps_to_its_definition(bulge: float, chord: float) -> None:
    part = drawn(lambda m: m.add_lwpolyline([(0, 0, bulge), (chord, 0, 0)], format="xyb"))
    turned = sum(d.segment.sweep for d in part.drawn if isinstance(d.segment, Arc))
    assert turned == pytest.approx(4 * math.atan(bulge))
    radius = chord * (1 + bulge * bulge) / (4 * abs(bulge))
    assert all(d.segment.radius == pytest.approx(radius) for d in part.drawn)


def test_two_half_turn_bulges_make_a_circle() -> None:
    part = drawn(lambda m: m.add_lwpolyline([(0, 0, 1), (4, 0, 1)], format="xyb", close=True))
    assert region(part).area == pytest.approx(math.pi * 4)


@pytest.mark.parametrize("version", ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"])
@pytest.mark.parametrize("binary", [False, True])
def test_all_versions_text_and_binary(version: str, binary: bool) -> None:
    made = document(4, version)
    made.modelspace().add_circle((1, 2), 3)
    outcome = read_drawing(as_bytes(made, binary=binary), VOICE, units="mm")
    assert outcome.value is not None, outcome.findings
    assert region(outcome.value).area == pytest.approx(9 * math.pi)


@pytest.mark.parametrize(
    ("code", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0), (14, 100.0)]
)
def test_units_of_the_header(code: int, mm: float) -> None:
    part = drawn(lambda m: m.add_circle((0, 0), 1), units=code)
    assert region(part).area == pytest.approx(math.pi * mm * mm)


def test_a_unitless_drawing_is_refused_with_its_size_in_either() -> None:
    data = dxf(lambda m: m.add_lwpolyline([(0, 0), (3.5, 0), (3.5, 2)], close=True), units=0)
    refused = read_drawing(data, VOICE)
    assert refused.value is None and codes(refused) == ["E703"]
    told = refused.findings[0].help
    assert "3.5 x 2 inch (88.9 x 50.8 mm)" in told and "3.5 x 2 mm" in told
    assert read_drawing(data, VOICE, units="inch").value is not None


def test_the_job_is_believed_before_the_header() -> None:
    outcome = read_drawing(dxf(lambda m: m.add_circle((0, 0), 1), units=4), VOICE, units="inch")
    assert codes(outcome) == ["W702"]
    assert outcome.value is not None and outcome.value.factor == 25.4


def test_blocks_turned_mirrored_scaled_and_nested() -> None:
    made = document()
    inner = made.blocks.new("INNER", base_point=(1, 0))
    inner.add_lwpolyline([(1, 0, 0), (3, 0, 1), (3, 2, 0), (1, 2, 0)], format="xyb", close=True)
    outer = made.blocks.new("OUTER")
    outer.add_blockref("INNER", (10, 0), dxfattribs={"rotation": 90, "xscale": -1})
    made.modelspace().add_blockref("OUTER", (5, 5), dxfattribs={"xscale": 2, "yscale": 2})
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    placed = region(part)
    assert placed.area == pytest.approx(4 * (4 + math.pi / 2))
    # base point to (10, 0), mirrored across Y, turned a quarter, doubled, moved by (5, 5):
    # the block's X grows along -Y, its Y along -X
    assert placed.bounds == pytest.approx((21, -1, 25, 5))
    assert any(isinstance(s, Arc) and s.radius == pytest.approx(2) for s in placed.segments())


def test_all_numbers_are_plain_ones() -> None:
    """The library's matrices hold numbers of their own, which no digest of a job takes."""
    made = document()
    block = made.blocks.new("B")
    block.add_arc((0, 0), 2, 10, 200)
    block.add_lwpolyline([(0, 0, 0.5), (3, 0, 0), (3, 3, 0)], format="xyb")
    block.add_ellipse((5, 5), major_axis=(2, 1), ratio=0.5)
    block.add_open_spline([(0, 0), (1, 5), (4, 4), (9, 0)])
    model = made.modelspace()
    for turn, scale in ((30, 1.0), (90, -2.0), (0, 1.0)):
        model.add_blockref(
            "B", (7, 8), dxfattribs={"rotation": turn, "xscale": scale, "yscale": abs(scale)}
        )
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    for d in part.drawn:
        places = [d.segment.start, d.segment.end]
        if isinstance(d.segment, Arc):
            places.append(d.segment.centre)
            assert type(d.segment.ccw) is bool
        assert {type(c) for place in places for c in place} == {float}
        assert type(d.smooth) is bool


def test_a_block_on_layer_0_takes_the_layer_of_its_reference() -> None:
    made = document()
    made.layers.add("BOSS")
    made.blocks.new("B").add_circle((0, 0), 1)
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"layer": "BOSS"})
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None and {d.layer for d in part.drawn} == {"BOSS"}


def test_a_grid_of_references_gives_every_copy() -> None:
    made = document()
    made.blocks.new("B").add_circle((0, 0), 1)
    made.modelspace().add_blockref(
        "B",
        (0, 0),
        dxfattribs={"row_count": 3, "column_count": 2, "row_spacing": 5, "column_spacing": 4},
    )
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    placed = region(part)
    assert len(placed.outlines) == 6 and placed.bounds == pytest.approx((-1, -1, 5, 11))


@pytest.mark.parametrize("scale", [(2.0, 1.0), (1.0, -3.0), (0.5, 0.25)])
def test_a_circle_stretched_unevenly_is_an_ellipse_within_tolerance(scale) -> None:
    made = document()
    made.blocks.new("B").add_circle((0, 0), 10)
    made.modelspace().add_blockref("B", (0, 0), dxfattribs={"xscale": scale[0], "yscale": scale[1]})
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    a, b = 10 * abs(scale[0]), 10 * abs(scale[1])
    if a == b:
        return
    placed = region(part)
    assert all(isinstance(s, Arc) for s in placed.segments())
    for s in placed.segments():
        for t in (0.0, 0.25, 0.5, 0.75):
            assert off_ellipse(s.at(t), a, b) <= CURVE_TOLERANCE
    assert placed.area == pytest.approx(math.pi * a * b, rel=1e-4)


def off_ellipse(p: Point, a: float, b: float) -> float:
    """Distance from an upright ellipse to first order: |f| / |grad f|."""
    f = (p.x / a) ** 2 + (p.y / b) ** 2 - 1
    return abs(f) / (2 * math.hypot(p.x / a**2, p.y / b**2))


@given(st.floats(0.05, 0.95), st.floats(0, 2 * math.pi), st.floats(1, 80))
def test_every_ellipse_lies_within_the_tolerance(ratio: float, turn: float, size: float) -> None:
    axis = (size * math.cos(turn), size * math.sin(turn))
    part = drawn(lambda m: m.add_ellipse((0, 0), major_axis=axis, ratio=ratio))
    cos, sin = math.cos(-turn), math.sin(-turn)
    for d in part.drawn:
        for t in (0.1, 0.3, 0.5, 0.7, 0.9):
            p = d.segment.at(t)
            turned = Point(p.x * cos - p.y * sin, p.x * sin + p.y * cos)
            assert off_ellipse(turned, size, size * ratio) <= CURVE_TOLERANCE
    assert region(part).area == pytest.approx(math.pi * size * size * ratio, rel=2e-2, abs=1e-2)


def test_a_spline_lies_within_the_tolerance_of_the_library_that_made_it() -> None:
    points = [(0, 0), (10, 15), (25, -5), (40, 12), (55, 0), (30, -20)]
    made = document()
    spline = made.modelspace().add_open_spline(points, degree=3)
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    curve = spline.construction_tool()
    pieces = [d.segment for d in part.drawn]
    worst = max(
        min(point_distance(Point(p.x, p.y), s) for s in pieces)
        for p in curve.approximate(segments=500)
    )
    assert worst <= CURVE_TOLERANCE
    assert pieces[0].start == pytest.approx((0, 0)) and pieces[-1].end == pytest.approx((30, -20))
    for before, after in itertools.pairwise(pieces):
        assert before.end == pytest.approx(after.start)
        assert before.tangent(1.0) == pytest.approx(after.tangent(0.0), abs=1e-6)


def test_a_rational_spline_of_a_circle_is_that_circle() -> None:
    w = math.sqrt(0.5)
    net = [(5, 0), (5, 5), (0, 5), (-5, 5), (-5, 0), (-5, -5), (0, -5), (5, -5), (5, 0)]
    knots = [0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4]

    def draw(m) -> None:
        spline = m.add_spline(degree=2)
        spline.control_points = [(x, y, 0) for x, y in net]
        spline.knots = knots
        spline.weights = [1, w, 1, w, 1, w, 1, w, 1]

    placed = region(drawn(draw))
    assert placed.area == pytest.approx(25 * math.pi, rel=1e-9)
    assert all(isinstance(s, Arc) and s.radius == pytest.approx(5) for s in placed.segments())


def test_what_is_no_line_work_is_counted() -> None:
    made = document()
    made.layers.add("OFF").off()
    made.layers.add("ICE").freeze()
    model = made.modelspace()
    model.add_circle((0, 0), 1)
    model.add_text("M6")
    model.add_hatch()
    model.add_line((0, 0), (1, 1), dxfattribs={"layer": "OFF"})
    model.add_line((0, 0), (1, 1), dxfattribs={"layer": "ICE"})
    model.add_line((0, 0), (1, 1), dxfattribs={"invisible": 1})
    model.add_linear_dim(base=(0, 2), p1=(0, 0), p2=(3, 0)).render()
    made.layout("Layout1").add_circle((0, 0), 9)
    part = read_drawing(as_bytes(made), VOICE).value
    assert part is not None
    assert len(part.drawn) == 2  # the circle, as two halves
    assert {(left.kind, left.why): left.count for left in part.left_out} == {
        ("TEXT", "text"): 1,
        ("HATCH", "hatches and fills"): 1,
        ("LINE", "layer off"): 1,
        ("LINE", "layer frozen"): 1,
        ("LINE", "invisible"): 1,
        ("DIMENSION", "dimensions and notes"): 1,
        ("CIRCLE", "paper space"): 1,
    }


def test_seen_from_below_is_mirrored_and_tilted_is_refused() -> None:
    flipped = drawn(lambda m: m.add_circle((3, 0), 1, dxfattribs={"extrusion": (0, 0, -1)}))
    assert flipped.bounds == pytest.approx((-4, -1, -2, 1))
    tilted = drawn(lambda m: m.add_circle((3, 0), 1, dxfattribs={"extrusion": (0, 1, 1)}))
    assert errors(closed_region(tilted, Asked(), VOICE)) == ["E710"]
    rising = drawn(lambda m: m.add_line((0, 0, 0), (1, 0, 1)))
    assert errors(closed_region(rising, Asked(), VOICE)) == ["E710"]
    solid = drawn(lambda m: m.add_3dface([(0, 0, 0), (1, 0, 0), (1, 1, 1)]))
    assert errors(closed_region(solid, Asked(), VOICE)) == ["E710"]


def test_faults_on_other_layers_do_not_matter() -> None:
    def draw(m) -> None:
        m.add_circle((0, 0), 5, dxfattribs={"layer": "PART"})
        m.add_circle((0, 0), 0, dxfattribs={"layer": "JUNK"})

    part = drawn(draw)
    assert region(part, layers=("PART",)).area == pytest.approx(25 * math.pi)
    assert errors(closed_region(part, Asked(), VOICE)) == ["E709"]


def test_an_open_spline_stays_a_line_where_it_is_one() -> None:
    part = drawn(lambda m: m.add_open_spline([(0, 0), (1, 1), (2, 2), (3, 3)], degree=3))
    assert all(isinstance(d.segment, Line) for d in part.drawn)


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "E701"),
        (b"   \r\n ", "E701"),
        (b"solid ascii cube", "E701"),
        (b"\x00\xff" * 500, "E701"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n", "E701"),
        (b"0\nSECTION\n2\nENTITIES\n0\nLINE\n10\nabc\n0\nENDSEC\n0\nEOF\n", None),
        (b"AutoCAD Binary DXF\r\n\x1a\x00\x00\x00EOF\x00", None),
    ],
)
def test_what_is_no_drawing_is_refused(data: bytes, code: str | None) -> None:
    outcome = read_drawing(data, VOICE, units="mm")
    assert errors(outcome) == [code] if code else outcome is not None


def test_what_is_too_large_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    from compiler.drawing import document as reading

    monkeypatch.setattr(reading, "MAX_BYTES", 1000)
    assert errors(read_drawing(dxf(lambda m: m.add_circle((0, 0), 1)), VOICE)) == ["E702"]


def test_a_block_that_claims_a_billion_copies_is_refused() -> None:
    made = document()
    made.blocks.new("B").add_circle((0, 0), 1)
    made.modelspace().add_blockref(
        "B",
        (0, 0),
        dxfattribs={
            "row_count": 32767,
            "column_count": 32767,
            "row_spacing": 1,
            "column_spacing": 1,
        },
    )
    assert errors(read_drawing(as_bytes(made), VOICE)) == ["E702"]


def test_blocks_that_double_at_every_depth_are_refused() -> None:
    made = document()
    made.blocks.new("B0").add_circle((0, 0), 1)
    for i in range(1, 40):
        block = made.blocks.new(f"B{i}")
        block.add_blockref(f"B{i - 1}", (0, 0))
        block.add_blockref(f"B{i - 1}", (1, 0))
    made.modelspace().add_blockref("B39", (0, 0))
    assert errors(read_drawing(as_bytes(made), VOICE)) == ["E702"]


def test_a_block_in_itself_is_refused() -> None:
    made = document()
    block = made.blocks.new("LOOP")
    block.add_blockref("LOOP", (1, 0))
    made.modelspace().add_blockref("LOOP", (0, 0))
    assert errors(read_drawing(as_bytes(made), VOICE)) == ["E702"]


def r12(*tags: str) -> bytes:
    """A drawing of nothing but an entities section, as the oldest programs wrote it."""
    return "\n".join(
        ("0", "SECTION", "2", "ENTITIES", *tags, "0", "ENDSEC", "0", "EOF", "")
    ).encode()


CIRCLE_TAGS = ("0", "CIRCLE", "8", "0", "10", "0.0", "20", "0.0", "40", "1.0")


def test_a_damaged_drawing_is_mended_with_a_warning() -> None:
    line = ("0", "LINE", "8", "0", "6", "NO*SUCH*TYPE", "10", "0", "20", "0")
    outcome = read_drawing(r12(*CIRCLE_TAGS, *line, "11", "1", "21", "0"), VOICE, units="mm")
    assert codes(outcome) == []  # read strictly, nothing to mend
    broken = r12(*CIRCLE_TAGS, *line, "11", "1", "21", "0", "0", "TEXT", "8", "0", "10", "0")
    outcome = read_drawing(broken, VOICE, units="mm")
    assert codes(outcome) == ["W701"]
    assert outcome.value is not None and outcome.value.drawn


def test_what_mending_would_lose_or_make_up_is_refused() -> None:
    circle = ("0", "CIRCLE", "8", "0", "10", "0.0", "20", "0.0", "40", "0.0")
    line = ("0", "LINE", "8", "0", "10", "0", "30", "0", "11", "1", "21", "0")
    read = read_drawing(r12(*circle, *line), VOICE, units="mm")
    assert read.value is not None
    assert errors(closed_region(read.value, Asked(), VOICE)) == ["E709", "E709"]
    headless = r12(*CIRCLE_TAGS, "0", "SPLINE", "8", "0", "71", "x", "0", "ARC", "5")
    assert errors(read_drawing(headless, VOICE, units="mm")) == ["E701"]


@given(st.binary(max_size=60), st.integers(0, 15000), st.booleans())
def test_no_bytes_bring_it_down(noise: bytes, place: int, cut: bool) -> None:
    data = CIRCLE[:place] + noise + CIRCLE[place + (len(noise) if cut else 0) :]
    outcome = read_drawing(data, VOICE)
    if outcome.value is not None:
        closed_region(outcome.value, Asked(), VOICE)
    else:
        assert errors(outcome)


def _circle() -> bytes:
    made = ezdxf.new("R12")
    made.modelspace().add_circle((0, 0), 1)
    return as_bytes(made)


CIRCLE = _circle()
