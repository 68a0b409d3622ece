"""Copies and unions of many: right, bounded, and never a matter of minutes."""

import math
import time
from pathlib import Path

import pytest
from spec_folder import BASE, BOSS, job_of, load_text

from compiler.geometry import Region

NESTED = (
    "{any_of: [{circle: {centre: [3, 3], radius: 1},"
    " repeat: {grid: {count: [20, 20], pitch: [3, 3]}}}],"
    " repeat: {grid: {count: [20, 20], pitch: [70, 70]}}}"
)


def region(folder: Path, shape: str) -> Region:
    found = job_of(folder, BASE.replace(BOSS, shape)).keep_regions[0].shape
    assert isinstance(found, Region)
    return found


@pytest.mark.parametrize(("columns", "rows"), [(1, 1), (4, 4), (17, 1), (6, 7)])
def test_copies_apart(tmp_path: Path, columns: int, rows: int) -> None:
    grid = f"{{grid: {{count: [{columns}, {rows}], pitch: [3, 3]}}}}"
    found = region(tmp_path, f"{{circle: {{centre: [0, 0], radius: 1}}, repeat: {grid}}}")
    assert len(found.outlines) == columns * rows
    # area of circles that do not meet: plane geometry, derived
    assert found.area == pytest.approx(columns * rows * math.pi, rel=1e-9)


def test_copies_that_overlap_are_one(tmp_path: Path) -> None:
    # circles of radius 5 with centres 1 apart: a full circle and 19 strips between neighbours,
    # each the circle less the lens with its neighbour; lens area by plane geometry, derived
    lens = 2 * 25 * math.acos(0.1) - 0.5 * math.sqrt(100 - 1)
    start = time.perf_counter()
    found = region(
        tmp_path,
        "{circle: {centre: [0, 0], radius: 5}, repeat: {grid: {count: [20, 1], pitch: [1, 0]}}}",
    )
    assert time.perf_counter() - start < 3
    assert len(found.outlines) == 1
    assert found.area == pytest.approx(25 * math.pi * 20 - 19 * lens, rel=1e-9)


def test_copies_of_copies_are_bounded(tmp_path: Path) -> None:
    start = time.perf_counter()
    read = load_text(tmp_path, BASE.replace(BOSS, NESTED))
    assert [found.code for found in read.findings] == ["E216"]
    assert time.perf_counter() - start < 5


def test_a_ring_turns_its_copies(tmp_path: Path) -> None:
    ring = "{ring: {centre: [0, 0], count: 4, radius: 10}}"
    found = region(tmp_path, f"{{rectangle: {{from: [0, 0], to: [4, 2]}}, repeat: {ring}}}")
    widths = sorted(
        (round(x1 - x0, 9), round(y1 - y0, 9))
        for x0, y0, x1, y1 in (o.bounds for o in found.outlines)
    )
    assert widths == [(2, 4), (2, 4), (4, 2), (4, 2)]
    assert found.bounds == pytest.approx((-12, -12, 12, 12))
