"""Pictures of the evidence: what is left by depth, and engagement along the path."""

import io
import re
from itertools import pairwise
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import shapely
from conftest import example
from PIL import Image

from compiler.geometry import Line, Point
from compiler.pictures.bands import bands
from compiler.pictures.display import Pen, Picture, Run, Words
from compiler.pictures.engagement_view import CLASSES, engagement_drawing
from compiler.pictures.gallery import ROOM, gallery
from compiler.pictures.png import png
from compiler.pictures.stock_view import stock_drawing
from compiler.pictures.svg import svg
from compiler.simulate.raster import AIR, Grid

PLATE = """\
spec: job/1
name: plate
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [36, 24]}}, thickness: 10}
keep_regions: {boss: {circle: {centre: [18, 12], diameter: 12}}}
tools: {T1: {end_mill: {diameter: 8, flutes: 3, flute_length: 16, material: carbide}}}
passes: [{rough: {tool: T1, to: -2, pattern: contour_parallel}}, {finish_walls: {tool: T1}}]
"""


def words(picture: Picture) -> list[str]:
    return [item.text for item in picture.items if isinstance(item, Words)]


def test_bands_cover_the_stock_and_nest() -> None:
    grid = Grid(0.0, 0.0, 0.5, 40, 30)
    stock = np.ones((30, 40), dtype=bool)
    heights = np.zeros((30, 40), dtype=np.float32)
    heights[5:20, 5:30] = -3
    heights[8:12, 8:12] = -6.004  # is drawn at -6
    heights[22:26, 22:30] = AIR
    found = bands(heights, stock, grid)
    assert [band.z for band in found] == [0.0, -3.0, -6.0, None]
    assert sum(band.area for band in found) == pytest.approx(40 * 30 * 0.25)
    assert found[2].area == pytest.approx(16 * 0.25)
    for outer, inner in pairwise(found):
        assert shapely.covers(shapely.buffer(outer.nested, 0.3), inner.nested)
    assert found[0].nested.area == pytest.approx(40 * 30 * 0.25, rel=0.01)


def test_material_names_each_depth_with_its_area() -> None:
    r = example("saddle-plate")
    assert r.case and r.report
    picture = stock_drawing(r.case, r.report.leftovers, ROOM)
    said = words(picture)
    assert {"before", "after", "to stand", "holds the work"} <= set(said)
    legend = [text for text in said if re.match(r"Z -?[\d.]+ mm, \d+ mm²$", text)]
    assert any(text.startswith("Z -8.00 mm") for text in legend) and len(legend) >= 3
    area = sum(float(re.findall(r"(\d+) mm²", text)[0]) for text in legend)
    assert area == pytest.approx(r.case.part.stock.area, rel=0.01)
    assert "stays: no cutter of the job reaches it" in said


def test_engagement_is_told_by_width_and_the_peak_by_its_line() -> None:
    r = example("eyepiece-bracket")
    assert r.case and r.plan and r.report
    shown = 0
    for operation in r.plan.operations:
        picture = engagement_drawing(r.case, operation, ROOM)
        facts = next(f for f in r.report.operations if f.operation == operation.id)
        if picture is None:
            assert not facts.peak_engagement_deg
            continue
        shown += 1
        peak = next(text for text in words(picture) if " deg, line " in text)
        assert float(peak.split()[0]) == pytest.approx(facts.peak_engagement_deg, abs=0.06)
        line = int(peak.rsplit(" ", 1)[1])
        assert facts.first_line <= line <= facts.last_line
        # what is drawn is as long as what was measured
        pens = {pen for _, pen in CLASSES}
        drawn = sum(
            segment.length / picture.factor
            for item in picture.items
            if isinstance(item, Run) and item.pen in pens and not item.closed
            for run in item.runs
            for segment in run
        )
        own = [r.case.owner(m.line) == operation.id for m in r.case.motions]
        samples = r.case.cut.samples
        at = np.array(own)[samples.motion] & (samples.angle > 0.01)
        assert drawn == pytest.approx(samples.length[at].sum() + _legend_lines(picture), rel=0.02)
    assert shown >= 2


def _legend_lines(picture: Picture) -> float:
    """The legend's five samples, mm of work."""
    return 9.0 * len(CLASSES) / picture.factor


def test_classes_differ_in_width_and_in_grey() -> None:
    widths = [pen.width for _, pen in CLASSES]
    greys = [pen.grey for _, pen in CLASSES]
    assert all(b >= 1.5 * a for a, b in pairwise(widths))
    assert greys == sorted(greys, reverse=True)


def test_every_picture_is_svg_within_its_edges_and_the_same_again() -> None:
    r = example("finder-bracket")
    assert r.job and r.part and r.plan and r.motions and r.case and r.report
    made = list(gallery(r.job, r.part, r.plan, r.motions, r.case, r.report.leftovers))
    names = [name for name, _, _ in made]
    assert names[0] == "plan" and names[-1] == "material" and len(set(names)) == len(names)
    for (_, picture, title), (_, again, _) in zip(
        made, gallery(r.job, r.part, r.plan, r.motions, r.case, r.report.leftovers), strict=True
    ):
        text = svg(picture, title)
        assert text == svg(again, title)
        ElementTree.fromstring(text)
        for item in picture.items:
            if isinstance(item, Words):
                assert -4 <= item.at.x <= picture.width + 4
                assert -4 <= item.at.y <= picture.height + 4


def test_png_shows_what_the_display_list_says() -> None:
    square = [Point(10, 10), Point(30, 10), Point(30, 30), Point(10, 30)]
    hole = [Point(15, 15), Point(25, 15), Point(25, 25), Point(15, 25)]

    def ring(points: list[Point]) -> tuple[Line, ...]:
        return tuple(Line(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True))

    dashed = Run(((Line(Point(0, 5), Point(40, 5)),),), Pen(1.0, (4.0, 4.0)))
    filled = Run((ring(square), ring(hole)), None, fill=0.5, closed=True)
    clipped = Run((ring(square),), None, fill=0.0, closed=True, within=(ring(hole),))
    picture = Picture(40.0, 40.0, (filled, dashed), 1.0)
    data = png(picture, "a test", dpi=254)
    assert data == png(picture, "a test", dpi=254)
    image = Image.open(io.BytesIO(data))
    assert image.size == (480, 480) and image.info["Title"] == "a test"

    def grey(x: float, y: float, of: Image.Image = image) -> int:
        return of.getpixel((round((x + 4) * 10), round((40 - y + 4) * 10)))

    assert (grey(12, 12), grey(20, 20), grey(35, 35)) == (128, 255, 255)  # even-odd
    assert (grey(2, 5), grey(6, 5), grey(10, 5)) == (0, 255, 0)  # dash, gap, dash
    inner = Image.open(io.BytesIO(png(Picture(40.0, 40.0, (clipped,), 1.0), "", dpi=254)))
    assert (grey(20, 20, inner), grey(12, 12, inner)) == (0, 255)


def test_png_where_asked(standproud, tmp_path: Path) -> None:
    spec, out = tmp_path / "plate.yaml", tmp_path / "out"
    spec.write_text(PLATE, encoding="utf-8")
    ran = standproud("build", spec, "--pictures", "both")
    assert ran.status == 0, ran.err
    drawn = {file.name for file in out.glob("*.svg")}
    painted = {file.name for file in out.glob("*.png")}
    assert {name[:-4] for name in drawn} == {name[:-4] for name in painted} and len(drawn) >= 5
    # another form is another build; without it the pictures go
    assert "up to date" in standproud("build", spec, "--pictures", "both").out
    assert standproud("build", spec).status == 0
    assert not list(out.glob("*.png"))
