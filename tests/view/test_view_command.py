"""`view` on the command line: one file, whole or not at all, over nothing but an earlier page."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

SMALL = """\
spec: job/1
name: small
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [24, 20]}}, thickness: 10}
workholding: {lowest_cut: -4}
keep_regions: {boss: {circle: {centre: [12, 10], diameter: 8}}}
tools: {T1: {end_mill: {diameter: 8, flutes: 3, flute_length: 20, stickout: 30, material: carbide}}}
passes:
  - rough: {tool: T1, to: -2, pattern: contour_parallel, radial_depth: 40%}
"""


@pytest.fixture
def spec(tmp_path: Path) -> Path:
    """A job that is quick to prove."""
    path = tmp_path / "small.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page") / "deep" / "cut.html"


def test_writes_one_page_and_writes_it_again(standproud, spec, made):
    ran = standproud("view", spec, "-o", made)
    assert ran.status == 0, ran.err
    assert "cut.html" in ran.out
    first = made.read_bytes()
    assert first.startswith(b"<!doctype html>")
    assert [path.name for path in made.parent.iterdir()] == ["cut.html"]
    ran = standproud("view", spec, "-o", made, "--format", "json")
    assert json.loads(ran.out)["file"] == made.as_posix()
    assert made.read_bytes() == first


def test_spares_what_is_not_its_own(standproud, spec, tmp_path):
    other = tmp_path / "notes.html"
    other.write_text("<html>mine</html>")
    ran = standproud("view", spec, "-o", other)
    assert ran.status == 2
    assert "E604" in ran.err
    assert other.read_text() == "<html>mine</html>"


def test_a_missing_spec_and_a_broken_one(standproud, tmp_path):
    assert standproud("view", tmp_path / "none.yaml").status == 2
    broken = tmp_path / "broken.yaml"
    broken.write_text("spec: job/1\nname: x\n")
    ran = standproud("view", broken, "-o", tmp_path / "x.html")
    assert ran.status == 1
    assert not (tmp_path / "x.html").exists()


def test_a_folder_in_the_way_is_said(standproud, spec, tmp_path):
    (tmp_path / "taken").write_text("")
    ran = standproud("view", spec, "-o", tmp_path / "taken" / "x.html")
    assert ran.status == 2
    assert "E605" in ran.err
