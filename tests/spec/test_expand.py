"""The expanded job is a job, compiles to the same digest, and says where each value came from."""

import json
import re
from pathlib import Path

import pytest
import whole_job
from conftest import ROOT
from spec_folder import BASE, load_text, write_data

from compiler.spec.expand import expand, expand_data
from compiler.spec.load import Loaded, load_job

JOBS = sorted(
    path
    for path in (ROOT / "specs").glob("*.yaml")
    if path.read_text(encoding="utf-8").find("spec: job/1") >= 0
)


def loaded(read_from: Path, root: Path) -> Loaded:
    read = load_job(read_from, root)
    assert read.value is not None, [(f.code, f.message, f.path) for f in read.findings]
    return read.value


@pytest.mark.parametrize("file", JOBS, ids=lambda file: file.stem)
def test_expanded_specs_compile_to_the_same(file: Path, tmp_path: Path) -> None:
    if "model:" in file.read_text(encoding="utf-8"):
        pytest.importorskip("OCP", reason="reading a model needs the extra `solid`")
    first = loaded(file, ROOT)
    if "drawing" in expand(first) or "from:" in file.read_text(encoding="utf-8"):
        pytest.skip("names files that are not beside the expanded job")
    (tmp_path / "expanded.yaml").write_text(expand(first), encoding="utf-8")
    assert loaded(tmp_path / "expanded.yaml", tmp_path).job.digest == first.job.digest


@pytest.mark.parametrize("units", ["inch", "mm"])
def test_a_whole_job_in_other_units_than_its_shop(units: str, tmp_path: Path) -> None:
    write_data(tmp_path, "shop.yaml", {**whole_job.SHOP, "units": units})
    first = loaded(write_data(tmp_path, "job.yaml", whole_job.JOB), tmp_path)
    (tmp_path / "expanded.yaml").write_text(expand(first), encoding="utf-8")
    again = loaded(tmp_path / "expanded.yaml", tmp_path)
    assert again.job.digest == first.job.digest
    (tmp_path / "twice.yaml").write_text(expand(again), encoding="utf-8")
    assert loaded(tmp_path / "twice.yaml", tmp_path).job.digest == first.job.digest


def test_built_in_machine_and_material(tmp_path: Path) -> None:
    read = load_text(tmp_path, BASE)
    assert read.value is not None
    text = expand(read.value)
    assert "name: knee_mill" in text and "# built in" in text
    again = load_text(tmp_path, text, "expanded.yaml")
    assert again.value is not None, [(f.code, f.message) for f in again.findings]
    assert again.value.job.digest == read.value.job.digest


def test_each_value_says_what_set_it(tmp_path: Path) -> None:
    write_data(tmp_path, "shop.yaml", whole_job.SHOP)
    text = BASE.replace("machine: knee_mill", "shop: shop.yaml\nmachine: mill").replace(
        "{end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 32, material: carbide}}",
        "{crib: em}",
    )
    read = load_text(tmp_path, text)
    assert read.value is not None
    lines = expand(read.value).splitlines()
    assert "units: mm  # job.yaml:3" in lines
    assert "      radius: 8  # job.yaml:9" in lines
    assert "      diameter: 1/2 in  # shop.yaml:1" in lines, "a unit where it would mean another"
    assert "    number: 1  # from the tool's name" in lines
    assert "  clearance: 2.5  # default" in lines
    for line in lines[1:]:
        told = re.search(r"  # (\S+:\d+|default|built in(: .+)?|from the tool's name)$", line)
        assert told or line.endswith((":", "{}", "[]")), line


def test_the_data_form(tmp_path: Path) -> None:
    read = load_text(tmp_path, BASE)
    assert read.value is not None
    data = json.loads(json.dumps(expand_data(read.value)))
    assert data["digest"] == read.value.job.digest
    assert data["job"]["passes"][0]["rough"] == {"tool": "T1", "to": -6}
    assert data["set_by"]["passes[0].rough.to"] == "job.yaml:12"


@pytest.mark.parametrize(
    "title", ["a: b", "# no", "'", '"', "true", "1", "- x", "", " x ", "é ü", "a\nb", "5/8", "~"]
)
def test_any_text_comes_through(title: str, tmp_path: Path) -> None:
    first = load_text(tmp_path, BASE + f"title: {json.dumps(title)}\n")
    assert first.value is not None
    again = load_text(tmp_path, expand(first.value), "expanded.yaml")
    assert again.value is not None, [(f.code, f.message) for f in again.findings]
    assert again.value.job.title.title == title
