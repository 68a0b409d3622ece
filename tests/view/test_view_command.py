"""`view` on the command line: one file, whole or not at all, over nothing but an earlier page."""

from __future__ import annotations

import json
from pathlib import Path

import pytest


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("page") / "deep" / "cut.html"


def test_writes_one_page_and_writes_it_again(standproud, specs, made):
    spec = specs / "guider-plate-drawn.yaml"
    ran = standproud("view", spec, "-o", made)
    assert ran.status == 0, ran.err
    assert "cut.html" in ran.out
    first = made.read_bytes()
    assert first.startswith(b"<!doctype html>")
    assert [path.name for path in made.parent.iterdir()] == ["cut.html"]
    ran = standproud("view", spec, "-o", made, "--format", "json")
    assert json.loads(ran.out)["file"] == made.as_posix()
    assert made.read_bytes() == first


def test_spares_what_is_not_its_own(standproud, specs, tmp_path):
    other = tmp_path / "notes.html"
    other.write_text("<html>mine</html>")
    ran = standproud("view", specs / "guider-plate-drawn.yaml", "-o", other)
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


def test_a_folder_in_the_way_is_said(standproud, specs, tmp_path):
    (tmp_path / "taken").write_text("")
    ran = standproud("view", specs / "guider-plate-drawn.yaml", "-o", tmp_path / "taken" / "x.html")
    assert ran.status == 2
    assert "E605" in ran.err
