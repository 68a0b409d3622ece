"""The commands as a user meets them: what they print where, and how they end."""

import json
from pathlib import Path

import pytest

from compiler import __version__


def job(folder: Path, **changes: str) -> Path:
    """A small good job, with some of its lines replaced."""
    lines = {
        "head": "spec: job/1\nname: pier-plate\nunits: mm\nmachine: machining_centre_small\n"
        "material: aluminium_6061",
        "stock": "stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}",
        "keep": "keep_regions: {boss: {circle: {centre: [30, 20], diameter: 16}}}",
        "tools": "tools: {T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, "
        "stickout: 30, material: carbide}}}",
        "passes": "passes: [{rough: {tool: T1, to: -3}}, {finish_floor: {tool: T1}}, "
        "{finish_walls: {tool: T1}}]",
    }
    lines.update(changes)
    file = folder / "pier-plate.yaml"
    file.write_text("\n".join(lines.values()) + "\n", encoding="utf-8")
    return file


def test_version_and_help(standproud) -> None:
    assert standproud("--version").out == f"standproud {__version__}\n"
    told = standproud("--help")
    assert told.status == 0
    for command in ("check", "build", "plan", "expand", "explain", "schema"):
        assert command in told.out


def test_wrong_use_ends_with_2(standproud) -> None:
    assert standproud().status == 2
    assert standproud("mill", "it").status == 2
    assert standproud("build").status == 2


def test_a_missing_file_ends_with_2_and_names_it(standproud, tmp_path: Path) -> None:
    ran = standproud("check", tmp_path / "nowhere.yaml")
    assert ran.status == 2
    assert "E601" in ran.err and "nowhere.yaml" in ran.err


def test_a_folder_without_jobs_ends_with_2(standproud, tmp_path: Path) -> None:
    (tmp_path / "notes.yaml").write_text("spec: shop/1\n")
    ran = standproud("build", tmp_path)
    assert ran.status == 2 and "E602" in ran.err


def test_check_says_good_and_writes_nothing(standproud, tmp_path: Path) -> None:
    spec = job(tmp_path)
    ran = standproud("check", spec)
    assert (ran.status, ran.err) == (0, "")
    assert ran.out.endswith("pier-plate.yaml: good\n")
    assert sorted(tmp_path.iterdir()) == [spec]


def test_build_writes_all_outputs_and_says_so(standproud, tmp_path: Path) -> None:
    spec = job(tmp_path)
    ran = standproud("build", spec)
    assert ran.status == 0, ran.err
    names = {path.name for path in (tmp_path / "out").iterdir()}
    assert {"pier-plate.nc", "pier-plate.setup.pdf", "pier-plate.plan.json"} <= names
    assert {"pier-plate.report.json", "pier-plate.plan.svg"} <= names
    assert all(name in ran.out for name in names)
    report = json.loads((tmp_path / "out" / "pier-plate.report.json").read_text())
    assert set(report["outputs"]) == names - {"pier-plate.report.json"}
    assert all(entry["held"] for entry in report["obligations"])


def test_a_job_that_falls_short_writes_nothing_and_keeps_the_last_good(
    standproud, tmp_path: Path
) -> None:
    spec = job(tmp_path)
    standproud("build", spec)
    before = {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()}
    job(tmp_path, passes="passes: [{rough: {tool: T9, to: -3}}]")
    ran = standproud("build", spec)
    assert ran.status == 1
    assert "pier-plate.yaml:9:" in ran.err and "T9" in ran.err and "help" in ran.err
    assert {path.name: path.read_bytes() for path in (tmp_path / "out").iterdir()} == before


def test_one_bad_job_does_not_stop_the_others(standproud, tmp_path: Path) -> None:
    for name in ("good", "bad"):
        (tmp_path / name).mkdir()
    job(tmp_path / "good")
    job(tmp_path / "bad", stock="stock: 7")
    ran = standproud("build", tmp_path)
    assert ran.status == 1
    assert "1 of 2 jobs built" in ran.out
    assert (tmp_path / "good" / "out" / "pier-plate.nc").exists()
    assert not (tmp_path / "bad" / "out").exists()


def test_two_jobs_that_would_write_the_same_files_are_refused(standproud, tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
        job(tmp_path / name)
    ran = standproud("build", tmp_path, "--out", tmp_path / "out")
    assert ran.status == 1
    assert "E608" in ran.err and "pier-plate" in ran.err


@pytest.mark.parametrize("stage", ["job", "part", "operations", "motions", "program", "evidence"])
def test_every_stage_can_be_printed(standproud, tmp_path: Path, stage: str) -> None:
    spec = job(tmp_path)
    text = standproud("plan", spec, "--stop-after", stage)
    assert text.status == 0 and len(text.out) > 100
    data = standproud("plan", spec, "--stop-after", stage, "--format", "json")
    assert data.status == 0 and json.loads(data.out)
    assert sorted(tmp_path.iterdir()) == [spec]


def test_findings_as_json_and_as_annotations(standproud, tmp_path: Path) -> None:
    spec = job(tmp_path, keep="keep_regions: {boss: {circle: {centre: [30, 20], radios: 8}}}")
    ran = standproud("check", spec, "--format", "json")
    assert ran.status == 1
    found = json.loads(ran.err)["findings"]
    assert any("radius" in entry["help"] for entry in found)
    assert json.loads(ran.out)["specs"][0]["state"] == "falls short"
    ran = standproud("check", spec, "--format", "github")
    assert ran.err.startswith("::error ") and "line=7" in ran.err


@pytest.mark.parametrize(
    ("changes", "code", "words"),
    [
        ({"head": "spec: job/1\nname: pier-plate\nunits: inch\nmachine: machining_centre_small\n"
          "material: aluminium_6061"}, "error E415", "check `units`"),
        ({"passes": "passes: [{finish_walls: {tool: T1, to: -3}}, {rough: {tool: T1, to: -3}}]"},
         "warning W407", "put it after `rough 1`"),
        ({"keep": "keep_regions: {boss: {circle: {centre: [30, 20], diameter: 16}}, rail: {open: "
          "{path: {start: [50, 0], steps: [{line: [50, 40]}]}, stands: left}}}"},
         "warning W317", "`stands` names the right side"),
    ],
    ids=["units forgotten", "finished before roughed", "the wrong side of a rail"],
)  # fmt: skip
def test_what_makes_no_sense_together_is_said(
    standproud, tmp_path: Path, changes: dict[str, str], code: str, words: str
) -> None:
    ran = standproud("check", job(tmp_path, **changes))
    assert code in ran.err and words in ran.err
    assert ran.status == code.startswith("error")


def test_expand_tells_where_values_come_from(standproud, specs: Path) -> None:
    ran = standproud("expand", specs / "finder-bracket.yaml")
    assert ran.status == 0
    assert "specs/finder-bracket.yaml:" in ran.out and "specs/shop.yaml:" in ran.out
    assert json.loads(standproud("expand", specs / "finder-bracket.yaml", "--format", "json").out)


def test_explain(standproud) -> None:
    listed = standproud("explain")
    assert listed.status == 0 and "E601" in listed.out
    assert standproud("explain", "e601").out.startswith("E601")
    unknown = standproud("explain", "E60l")
    assert unknown.status == 2 and "E60" in unknown.err


def test_schemas_are_current(standproud, tmp_path: Path) -> None:
    folder = Path(__file__).resolve().parents[2] / "schemas"
    ran = standproud("schema", "--check", folder)
    assert (ran.status, ran.out) == (0, "")
    assert standproud("schema", "--write", tmp_path).status == 0
    names = {path.name for path in tmp_path.iterdir()}
    assert names == {path.name for path in folder.iterdir()}
    assert standproud("schema", "--check", tmp_path).status == 0
    (tmp_path / "job.schema.json").write_text("{}")
    stale = standproud("schema", "--check", tmp_path)
    assert stale.status == 1 and "job.schema.json" in stale.out


def test_a_fault_of_our_own_is_told_and_ends_with_2(
    standproud, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("spindle fell off")

    monkeypatch.setattr("compiler.road.plan_job", broken)
    ran = standproud("check", job(tmp_path))
    assert ran.status == 2
    assert "E901" in ran.err and "spindle fell off" in ran.err and "Traceback" not in ran.err
