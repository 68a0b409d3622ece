"""The first-article list: which sizes, and their limits."""

from dataclasses import replace

import bracket
import pytest

from compiler.geometry import Point
from compiler.geometry.build import circle, rectangle
from compiler.geometry.combine import difference
from compiler.geometry.region import Region
from compiler.geometry.transform import turned
from compiler.job import Inspection
from compiler.sheet.content import Table
from compiler.sheet.first_article import first_article
from compiler.sheet.say import Say
from compiler.sheet.sizes import sizes


def rows(general=None, units="mm", inspection=(), part=None, floor=-12.7):
    job = replace(bracket.job(units=units), general_tolerance=general, inspection=inspection)
    section = first_article(job, part or bracket.part(), floor, Say(units))
    (table,) = section.parts
    return [row[1:6] for row in table.rows] if isinstance(table, Table) else []


def asked(nominal, plus=None, minus=None, what="Slot"):
    return (Inspection(what=what, nominal=nominal, plus=plus, minus=minus),)


def test_45_mm_medium():
    """ISO 2768-m allows 45 mm 0.3 either way: 44.7 to 45.3."""
    assert rows("m", inspection=asked(45))[0] == (
        *("Slot", "45.000", "44.700", "45.300", "ISO 2768-m"),
    )


def test_a_length_either_way():
    assert rows(0.1, inspection=asked(45))[0][1:] == ("45.000", "44.900", "45.100", "± 0.1 mm")


def test_the_rows_own_limits_win():
    found = rows("m", inspection=asked(45, plus=0.02, minus=0.0))
    assert found[0][1:] == ("45.000", "45.000", "45.020", "job")


def test_without_any_tolerance_no_limit_is_made_up():
    assert rows(inspection=asked(45))[0][2:] == ("", "", "not given")
    assert rows("v", inspection=asked(2))[0][2:] == ("", "", "not given")  # the table has none


def test_limits_are_rounded_inwards():
    """0.3 mm is 0.011811 in: 0.0118 of it is allowed, not 0.0119, and never 0.01182."""
    found = rows("m", units="inch", inspection=asked(45))  # 1.771654 in
    assert found[0][1:4] == ("1.7717", "1.7599", "1.7834")
    assert 1.7599 >= 44.7 / 25.4 and 1.7834 <= 45.3 / 25.4


def test_a_wall_may_lie_off_so_a_diameter_twice_that():
    """The boss, 1.8 in across, its wall within 0.002 in."""
    found = {row[0]: row[1:4] for row in rows(units="inch")}
    assert found["boss: diameter"] == ("1.8000", "1.7960", "1.8040")


def test_sizes_are_listed_once():
    job_row = asked(1.8 * 25.4, 0.05, 0.05, what="Boss diameter")
    assert not any("boss: diameter" in row[0] for row in rows(inspection=job_row))


def test_a_bore_that_is_asked_for_is_listed_once():
    """`Bore` names the only one of its size, whatever the region is called."""
    boss = next(s for s in bracket.part().standing if s.name == "boss")
    hole = circle(Point(45, 60), 12)
    ring = replace(boss, region=Region((circle(Point(45, 60), 20), hole.reversed())))
    part = replace(bracket.part(), standing=(ring,))
    assert any("boss: bore" in row[0] for row in rows("m", part=part))
    found = rows("m", part=part, inspection=asked(24, 0.05, 0.05, what="Bore"))
    assert [row[0] for row in found if "ore" in row[0]] == ["Bore"]
    other = rows("m", part=part, inspection=asked(23, 0.05, 0.05, what="Bore"))
    assert any("boss: bore" in row[0] for row in other)


def test_with_a_general_tolerance_all_regions_and_the_floor_are_listed():
    said = [row[0] for row in rows("m")]
    assert {"lug: along X", "lug: along Y"} <= {row.split(", 2")[0] for row in said}
    assert "lug: top below the stock's upper face" in said
    assert "floor below the stock's upper face" in said
    assert not any(row.startswith("rail") for row in said)  # open: nothing to put a gauge across


def test_corners_are_not_measured():
    """A square on its tip has no width between faces along X or Y."""
    square = Region((rectangle(Point(0, 0), Point(10, 10)),))
    part = bracket.part()
    tip = replace(part.standing[0], region=turned(square, 0.785, Point(5, 5)))
    found = sizes(replace(part, standing=(tip,)), part.stock_top)
    assert found == ()


def clamp(gap: float):
    """A ring of 40 outside and 24 inside with a gap at its right."""
    ring = difference(
        Region((circle(Point(0, 0), 20), circle(Point(0, 0), 12).reversed())),
        Region((rectangle(Point(0, -gap / 2), Point(30, gap / 2)),)),
    )
    part = bracket.part()
    boss = next(s for s in part.standing if s.name == "boss")
    return replace(part, standing=(replace(boss, name="clamp", region=ring, tolerance=0.1),))


def test_a_ring_with_a_gap_has_its_diameters():
    """Not a width: across the gap there is none, and along Y it is the diameter again."""
    part = clamp(gap=6)
    found = {(s.what, round(s.nominal, 9)) for s in sizes(part, part.stock_top)}
    assert found == {("diameter", 40), ("bore", 24)}
    outside = asked(40, 0.1, 0.1, what="Outside diameter")
    assert [row[0] for row in rows(part=part, inspection=outside)][1:] == [
        "clamp: bore",
    ]


def test_less_than_most_of_a_circle_has_no_diameter():
    """The gap nearly as wide as the ring: no gauge finds two faces across the middle."""
    part = clamp(gap=39.9)
    assert not any(s.what in ("diameter", "bore") for s in sizes(part, part.stock_top))


def test_a_tolerance_that_no_size_shows_is_not_lost():
    square = Region((rectangle(Point(0, 0), Point(10, 10)),))
    part = bracket.part()
    tip = replace(part.standing[0], region=turned(square, 0.785, Point(5, 5)), tolerance=0.1)
    found = rows(part=replace(part, standing=(tip,)))
    assert found == [(f"{tip.name}: walls against the drawing", "", "-0.100", "+0.100", WALLS)]


WALLS = "region's walls"


@pytest.mark.parametrize("count", [2, 60])
def test_equal_sizes_share_a_row(count):
    part = bracket.part()
    boss = next(s for s in part.standing if s.name == "boss")
    many = tuple(replace(boss, name=f"boss {n}") for n in range(count))
    found = rows("m", part=replace(part, standing=many))
    assert sum("diameter" in row[0] for row in found) == 1
    assert f"{count} ×" in found[0][0]
