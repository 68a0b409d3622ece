"""Pictures: exact hatching, labels that keep apart, well-formed and repeatable SVG."""

import math
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from compiler.geometry import Point, Region
from compiler.geometry.build import circle, rectangle
from compiler.pictures import operation_view, plan_view
from compiler.pictures.display import Run, Words, text_width
from compiler.pictures.frame import SCALES, scale_for
from compiler.pictures.hatch import hatch
from compiler.pictures.ordinates import spread, thinned
from compiler.pictures.part_view import part_scale, plan_drawing, round_sizes, scene
from compiler.pictures.path_notes import PENS
from compiler.pictures.path_view import path_drawing
from compiler.pictures.tool_view import tool_drawings

sys.path.insert(0, str(Path(__file__).parent.parent / "sheet"))
import itertools

import bracket

NAMESPACE = "{http://www.w3.org/2000/svg}"


@given(st.floats(0, math.pi), st.floats(1, 30), st.floats(0.02, 0.3))
def test_hatch_measures_the_area_of_a_ring(angle, radius, spacing):
    """Length of all rows times their spacing is the area: of a ring, pi (R2 - r2)."""
    inner = circle(Point(3, 4), radius / 2).reversed()
    ring = Region((circle(Point(3, 4), radius), inner))
    rows = hatch(ring, spacing * radius / 10, angle)
    area = sum(row.length for row in rows) * spacing * radius / 10
    assert area == pytest.approx(math.pi * radius**2 * 0.75, rel=0.01)


@given(st.floats(-1, 4))
def test_hatch_of_a_rounded_rectangle(angle):
    region = Region((rectangle(Point(0, 0), Point(20, 10), 3),))
    area = sum(row.length for row in hatch(region, 0.05, angle)) * 0.05
    assert area == pytest.approx(region.area, rel=0.005)


@given(st.lists(st.floats(-100, 100), min_size=1, max_size=30))
def test_spread_keeps_order_and_distance_and_moves_no_more_than_it_must(places):
    places = sorted(places)
    moved = spread(places, 3.0)
    assert all(b - a >= 3.0 - 1e-9 for a, b in itertools.pairwise(moved))
    assert sum(moved) == pytest.approx(sum(places), abs=1e-6)
    if all(b - a >= 3.0 for a, b in itertools.pairwise(places)):
        assert moved == pytest.approx(places)


def test_thinned_keeps_the_ends():
    marks = [(float(i), str(i)) for i in range(100)]
    kept = thinned(marks, 10)
    assert len(kept) == 10
    assert (kept[0], kept[-1]) == (marks[0], marks[-1])


def test_scales_are_those_of_iso_5455():
    """ISO 5455: 1:1, and 2, 5, 10 and their tens either way (from memory of the standard)."""
    for name, scale in SCALES:
        up, down = name.split(":")
        assert scale == int(up) / int(down)
        assert max(int(up), int(down)) in (1, *(n * 10**k for k in range(4) for n in (2, 5, 10)))
    assert scale_for(177.8, 127, Point(190, 150)) == ("1:1", 1.0)
    assert scale_for(177.8, 127, Point(100, 150)) == ("1:2", 0.5)


def test_svg_is_well_formed_and_repeatable():
    job, part = bracket.job(), bracket.part()
    for make in (
        lambda: plan_view(job, part),
        lambda: operation_view(job, part, bracket.motions().paths[0]),
    ):
        text = make()
        assert text == make()
        root = ElementTree.fromstring(text)
        assert root.tag == f"{NAMESPACE}svg"
        assert "-0," not in text.replace("-0.", "")


def test_plan_view_names_what_stands_and_what_holds():
    text = plan_view(bracket.job(), bracket.part())
    for said in ("boss", "lug", "rail", "left jaw", "Ø1.8", "top Z -0.1", "up to Z -0.6", "6.3"):
        assert f">{said}<" in text


def test_names_are_no_markup():
    region = bracket.part().standing[0]
    part = replace(bracket.part(), standing=(replace(region, name='<b>&"x'),))
    root = ElementTree.fromstring(plan_view(bracket.job(), part))
    assert any(node.text == '<b>&"x' for node in root.iter(f"{NAMESPACE}text"))


def test_kinds_of_moves_differ_by_line_not_by_colour():
    text = operation_view(bracket.job(), bracket.part(), bracket.motions().paths[0])
    root = ElementTree.fromstring(text)
    shown = {node.text for node in root.iter(f"{NAMESPACE}text")}
    assert {"cut", "run on or off", "link at depth", "ramp or helix down"} <= shown
    pens = {
        (node.get("stroke-width"), node.get("stroke-dasharray"))
        for node in root.iter(f"{NAMESPACE}path")
        if node.get("stroke") == "#000000"
    }
    assert len(pens) >= 5
    for node in root.iter(f"{NAMESPACE}path"):
        colour = node.get("stroke", "#000000")[1:]
        assert colour[:2] == colour[2:4] == colour[4:6]


def test_arrows_point_the_way_the_tool_goes():
    """The bracket's rings run clockwise: half way round, at their left, the way is up."""
    picture = path_drawing(
        bracket.job(), bracket.part(), bracket.motions().paths[0], Point(190, 112)
    )
    heads = [
        i for i in picture.items if isinstance(i, Run) and i.fill == 0.0 and len(i.runs[0]) == 3
    ]
    ways = [h.runs[0][0].start.minus(h.runs[0][1].at(0.5)).unit() for h in heads]
    assert len(ways) >= 1
    assert all(way.y > 0.99 for way in ways)


def test_labels_of_the_plan_do_not_overlap():
    job, part = bracket.job(), bracket.part()
    picture = plan_drawing(job, part, part_scale(part, Point(192, 150), side_too=True))
    boxes = []
    for item in picture.items:
        if isinstance(item, Words):
            wide = text_width(item.text, item.size) * 0.8
            left = {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
            if item.angle:
                x = item.at.x
                boxes.append((x - 2, item.at.y - left, x, item.at.y - left + wide))
            else:
                x = item.at.x - left
                boxes.append((x, item.at.y, x + wide, item.at.y + 2))
    for i, a in enumerate(boxes):
        assert a[0] >= 0 and a[2] <= picture.width and a[1] >= 0 and a[3] <= picture.height
        for b in boxes[i + 1 :]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_tools_are_to_scale():
    (picture,) = tool_drawings(bracket.TOOLS, "inch", Point(190, 75))
    words = [item.text for item in picture.items if isinstance(item, Words)]
    assert "Tools, scale 1:1" in words
    assert picture.height > (1.25 + 0.7) * 25.4
    assert {"T1", "T2", "T3", "Ø0.5", "Ø0.25", "1.25"} <= set(words)


def many_bosses() -> object:
    """A plate with 56 small bosses, each a region of its own."""
    first = bracket.part().standing[0]
    places = [Point(25.4 + 36 * i, 25.4 + 40 * k) for i in range(8) for k in range(7)]
    return replace(
        bracket.part(),
        stock=Region((rectangle(Point(0, 0), Point(305, 305)),)),
        standing=tuple(
            replace(first, name=f"boss {n}", region=Region((circle(place, 5.0 + n % 5),)))
            for n, place in enumerate(places)
        ),
        obstacles=(),
    )


def test_where_names_do_not_fit_the_tables_numbers_stand():
    text = plan_view(bracket.job(), many_bosses())
    assert ">boss 7<" not in text
    for number in range(1, 57):
        assert f">{number}<" in text


def test_a_higher_region_is_drawn_over_the_lower_one_it_stands_on():
    first = bracket.part().standing[0]
    pad = Region((rectangle(Point(45, 60), Point(52, 70)),))
    ring = Region((rectangle(Point(40, 50), Point(90, 80)),))
    part = replace(
        bracket.part(),
        standing=(
            replace(first, name="pad", region=pad, top=0.0),
            replace(first, name="ring", region=ring, top=-4.0),
        ),
    )
    assert [name for name, _, _ in scene(part).standing] == ["ring", "pad"]


def test_diameters_and_radii_as_iso_129_writes_them():
    """ISO 129-1: the signs Ø and R stand before the value (from memory of the standard)."""
    two = Region((circle(Point(0, 0), 6), circle(Point(30, 0), 6)))
    assert round_sizes(two, "mm") == ("2 × Ø12",)
    bored = Region((circle(Point(0, 0), 22), circle(Point(0, 0), 12).reversed()))
    assert round_sizes(bored, "mm") == ("Ø44", "Ø24")
    plate = Region((rectangle(Point(0, 0), Point(40, 20), 5.08),))
    assert round_sizes(plate, "inch") == ("R0.2",)
    assert round_sizes(Region((rectangle(Point(0, 0), Point(4, 2)),)), "mm") == ()


def test_what_is_swept_is_as_wide_as_the_cutter_and_ends_with_the_stock():
    job, part, path = bracket.job(), bracket.part(), bracket.motions().paths[0]
    picture = path_drawing(job, part, path, Point(250, 200))
    (swept,) = (item for item in picture.items if isinstance(item, Run) and item.within)
    assert swept.pen is not None
    assert swept.pen.width == pytest.approx(job.tool(path.tool).diameter * picture.factor)
    xs = [p.x for run in swept.within for s in run for p in (s.start, s.end)]
    assert max(xs) - min(xs) == pytest.approx(7 * 25.4 * picture.factor)
    root = ElementTree.fromstring(operation_view(job, part, path))
    clips = {clip.get("id") for clip in root.iter(f"{NAMESPACE}clipPath")}
    used = {g.get("clip-path", "")[5:-1] for g in root.iter(f"{NAMESPACE}g")}
    assert clips == used and clips


def test_the_word_start_keeps_off_the_path():
    job, part, path = bracket.job(), bracket.part(), bracket.motions().paths[0]
    picture = path_drawing(job, part, path, Point(250, 200))
    (word,) = (i for i in picture.items if isinstance(i, Words) and i.text == "start")
    wide = text_width("start", word.size)
    lines = [
        segment.at(k / 40)
        for item in picture.items
        if isinstance(item, Run) and item.pen in [pen for _, _, pen in PENS]
        for run in item.runs
        for segment in run
        for k in range(41)
    ]
    assert lines
    for p in lines:
        inside = abs(p.x - word.at.x) < wide / 2 and word.at.y < p.y < word.at.y + 0.7 * word.size
        assert not inside


def test_a_label_finds_the_part_of_its_region_that_shows():
    """A pad that stands on a ring: the ring's label must not lie on the pad."""
    under = replace(
        bracket.part().standing[0],
        name="ring",
        top=-2.0,
        region=Region((circle(Point(90, 60), 40),)),
    )
    pad = replace(under, name="pad", top=0.0, region=Region((circle(Point(90, 60), 15),)))
    part = replace(bracket.part(), standing=(under, pad))
    drawing = plan_drawing(bracket.job(units="mm"), part, ("1:1", 1.0))
    words = {i.text: i for i in drawing.items if isinstance(i, Words) and i.bold}
    assert words["ring"].at.distance(words["pad"].at) > 15
