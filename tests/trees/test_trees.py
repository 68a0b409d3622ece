"""Trees of jobs: side by side as one by one, only what changed, nothing lost or half-written."""

import hashlib
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import ROOT
from tree_of_rings import FAMILY, bytes_of, rings, table

from compiler.commands.product import Paper
from compiler.commands.project import Target, find_jobs
from compiler.commands.tree import Result, Tree, Wish

MANY = 8  # members, of which some are still to come when two are built


def build(folder: Path, **how: object) -> list[Result]:
    """Build every job of a folder; results in order."""
    targets, missing = find_jobs([str(folder)])
    assert not missing
    found = dict(Tree(targets, Wish(**how)).results())  # type: ignore[arg-type]
    assert sorted(found) == list(range(len(targets)))
    return [found[number] for number in sorted(found)]


def states(results: list[Result]) -> dict[str, int]:
    counted: dict[str, int] = {}
    for result in results:
        counted[result.state] = counted.get(result.state, 0) + 1
    return counted


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three members, built one by one."""
    folder = rings(tmp_path_factory.mktemp("rings"), 3)
    assert states(build(folder)) == {"built": 3}
    return folder


@pytest.fixture
def tree(built: Path, tmp_path: Path) -> Path:
    """A copy of the three and their outputs."""
    import shutil

    return Path(shutil.copytree(built, tmp_path / "copy"))


def test_every_member_of_a_family_is_found(built: Path) -> None:
    targets, _ = find_jobs([str(built)])
    assert [t.member for t in targets] == [f"ring-{i:03d}" for i in range(3)]
    assert find_jobs([str(built / "rings.yaml")])[0] == targets
    one, missing = find_jobs([f"{built}/rings.yaml#ring-002"])
    assert (one, missing) == ((Target(built / "rings.yaml", "ring-002"),), ())


def test_side_by_side_gives_the_same_bytes(built: Path, tmp_path: Path) -> None:
    assert states(build(built, out=tmp_path / "two", count=2)) == {"built": 3}
    assert bytes_of(tmp_path / "two") == bytes_of(built / "out")


def test_a_cluster_gives_the_same_bytes(built: Path, tmp_path: Path) -> None:
    """A real Dask scheduler with two workers, each a process of its own."""
    distributed = pytest.importorskip("distributed")
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=None, processes=True
    ) as cluster:
        address = cluster.scheduler_address
        assert states(build(built, out=tmp_path / "far", cluster=address)) == {"built": 3}
    assert bytes_of(tmp_path / "far") == bytes_of(built / "out")


def test_a_cluster_that_is_not_there_is_told(standproud, built: Path, tmp_path: Path) -> None:
    pytest.importorskip("distributed")
    where = ("--out", tmp_path / "far", "--cluster", "nonsense://127.0.0.1:1")
    ran = standproud("build", built, *where)
    assert ran.status == 2 and "E609" in ran.err
    assert not (tmp_path / "far").exists()


def test_nothing_is_built_twice(tree: Path) -> None:
    before = {path: path.stat().st_mtime_ns for path in (tree / "out").iterdir()}
    assert states(build(tree, count=2)) == {"up to date": 3}
    assert {path: path.stat().st_mtime_ns for path in (tree / "out").iterdir()} == before
    assert states(build(tree, everything=True)) == {"built": 3}


def test_only_the_member_that_changed_is_built(tree: Path) -> None:
    table(tree, [4, 9.9, 4 + 18 / 3])
    results = build(tree)
    assert [result.job for result in results if result.state == "built"] == ["ring-001"]
    assert states(build(tree, check=True)) == {"up to date": 3}


def test_words_that_mean_nothing_build_nothing(tree: Path) -> None:
    """Another cutter in the crib and a comment are changes of files, not of jobs."""
    with (tree / "rings.yaml").open("a") as file:
        file.write("# a remark\n")
    with (tree / "shop.yaml").open("a") as file:
        file.write("  spare: {end_mill: {diameter: 3 mm, flutes: 2}}\n")
    assert states(build(tree)) == {"up to date": 3}
    assert states(build(tree, check=True)) == {"up to date": 3}  # the list of files was renewed


def test_a_moved_line_is_built_since_outputs_name_it(tree: Path) -> None:
    text = FAMILY.replace("  passes:", "  # a remark above\n  passes:")
    (tree / "rings.yaml").write_text(text, encoding="utf-8")
    assert states(build(tree)) == {"built": 3}


def test_sheets_of_another_form_or_commit_are_built(tree: Path) -> None:
    table(tree, [4])
    assert states(build(tree)) == {"up to date": 1}
    for paper in (Paper(forms=("md",)), Paper(commit="abc123"), Paper()):
        assert states(build(tree, paper=paper)) == {"built": 1}
        assert states(build(tree, paper=paper)) == {"up to date": 1}


def test_a_change_of_the_compiler_builds_all(tree: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("compiler.commands.fresh.tool_digest", lambda: "another")
    monkeypatch.setattr("compiler.commands.tree.tool_digest", lambda: "another")
    assert states(build(tree)) == {"built": 3}


def test_a_lost_output_is_built_again(tree: Path) -> None:
    lost = tree / "out" / "ring-001.nc"
    content = lost.read_bytes()
    lost.unlink()
    assert states(build(tree)) == {"up to date": 2, "built": 1}
    assert lost.read_bytes() == content


def test_an_edited_program_is_noticed_and_kept(tree: Path) -> None:
    program = tree / "out" / "ring-001.nc"
    program.write_bytes(program.read_bytes() + b"(by hand)\n")
    results = build(tree)
    assert [result.state for result in results][1] == "not written"
    assert [found.code for found in results[1].findings] == ["E604"]
    assert program.read_bytes().endswith(b"(by hand)\n")


def test_check_sees_through_a_report_that_was_changed_too(tree: Path) -> None:
    """What is compared is a build of now, not what the report says of itself."""
    program, report = tree / "out" / "ring-001.nc", tree / "out" / "ring-001.report.json"
    edited = program.read_bytes().replace(b"M30", b"M02")
    program.write_bytes(edited)
    data = json.loads(report.read_text())
    data["outputs"]["ring-001.nc"] = hashlib.sha256(edited).hexdigest()
    report.write_text(json.dumps(data))
    before = bytes_of(tree / "out")
    results = build(tree, check=True)
    assert states(results) == {"up to date": 2, "out of date": 1}
    assert results[1].files == ("ring-001.nc", "ring-001.report.json")
    assert bytes_of(tree / "out") == before


def test_a_failing_job_does_not_stop_the_others(standproud, tree: Path) -> None:
    table(tree, [4, 99, 4 + 18 / 3])
    last_good = (tree / "out" / "ring-001.nc").read_bytes()
    ran = standproud("build", tree, "--jobs", "2")
    assert ran.status == 1
    assert "E811" in ran.err and "rings.csv:3:10" in ran.err
    assert ran.out.endswith("0 of 3 jobs built, 2 up to date, 1 falls short\n")
    assert (tree / "out" / "ring-001.nc").read_bytes() == last_good


def test_a_fault_of_our_own_in_one_job_does_not_stop_the_others(
    tree: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from compiler import road

    whole = road.compile_job

    def broken(job: object, before: object = None) -> object:
        if job.title.name == "ring-001":  # type: ignore[attr-defined]
            raise RuntimeError("the belt slipped")
        return whole(job, before)  # type: ignore[arg-type]

    monkeypatch.setattr("compiler.road.compile_job", broken)
    results = build(tree, everything=True)
    assert states(results) == {"built": 2, "not written": 1}
    assert [found.code for found in results[1].findings] == ["E901"]


def test_results_are_told_in_order_and_as_data(standproud, tree: Path) -> None:
    ran = standproud("build", tree, "--all", "--jobs", "2", "--format", "json")
    assert ran.status == 0
    data = json.loads(ran.out)
    assert [job["member"] for job in data["jobs"]] == [f"ring-{i:03d}" for i in range(3)]
    assert {job["state"] for job in data["jobs"]} == {"built"}
    assert all(Path(name).exists() for job in data["jobs"] for name in job["files"])


def whole_jobs(out: Path) -> int:
    """How many jobs of a folder have all their outputs, each with the digest that is listed."""
    count = 0
    for report in out.glob("*.report.json"):
        listed = json.loads(report.read_bytes())["outputs"]
        for name, digest in listed.items():
            assert hashlib.sha256((out / name).read_bytes()).hexdigest() == digest, name
        count += 1
    return count


def test_killed_halfway_nothing_is_lost_or_half_written(tmp_path: Path) -> None:
    folder = rings(tmp_path / "killed", MANY)
    command = [sys.executable, "-m", "compiler", "build", ".", "--jobs", "2"]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    work = subprocess.Popen(command, cwd=folder, env=environment, stdout=subprocess.DEVNULL)
    out = folder / "out"
    deadline = time.monotonic() + 60
    while len(list(out.glob("*.report.json"))) < 2 and time.monotonic() < deadline:
        time.sleep(0.002)
    work.send_signal(signal.SIGKILL)
    work.wait()
    done = whole_jobs(out)
    assert 2 <= done < MANY
    results = build(folder, count=2)
    # what was whole stays; a job that was cut short between two of its files is built again
    assert states(results) == {"up to date": done, "built": MANY - done}
    assert whole_jobs(out) == MANY
    assert not list(out.glob(".*"))
    fresh = rings(tmp_path / "fresh", MANY)
    assert states(build(fresh, count=2)) == {"built": MANY}
    assert bytes_of(out) == bytes_of(fresh / "out")
