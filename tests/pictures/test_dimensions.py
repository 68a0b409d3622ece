"""Dimensions and legends: complete, of the right form, and inside their picture."""

import math
import sys
from pathlib import Path

import pytest

from compiler.geometry import Point
from compiler.pictures.display import Run, Words, text_width
from compiler.pictures.ordinates import below, beside, overall
from compiler.pictures.part_view import part_scale, plan_drawing, scene
from compiler.pictures.path_notes import LEGEND, legend, legend_rows
from compiler.pictures.path_view import path_drawing
from compiler.pictures.side_view import side_drawing
from compiler.pictures.tool_view import tool_drawings

sys.path.insert(0, str(Path(__file__).parent.parent / "sheet"))

import bracket

ROOM = Point(188, 150)


def said(items):
    return [item.text for item in items if isinstance(item, Words)]


def filled(items):
    """Arrow heads: small black triangles."""
    return [
        i
        for i in items
        if isinstance(i, Run) and i.fill == 0.0 and i.closed and len(i.runs[0]) == 3
    ]


def test_stock_is_dimensioned_overall():
    """7 by 5 in, apart from the running values 0 to 7 and 0 to 5."""
    job, part = bracket.job(), bracket.part()
    texts = said(plan_drawing(job, part, part_scale(part, ROOM, side_too=True)).items)
    assert texts.count("7") == 2
    assert texts.count("5") == 2


@pytest.mark.parametrize("b", [Point(30, 0), Point(0, 30), Point(0, -30), Point(-30, 0)])
def test_overall_values_are_read_from_below_or_from_the_right(b):
    """ISO 129-1: values are read from the lower or the right edge of the sheet (from memory)."""
    items = overall(Point(0, 0), b, "30", 5.0)
    (words,) = (item for item in items if isinstance(item, Words))
    turn = words.angle % (2 * math.pi)
    assert min(turn, 2 * math.pi - turn) < 1e-9 or abs(turn - math.pi / 2) < 1e-9
    assert len(filled(items)) == 2


def test_running_values_begin_in_a_circle_and_end_in_arrows():
    marks = [(0.0, "0"), (20.0, "20"), (21.0, "21"), (60.0, "60")]
    items = below(marks, 50.0, origin=0.0)
    assert said(items) == ["0", "20", "21", "60"]
    assert len(filled(items)) == 2  # at 20 and 60; too close at 21: a stroke
    circles = [i for i in items if isinstance(i, Run) and i.fill == 1.0]
    assert len(circles) == 1


def test_a_datum_amid_the_values_has_arrows_both_ways():
    items = beside([(-20.0, "-20"), (0.0, "0"), (20.0, "20")], 0.0, left=True, origin=0.0)
    heads = filled(items)
    ways = [run.runs[0][0].start.y - run.runs[0][0].end.y for run in heads]
    assert sorted(math.copysign(1, way) for way in ways) == [-1, 1]


def test_without_a_datum_there_is_no_dimension_line():
    assert not filled(beside([(0.0, "clearance")], 0.0, left=True))


@pytest.mark.parametrize("width", [60.0, 90.0, 124.0, 200.0])
@pytest.mark.parametrize("held", [True, False])
def test_a_legend_has_a_row_for_what_does_not_fit(width, held):
    path = bracket.motions().paths[0]
    kinds = {None, *(move.role for move in path.moves if hasattr(move, "role"))}
    rows = legend_rows(kinds, width, held=held)
    entries = [entry.words for row in rows for entry in row]
    assert ("holds the work" in entries) == held
    items = legend(rows, LEGEND * len(rows) + 2)
    for item in items:
        if isinstance(item, Words):
            assert item.at.y >= 0
            assert item.at.x + text_width(item.text, item.size) <= width + 1e-9


def pictures():
    job, part, motions = bracket.job(), bracket.part(), bracket.motions()
    scale = part_scale(part, ROOM, side_too=True)
    yield plan_drawing(job, part, scale)
    yield side_drawing(job, part, -12.7, scale)
    yield from tool_drawings(job.tools, "inch", Point(188, 75))
    yield from tool_drawings(job.tools * 7, "inch", Point(188, 75))
    view = scene(part)
    for path in motions.paths:
        for room in (Point(188, 200), Point(128, 112), Point(70, 60)):
            yield path_drawing(job, part, path, room, view)


def test_no_word_is_cut_off():
    for picture in pictures():
        for item in picture.items:
            if not isinstance(item, Words):
                continue
            wide = 0.85 * text_width(item.text, item.size)  # what words usually need
            start = {"start": 0.0, "middle": -wide / 2, "end": -wide}[item.anchor]
            way = Point(math.cos(item.angle), math.sin(item.angle))
            for end in (item.at.plus(way, start), item.at.plus(way, start + wide)):
                assert -0.5 <= end.x <= picture.width + 0.5, item.text
                assert -0.5 <= end.y <= picture.height + 0.5, item.text


def test_no_word_is_smaller_than_7_points():
    for picture in pictures():
        for item in picture.items:
            if isinstance(item, Words):
                assert item.size * 72 / 25.4 >= 7


def test_many_tools_stand_in_rows_that_fit_the_page():
    rows = tool_drawings(bracket.job().tools * 7, "inch", Point(188, 75))
    assert len(rows) > 1
    assert all(row.width <= 188 and row.factor >= 0.5 for row in rows)
    numbers = [
        text
        for row in rows
        for text in said(row.items)
        if text.startswith("T") and text[1:].isdigit()
    ]
    assert len(numbers) == 7 * len(bracket.job().tools)
