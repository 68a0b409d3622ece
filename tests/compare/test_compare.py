"""What changes between two jobs: values as quantities, outlines by distance, the cut by figures."""

import json
import math
import xml.etree.ElementTree as ET
from pathlib import Path

import jsonschema
import pytest
from conftest import ROOT
from small_plate import JOB, changed, job

from compiler.compare.compare import Compiled, compare
from compiler.compare.markdown import as_markdown
from compiler.compare.model import Difference, Margin
from compiler.compare.picture import as_svg
from compiler.compare.text import as_text
from compiler.compare.words import margin_words
from compiler.road import plan_job, prove_job
from compiler.spec.load import load_job


def compiled(folder: Path, text: str, name: str, whole: bool = False) -> Compiled:
    path = job(folder, text, name)
    journey = (prove_job if whole else plan_job)(path, folder)
    assert journey.loaded is not None, journey.findings
    return Compiled(
        said=name,
        loaded=journey.loaded,
        part=journey.part,
        plan=journey.plan,
        report=journey.report,
        program=journey.written.text if journey.written else None,
    )


def difference(folder: Path, new: str, old: str = JOB, whole: bool = False) -> Difference:
    one = compiled(folder, old, "a.yaml", whole)
    return compare(one, compiled(folder, new, "b.yaml", whole))


def keys(found: Difference) -> dict[str, tuple[str | None, str | None]]:
    return {change.key: (change.before, change.after) for change in found.values}


def test_margins_are_told_in_the_units_of_the_job() -> None:
    # 1 kW is 1.3410 hp of 745.6999 W (NIST SP 811 appendix B.8)
    power = Margin(
        name="load_held", unit="kW", before=1.0, after=2.0, held_before=True, held_after=True
    )
    assert margin_words(power, "inch") == "1.3410 hp → 2.6820 hp"
    assert margin_words(power, "mm") == "1.0000 kW → 2.0000 kW"


SAME = {
    "comments": changed(("units: mm", "units: mm  # millimetres\n# a remark")),
    "order of keys": changed(
        ("title: Pier plate\nunits: mm\n", ""), ("passes:", "units: mm\ntitle: Pier plate\npasses:")
    ),
    "spelling of lengths": changed(
        ("diameter: 16", "diameter: 1.6 cm"), ("to: -3", "to: -3.000 mm"), ("22,", "0.022 m,")
    ),
    "flow and block": changed(
        ("stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}",
         "stock:\n  thickness: 12\n  outline:\n    rectangle:\n      from: [0, 0]\n"
         "      to:\n        - 60\n        - 40")
    ),
    "a default written out": changed(("thickness: 12}", "thickness: 12, top: 0}")),
    "quotes": changed(("title: Pier plate", 'title: "Pier plate"')),
}  # fmt: skip


@pytest.mark.parametrize("name", SAME)
def test_what_means_the_same_is_no_change(tmp_path: Path, name: str) -> None:
    found = difference(tmp_path, SAME[name])
    assert found.is_empty, as_text(found)
    assert found.unchanged_values > 20
    assert found.before.digest == found.after.digest


def test_values_are_shown_with_their_units_and_places(tmp_path: Path) -> None:
    found = difference(
        tmp_path, changed(("to: -3", "to: -4"), ("diameter: 16", "diameter: 5/8 in"))
    )
    assert keys(found) == {
        "keep_regions.boss.circle.diameter": ("16 mm", "5/8 in"),
        'passes["rough 1"].rough.to': ("-3 mm", "-4 mm"),
    }
    assert found.values[0].set_by_after == "b.yaml:9"
    total = found.unchanged_values + len(found.values)
    assert total == difference(tmp_path, JOB).unchanged_values


def test_a_pass_put_between_leaves_the_others_alone(tmp_path: Path) -> None:
    found = difference(
        tmp_path, changed(("  - finish_walls", "  - finish_floor: {tool: T1}\n  - finish_walls"))
    )
    assert keys(found) == {'passes["finish_floor 1"]': (None, "finish_floor, 1 value")}
    assert {o.name: o.what for o in found.operations} == {
        "rough 1": "changed",  # it leaves the floor's allowance now
        "finish_floor 1": "added",
    }
    assert found.unchanged_operations == 1


def test_what_goes_is_told_as_a_whole(tmp_path: Path) -> None:
    lug = "  lug: {rectangle: {from: [40, 10], to: [50, 20]}, top: -1}\n"
    found = difference(tmp_path, changed((lug, "")))
    assert keys(found) == {"keep_regions.lug": ("rectangle, 3 values", None)}
    assert [(r.name, r.what) for r in found.regions] == [("lug", "removed")]


def test_a_region_that_moved_is_told_by_how_much(tmp_path: Path) -> None:
    found = difference(
        tmp_path, changed(("from: [40, 10], to: [50, 20]", "from: [43, 14], to: [53, 24]"))
    )
    (lug,) = found.regions
    assert (lug.name, lug.what, lug.moved_mm, lug.differs_mm) == ("lug", "moved", (3.0, 4.0), 5.0)
    assert found.unchanged_regions == 2  # the boss and the stock


# an outline and another, and their Hausdorff distance in closed form
SHAPES = {
    "a circle grows": ("circle: {centre: [20, 20], diameter: 16}",
                       "circle: {centre: [20, 20], diameter: 17}", 0.5),
    "and moves": ("circle: {centre: [20, 20], diameter: 16}",
                  "circle: {centre: [20.3, 20.4], diameter: 18}", 1.5),
    "a rectangle grows": ("rectangle: {from: [40, 10], to: [50, 20]}",
                          "rectangle: {from: [39, 9], to: [51, 21]}", math.sqrt(2)),
    "a corner is rounded": ("to: [50, 20]}", "to: [50, 20], corner_radius: 2}",
                            2 * (math.sqrt(2) - 1)),
    "a side moves": ("to: [50, 20]}", "to: [50, 20.25]}", 0.25),
}  # fmt: skip


@pytest.mark.parametrize("name", SHAPES)
def test_how_far_outlines_differ(tmp_path: Path, name: str) -> None:
    """Outside check: distances that follow from the shapes in closed form."""
    old, new, expected = SHAPES[name]
    (change,) = difference(tmp_path, changed((old, new))).regions
    assert change.what == "reshaped"
    assert change.differs_mm == pytest.approx(expected, abs=0.002)


def test_heights_and_the_datum_count(tmp_path: Path) -> None:
    found = difference(tmp_path, changed(("top: -1}", "top: -2}")))
    (lug,) = found.regions
    assert (lug.what, lug.top_before_mm, lug.top_after_mm) == ("height", -1.0, -2.0)
    moved = difference(tmp_path, changed(("tools:", "datum: {at: [1, 0]}\ntools:")))
    assert {r.name: r.moved_mm for r in moved.regions} == dict.fromkeys(
        ("(stock)", "boss", "lug"), (-1.0, 0.0)
    )


def test_the_same_job_in_other_units_stands_the_same(tmp_path: Path) -> None:
    inch = changed(
        ("units: mm", "units: inch"),
        ("[0, 0], to: [60, 40]", '[0, 0], to: ["60 mm", "40 mm"]'),
        ("thickness: 12", "thickness: 12 mm"),
        ("centre: [20, 20], diameter: 16", 'centre: ["20 mm", "20 mm"], diameter: 16 mm'),
        ("from: [40, 10], to: [50, 20]}, top: -1",
         'from: ["40 mm", "10 mm"], to: ["50 mm", "20 mm"]}, top: -1 mm'),
        ("diameter: 10, flutes: 3, flute_length: 22, stickout: 30",
         "diameter: 10 mm, flutes: 3, flute_length: 22 mm, stickout: 30 mm"),
        ("to: -3, pattern: contour_parallel, radial_depth: 4",
         "to: -3 mm, pattern: contour_parallel, radial_depth: 4 mm"),
        ("tools:", "heights: {clearance: 2.5 mm, approach: 1.3 mm}\ntools:"),
    )  # fmt: skip
    found = difference(tmp_path, inch)
    assert set(keys(found)) == {"units"}
    assert found.regions == () and found.unchanged_regions == 3


def test_the_cut_is_compared_by_figures(tmp_path: Path) -> None:
    new = changed(
        ("radial_depth: 4", "radial_depth: 3"), ("name: walls,", "name: walls, spring_passes: 1,")
    )
    found = difference(tmp_path, new, whole=True)
    assert found.compared == "the cut" and found.same_program is False
    figures = {o.name: {f.name: (f.before, f.after) for f in o.figures} for o in found.operations}
    assert figures["rough 1"]["radial depth"] == ("4 mm", "3 mm")
    assert figures["walls"]["spring passes"] == ("0", "1")
    assert "time" in figures["rough 1"] and "time" in figures["walls"]
    assert {"time", "program"} <= {figure.name for figure in found.totals}
    assert found.unchanged_margins + len(found.margins) == 11
    text = as_text(found)
    assert "radial depth 4 mm → 3 mm" in text and "unchanged: " in text


def test_a_change_of_words_is_the_same_program(tmp_path: Path) -> None:
    found = difference(tmp_path, changed(("title: Pier plate", "title: Pier")), whole=True)
    assert keys(found) == {"title": ("Pier plate", "Pier")}
    assert found.same_program is True
    assert (found.operations, found.margins) == ((), ())


def test_json_fits_its_published_schema(tmp_path: Path) -> None:
    found = difference(tmp_path, changed(("to: -3", "to: -4")))
    schema = json.loads((ROOT / "schemas" / "diff.schema.json").read_text())
    jsonschema.Draft202012Validator.check_schema(schema)
    jsonschema.validate(json.loads(found.model_dump_json()), schema)


def test_markdown_lets_no_markup_out_of_a_spec(tmp_path: Path) -> None:
    nasty = '"Pier | <b>plate</b> [x](http://y) @everyone `z`"'
    found = difference(tmp_path, changed(("title: Pier plate", f"title: {nasty}")))
    text = as_markdown(found)
    row = next(line for line in text.splitlines() if line.startswith("| `title`"))
    assert row.replace("\\|", "").count("|") == 5  # four cells
    assert "\\<b\\>" in row and "\\[x\\]" in row and "@everyone" not in row
    assert "Unchanged: " in text


def test_the_picture_lays_the_old_under_the_new(tmp_path: Path) -> None:
    new = changed(("centre: [20, 20], diameter: 16", "centre: [22, 20], diameter: 18"))
    one, two = compiled(tmp_path, JOB, "a.yaml"), compiled(tmp_path, new, "b.yaml")
    assert one.part is not None and two.part is not None
    found = compare(one, two)
    picture = as_svg(found, one.part, two.part)
    assert picture == as_svg(found, one.part, two.part)
    root = ET.fromstring(picture)
    space = "{http://www.w3.org/2000/svg}"
    assert [text.text for text in root.iter(f"{space}text")].count("boss") == 1
    paths = [path for path in root.iter(f"{space}path") if "A" in path.get("d", "")]
    dashed = [path for path in paths if path.get("stroke-dasharray") == "1.6 1"]
    assert len(dashed) == 1  # the boss as it was
    order = list(root.iter(f"{space}path"))
    new_boss = next(p for p in paths if p.get("stroke-width") == "0.5" and p.get("fill") == "none")
    assert order.index(dashed[0]) < order.index(new_boss)


def test_jobs_that_fall_short_are_compared_as_far_as_they_come(tmp_path: Path) -> None:
    one = compiled(tmp_path, JOB, "a.yaml")
    path = job(tmp_path, changed(("to: -3", "to: -11.9")), "b.yaml")
    loaded = load_job(path, tmp_path).value
    assert loaded is not None
    found = compare(one, Compiled(said="b.yaml", loaded=loaded))
    assert found.compared == "values"
    assert "by values only" in as_text(found)


def test_a_rail_with_nothing_in_both_stocks_is_still_compared(tmp_path: Path) -> None:
    """Two stocks that share no part of the rail: there is no distance, and no fault."""
    rail = "rail: {open: {path: {start: [%d, 0], steps: [{line: [%d, 40]}]}, stands: right}}"
    boss = "keep_regions:\n  boss: {circle: {centre: [16, 20], diameter: 12}}\n  "
    head, _, rest = JOB.partition("keep_regions:")
    tail = rest[rest.index("\ntools:") :]
    wide = head + boss + rail % (50, 50) + tail
    narrow = (head + boss + rail % (30, 30) + tail).replace("to: [60, 40]", "to: [40, 40]")
    found = difference(tmp_path, narrow, wide)
    (change,) = [each for each in found.regions if each.name == "rail"]
    assert change.what == "reshaped" and change.differs_mm is None
    assert "nothing of it stands in both stocks" in as_text(found)
    assert json.loads(found.model_dump_json())
