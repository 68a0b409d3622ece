"""Public drawings with figures worked out by hand: the areas, the strays, the damage."""

from __future__ import annotations

import math
from collections import Counter

import pytest
from dxf_maker import DATA, VOICE, codes, errors, sample

from compiler.drawing.join import join
from compiler.drawing.nest import clashes
from compiler.drawing.read import read_drawing
from compiler.drawing.select import Asked, closed_region
from compiler.geometry import Point

INCH = 25.4

# The bracket by hand: a 3.5 x 0.5 bar and a 1.5 x 1.0 stem, less two R 0.125 and two R 0.5
# roundings (each takes (1 - pi/4) r^2), plus two R 0.125 fillets.
DUPLICATES_LEFT = {"LINE": 4, "TEXT": 19, "DIMENSION": 7}
ROUND = 1 - math.pi / 4
BRACKET = 3.5 * 0.5 + 1.5 * 1.0 - 2 * ROUND * (0.125**2 + 0.5**2) + 2 * ROUND * 0.125**2


def test_the_bracket_has_the_area_worked_out_by_hand() -> None:
    assert pytest.approx(3.142699082, abs=5e-10) == BRACKET
    bracket = read_drawing(sample("AC1003_LINE_Example.dxf"), VOICE, units="inch").value
    assert bracket is not None
    assert bracket.bounds == pytest.approx((0, 0, 3.625 * INCH, 1.625 * INCH))
    joined = join([d for d in bracket.drawn if d.layer == "1"])
    outer, hole = sorted(joined.loops, key=lambda loop: -loop.outline.area)
    assert outer.count == 15 and hole.count == 2
    # the file gives its coordinates to six decimals of an inch
    assert outer.outline.area / INCH**2 == pytest.approx(BRACKET, abs=1e-5)
    assert outer.outline.length / INCH == pytest.approx(9.356194490, abs=1e-5)
    assert hole.outline.area / INCH**2 == pytest.approx(math.pi * 0.3**2, abs=1e-6)
    assert sum(run.count for run in joined.runs) == 5


def test_the_bracket_is_refused_until_its_strays_are_spoken_for() -> None:
    bracket = read_drawing(sample("AC1003_LINE_Example.dxf"), VOICE, units="inch").value
    assert bracket is not None
    strict = closed_region(bracket, Asked(), VOICE)
    assert strict.value is None and "E706" in codes(strict)
    lenient = closed_region(bracket, Asked(on_unclosed="ignore"), VOICE)
    assert lenient.value is not None and "W706" in codes(lenient)
    assert lenient.value.area / INCH**2 == pytest.approx(2.859955743, abs=1e-5)
    here = Point(0.5 * INCH, 1.25 * INCH)
    picked = closed_region(bracket, Asked(containing=here, on_unclosed="ignore"), VOICE)
    assert picked.value is not None
    assert picked.value.area == pytest.approx(lenient.value.area)
    # two of the strays lie inside the loop, where they could have been meant as a hole
    assert errors(closed_region(bracket, Asked(containing=here), VOICE)) == ["E706", "E706"]


def test_a_drawing_of_loops_on_one_layer() -> None:
    plan = read_drawing(sample("1_polylines.dxf"), VOICE, units="mm").value
    assert plan is not None
    assert sum(d.kind == "LINE" for d in plan.drawn) == 52
    assert [(left.kind, left.count) for left in plan.left_out] == [("TEXT", 9)]
    assert sum(d.kind == "ARC" for d in plan.drawn) == 22 + 6  # six of more than half a turn
    joined = join(plan.drawn)
    # every piece is in a loop or an open line, and in one only
    counts = [loop.count for loop in joined.loops], [run.count for run in joined.runs]
    assert (sorted(counts[0]), sorted(counts[1])) == ([4, 4, 4, 4, 4, 10, 12, 14], [6, 18])
    assert sum(map(sum, counts)) == 52 + 22 + 6 and not joined.repeats and not joined.junctions
    # two of its rectangles lie over each other: they cross on a side of the one and of the other
    (clash,) = clashes(joined.loops)
    one, two = (joined.loops[i].outline.bounds for i in (clash.first, clash.second))
    assert any(clash.at.x == pytest.approx(x) for x in (one[0], one[2], two[0], two[2]))
    assert any(clash.at.y == pytest.approx(y) for y in (one[1], one[3], two[1], two[3]))
    assert max(one[0], two[0]) <= clash.at.x <= min(one[2], two[2]) + 1e-9
    assert errors(closed_region(plan, Asked(on_unclosed="ignore"), VOICE)) == ["E708"]


def test_thirty_tilted_polylines_of_an_old_drawing_are_named() -> None:
    old = read_drawing(sample("POLI-ALL210_12.DXF"), VOICE, units="mm").value
    assert old is not None and old.version == "AC1009"
    assert not old.drawn
    assert sum(f.message.startswith("POLYLINE") for f in old.faults) == 30
    assert {f.code for f in old.faults} == {"E710"}
    region = closed_region(old, Asked(layers=("T-2DPLINE-*",)), VOICE)
    assert region.value is None and set(errors(region)) == {"E710"}
    assert "and 24 more of this kind" in [note for f in region.findings for note in f.notes]


@pytest.mark.parametrize("radius", ["0", "-1"])
def test_circles_without_a_radius_are_named(radius: str) -> None:
    bad = read_drawing(sample("circle_radius_le_0.dxf"), VOICE, units="mm").value
    assert bad is not None
    region = closed_region(bad, Asked(), VOICE)
    assert region.value is None
    assert any(f.code == "E709" and f"radius {radius}," in f.message for f in region.findings)


@pytest.mark.parametrize(
    ("name", "lines", "out"),
    [
        # counted in their text; a full circle is two halves, an ellipse a row of arcs
        ("R12_with_trash_beyond_EOF.dxf", {"CIRCLE": 2}, {}),
        # 111 lines, of which four end where they begin
        ("duplicate_handles.dxf", {"LINE": 107, "ELLIPSE": 32}, DUPLICATES_LEFT),
        ("empty_handles.dxf", {"LINE": 8}, {}),
        ("bin_dxf_r2000.dxf", {}, {"TEXT": 1}),
    ],
)
def test_damaged_and_binary_drawings_are_read(name: str, lines: dict, out: dict) -> None:
    outcome = read_drawing(sample(name), VOICE, units="mm")
    assert outcome.value is not None, outcome.findings
    drawn = Counter(d.kind for d in outcome.value.drawn)
    left = {row.kind: row.count for row in outcome.value.left_out}
    assert (dict(drawn), left) == (lines, out)


def test_every_sample_cut_short_is_refused() -> None:
    if not DATA.exists():
        pytest.skip("the sample drawings are not here")
    for file in sorted(DATA.glob("*.[dD][xX][fF]")):
        data = file.read_bytes()
        if file.name.startswith("R12_with_trash"):
            continue  # its end mark comes early; what follows is the trash
        for share in (0.1, 0.5, 0.9, 0.98):
            outcome = read_drawing(data[: int(len(data) * share)], VOICE, units="mm")
            assert errors(outcome) == ["E701"], (file.name, share)
