"""Drilled holes stand on the drawing and in the list, each place once, as finally drilled."""

import sys
from dataclasses import replace
from pathlib import Path

import pytest

from compiler.geometry import Point
from compiler.job import Pass
from compiler.pictures.display import Words
from compiler.pictures.holes import holes, on_each_part
from compiler.pictures.part_view import plan_drawing
from compiler.sheet.say import Say
from compiler.sheet.setup import drilled

sys.path.insert(0, str(Path(__file__).parent.parent / "sheet"))

import bracket

FEET = (Point(10, 10), Point(150, 10))


def drill(name, at, to, cycle="plain", tool="T3"):
    return Pass(kind="drill", name=name, tool=tool, at=at, to=to, cycle=cycle, origin=bracket.SPAN)


@pytest.fixture
def job():
    """Two feet spotted with T2 (0.25 in), drilled with T3 (0.375 in); one place spotted only."""
    passes = (
        drill("spots", (*FEET, Point(80, 10)), -1.0, "spot", "T2"),
        drill("feet", FEET, -20.0),
    )
    return replace(bracket.job(units="mm"), passes=passes)


def test_each_place_is_told_once(job):
    found = {tuple(hole.at): hole for hole in holes(job)}
    assert len(found) == 3
    assert [found[10, 10].name, found[10, 10].is_spot] == ["feet", False]
    assert found[10, 10].diameter == pytest.approx(0.375 * 25.4)
    assert found[80, 10].is_spot


def test_places_count_from_the_datum(job):
    moved = replace(job, datum=replace(job.datum, at=Point(5, 2)))
    assert Point(5, 8) in [hole.at for hole in holes(moved)]


def test_the_drawing_names_and_measures_them(job):
    picture = plan_drawing(job, bracket.part(), ("1:1", 1.0))
    said = [item.text for item in picture.items if isinstance(item, Words)]
    assert "2 × Ø9.525" in said
    assert "spot" in said
    assert {"10", "150", "80"} <= set(said)  # running values of their centres


def test_every_part_on_the_table_has_them(job):
    places = (Point(0, 0), Point(200, 0), Point(0, 150))
    picture = plan_drawing(job, bracket.part(), ("1:1", 1.0), places=places)
    said = [item.text for item in picture.items if isinstance(item, Words)]
    assert "6 × Ø9.525" in said
    assert "3 × spot" in said
    spread = on_each_part(holes(job), places)
    assert len(spread) == 3 * len(holes(job))
    assert Point(210, 10) in [hole.at for hole in spread]


def test_the_list_has_a_row_a_place(job):
    (table,) = drilled(job, bracket.part(), Say("mm")).parts
    assert sorted(row[1:] for row in table.rows) == [
        ("feet", "Ø9.525", "10.000", "10.000", "-20.000"),
        ("feet", "Ø9.525", "150.000", "10.000", "-20.000"),
        ("spots", "spot of Ø6.35", "80.000", "10.000", "-1.000"),
    ]


def test_a_job_without_holes_has_no_list():
    assert not drilled(bracket.job(), bracket.part(), Say("inch")).parts
