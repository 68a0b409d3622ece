"""A change under review, from branch to rebuilt programs, in a real git repository."""

import json
import shlex
import sys
from pathlib import Path

import jsonschema
import pytest
from conftest import ROOT
from small_plate import JOB, changed, commit, git, job, repository

COMMAND = [sys.executable, "-m", "compiler"]


@pytest.fixture
def repo(tmp_path: Path) -> Path:
    """Two jobs, committed."""
    folder = repository(tmp_path / "mounts")
    (folder / ".gitignore").write_text("out/\n")
    (folder / "specs").mkdir()
    for name in ("pier-plate", "cap-plate"):
        job(folder / "specs", changed(("name: pier-plate", f"name: {name}")), f"{name}.yaml")
    commit(folder, "Two plates")
    return folder


@pytest.fixture
def run(standproud, monkeypatch: pytest.MonkeyPatch):
    """Call the command as if typed in a folder."""

    def call(folder: Path, *words: str):
        monkeypatch.chdir(folder)
        return standproud(*words)

    return call


def test_branch_change_diff_merge_and_rebuild_only_what_changed(run, repo: Path) -> None:
    assert "2 of 2 jobs built" in run(repo, "build", ".", "--jobs", "1").out
    git(repo, "checkout", "-q", "-b", "deeper")
    spec = repo / "specs" / "pier-plate.yaml"
    spec.write_text(changed(("to: -3", "to: -4")), encoding="utf-8")
    commit(repo, "Cut the pier plate deeper")

    told = run(repo, "diff", "main:specs/pier-plate.yaml", "specs/pier-plate.yaml")
    assert told.status == 0, told.err
    assert '~ passes["rough 1"].rough.to: -3 mm → -4 mm' in told.out
    assert "depths" in told.out and "~ removed:" in told.out and "unchanged: " in told.out
    quick = ("--quick", "main:specs/pier-plate.yaml", "deeper:specs/pier-plate.yaml")
    data = json.loads(run(repo, "diff", *quick, "--format", "json").out)
    assert data["values"][0]["after"] == "-4 mm"
    markdown = run(repo, "diff", *quick, "--markdown", "--svg", "change.svg")
    assert '| `passes["rough 1"].rough.to` | \\-3' in markdown.out.replace("-3", "\\-3")
    assert (repo / "change.svg").read_text().startswith("<svg ")
    (repo / "change.svg").unlink()
    assert run(repo, "diff", *quick, "--exit-code").status == 1
    same = ("--quick", "main:specs/cap-plate.yaml", "deeper:specs/cap-plate.yaml")
    assert run(repo, "diff", *same, "--exit-code").status == 0

    git(repo, "checkout", "-q", "main")
    git(repo, "merge", "-q", "--no-ff", "-m", "Merge", "deeper")
    built = run(repo, "build", ".")
    assert built.out.endswith("1 of 2 jobs built, 1 up to date\n"), built.out
    assert "pier-plate: built" in built.out
    assert run(repo, "build", "specs/pier-plate.yaml", "--check").status == 0
    assert git(repo, "status", "--porcelain") == ""


def test_a_file_alone_is_compared_with_its_last_commit(run, repo: Path) -> None:
    spec = repo / "specs" / "cap-plate.yaml"
    text = spec.read_text().replace("radial_depth: 4", "radial_depth: 3")
    spec.write_text(text, encoding="utf-8")
    told = run(repo / "specs", "diff", "cap-plate.yaml", "--quick")
    assert "HEAD:./cap-plate.yaml → cap-plate.yaml" in told.out
    assert "radial_depth: 4 mm → 3 mm" in told.out


def test_family_and_shop_are_taken_from_the_same_revision(run, repo: Path) -> None:
    family = (
        "spec: family/1\nname: plate\nparameters: {deep: {length: 3 mm}}\nmembers: plates.csv\n"
    )
    body = changed(("spec: job/1\nname: pier-plate\n", ""), ("to: -3", 'to: "${ -deep }"'))
    family += "job:\n" + "".join(f"  {line}\n" for line in body.splitlines())
    (repo / "plates.yaml").write_text(family, encoding="utf-8")
    (repo / "plates.csv").write_text("name,deep\nleft-plate,2 mm\n", encoding="utf-8")
    commit(repo, "A family")
    (repo / "plates.csv").write_text("name,deep\nleft-plate,2.5 mm\n", encoding="utf-8")
    told = run(repo, "diff", "HEAD:plates.yaml#left-plate", "plates.yaml#left-plate", "--quick")
    assert '~ passes["rough 1"].rough.to: -2 mm → -2.5 mm' in told.out, told.err
    assert "deep from plates.csv:2" in told.out


def test_a_whole_family_is_compared_member_by_member(run, repo: Path) -> None:
    family = (
        "spec: family/1\nname: plate\nparameters: {deep: {length: 3 mm}}\nmembers: plates.csv\n"
    )
    body = changed(("spec: job/1\nname: pier-plate\n", ""), ("to: -3", 'to: "${ -deep }"'))
    family += "job:\n" + "".join(f"  {line}\n" for line in body.splitlines())
    (repo / "plates.yaml").write_text(family, encoding="utf-8")
    (repo / "plates.csv").write_text("name,deep\nleft,2 mm\nmiddle,3\nright,4\n")
    commit(repo, "A family")
    (repo / "plates.csv").write_text("name,deep\nleft,2.5 mm\nmiddle,3.0 mm\nwide,4\n")
    told = run(repo, "diff", "plates.yaml", "--quick")
    assert told.status == 0, told.err
    assert told.out.startswith("HEAD:./plates.yaml#left → plates.yaml#left\n")
    assert told.out.endswith("1 of 2 members change; added: wide; removed: right\n")
    assert run(repo, "diff", "plates.yaml", "--quick", "--exit-code").status == 1
    data = json.loads(run(repo, "diff", "HEAD:plates.yaml", "--quick", "--format", "json").out)
    schema = json.loads((ROOT / "schemas" / "diff.schema.json").read_text())
    jsonschema.validate(data, schema)
    assert (data["unchanged"], data["added"], data["removed"]) == (1, ["wide"], ["right"])
    assert [change["after"]["said"] for change in data["changed"]] == ["plates.yaml#left"]


def test_an_absolute_path_is_compared_with_its_last_commit(run, repo: Path) -> None:
    told = run(repo / "specs", "diff", str(repo / "specs" / "cap-plate.yaml"), "--quick")
    assert told.status == 0, told.err
    assert "nothing changes" in told.out


@pytest.mark.parametrize(
    "said",
    ["nowhere:specs/pier-plate.yaml", "HEAD:specs/none.yaml", "HEAD:../outside.yaml",
     "--output=x:specs/pier-plate.yaml", "HEAD:./../../etc/passwd"],
)  # fmt: skip
def test_a_revision_that_can_not_be_had_is_told(run, repo: Path, said: str) -> None:
    told = run(repo, "diff", "--quick", "--", said, "specs/pier-plate.yaml")
    assert told.status == 2
    assert "E610" in told.err and "help" in told.err
    assert sorted(path.name for path in repo.iterdir()) == [".git", ".gitignore", "specs"]


def test_outside_of_a_work_tree_a_revision_is_refused(run, tmp_path: Path) -> None:
    job(tmp_path)
    told = run(tmp_path, "diff", "HEAD:pier-plate.yaml", "pier-plate.yaml")
    assert told.status == 2 and "E610" in told.err


def test_git_diff_shows_meaning_with_the_text_converter(repo: Path) -> None:
    """The set-up of the documentation: one attribute, one line of configuration, real git."""
    (repo / ".gitattributes").write_text("*.yaml diff=standproud\n")
    commit(repo, "Show what specs mean")
    converter = f"PYTHONPATH={shlex.quote(str(ROOT))} {shlex.join([*COMMAND, 'lines'])}"
    git(repo, "config", "diff.standproud.textconv", converter)
    spec = repo / "specs" / "pier-plate.yaml"
    spec.write_text("# only words\n" + changed(("to: -3,", "to: -3.0 mm,")), encoding="utf-8")
    lines = git(repo, "diff", "--", "specs").splitlines()
    assert not [line for line in lines if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    spec.write_text(changed(("to: -3", "to: -4")), encoding="utf-8")
    (repo / "notes.yaml").write_text("just: notes\n")
    git(repo, "add", "-N", "notes.yaml")
    lines = git(repo, "diff").splitlines()
    assert '-passes["rough 1"].rough.to: -3 mm' in lines
    assert '+passes["rough 1"].rough.to: -4 mm' in lines
    assert "+just: notes" in lines  # what is no spec is shown as it is


def test_lines_of_a_job_are_in_one_order_and_spelling(standproud, tmp_path: Path) -> None:
    one = standproud("lines", job(tmp_path, JOB, "a.yaml"))
    other = changed(
        ("title: Pier plate\nunits: mm\n", ""),
        ("passes:", "units: mm\ntitle: 'Pier plate'\npasses:"),
        ("diameter: 16", "diameter: 16.00"),
    )
    two = standproud("lines", job(tmp_path, other, "b.yaml"))
    assert one.status == 0 and one.out == two.out
    assert "keep_regions.boss.circle.diameter: 16 mm\n" in one.out
    assert standproud("lines", tmp_path / "none.yaml").status == 2
