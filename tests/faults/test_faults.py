"""What the system can do to us: outputs stay whole, the message is clear, the status right."""

from __future__ import annotations

import os
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import NoReturn

import pytest
from conftest import ROOT, THOROUGH
from kills import builder, kill_many
from tree_of_rings import bytes_of, rings, table

from compiler import road
from compiler.commands import tree, whole
from compiler.commands.digests import digest
from compiler.commands.main import main
from compiler.commands.outputs import write_outputs

pytestmark = pytest.mark.skipif(os.name != "posix", reason="faults are made the POSIX way")

SIZE = 20  # KiB; a sheet is larger, so a limit of so much is a disk that is full


def run(
    folder: Path,
    *words: str,
    prepare: Callable[[], object] | None = None,
    environment: Mapping[str, str] | None = None,
    **streams: object,
) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, with a fault prepared for it."""
    given: dict[str, object] = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **streams}
    own = {**os.environ, "PYTHONPATH": str(ROOT)} if environment is None else dict(environment)
    return subprocess.run(  # type: ignore[call-overload, no-any-return]
        [sys.executable, "-m", "compiler", *words],
        cwd=folder,
        env=own,
        text=True,
        encoding="utf-8",
        errors="replace",
        preexec_fn=prepare,
        check=False,
        **given,
    )


def forked(
    folder: Path, *words: str, prepare: Callable[[], object] | None = None
) -> subprocess.CompletedProcess[str]:
    """As `run`, by a copy of this process, which has begun already: for faults that come later."""
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err:
        child = os.fork()
        if child == 0:
            _go_on(folder, words, out.fileno(), err.fileno(), prepare)
        status = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
        told = []
        for stream in (out, err):
            stream.seek(0)
            told.append(stream.read().decode("utf-8"))
    return subprocess.CompletedProcess(words, status, *told)


def _go_on(
    folder: Path, words: Sequence[str], out: int, err: int, prepare: Callable[[], object] | None
) -> NoReturn:
    status = -1
    try:
        os.chdir(folder)
        sys.stdout = open(out, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
        sys.stderr = open(err, "w", encoding="utf-8", closefd=False)  # noqa: SIM115
        if prepare:
            prepare()
        status = main(list(words))
        sys.stdout.flush()
        sys.stderr.flush()
    finally:
        os._exit(status & 255)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tree of one job with its outputs; not to be changed."""
    folder = rings(tmp_path_factory.mktemp("faults") / "rings", 1)
    assert main(["build", str(folder), "--jobs", "1"]) == 0
    return folder


@pytest.fixture
def changed(built: Path, tmp_path: Path) -> tuple[Path, dict[str, bytes]]:
    """A copy whose member has changed since it was built, and its outputs as they were."""
    folder = rings(tmp_path / "rings", 1)
    (folder / "out").mkdir()
    for name, data in bytes_of(built / "out").items():
        (folder / "out" / name).write_bytes(data)
    table(folder, [6.0])
    return folder, bytes_of(folder / "out")


@pytest.mark.skipif(not THOROUGH, reason="takes long; HYPOTHESIS_PROFILE=thorough")
def test_killed_at_random_moments(tmp_path: Path) -> None:
    tally = kill_many(2, seed=11, folder=tmp_path, members=2)
    assert tally.kills >= 1
    assert tally.faults == []


def test_killed_at_every_step_of_writing(tmp_path: Path) -> None:
    """Each step that touches the disk is the last one once; then the build is done again, or one
    of something else: what the killed one had replaced by then is no stranger's work.
    """
    names = [f"part.{i}.svg" for i in range(3)] + ["part.report.json"]

    def content(word: str) -> dict[str, bytes]:
        listed = {n: digest(f"{word} {n}".encode()) for n in names[:-1]}
        report = '{"job": "part", "outputs": ' + str(listed).replace("'", '"') + "}"
        return {**{n: f"{word} {n}".encode() for n in names[:-1]}, names[-1]: report.encode()}

    old, new, other = content("old"), content("new"), content("other")
    reached = 0
    for last in range(100):
        folder = tmp_path / str(last)
        assert write_outputs(folder, old, job="part") == ()
        child = os.fork()
        if child == 0:
            die_at(last)
            write_outputs(folder, new, job="part")
            os._exit(0)
        _, status = os.waitpid(child, 0)
        found = {p.name: p.read_bytes() for p in folder.iterdir() if p.suffix != ".partial"}
        assert found.keys() == old.keys()
        assert all(data in (old[name], new[name]) for name, data in found.items())
        # the report is the last to be replaced: it never vouches for what is not there yet
        if found["part.report.json"] == new["part.report.json"]:
            assert found == new
        for number, again in enumerate((old, other, new)):
            copy = shutil.copytree(folder, tmp_path / f"{last}-{number}")
            assert write_outputs(copy, again, job="part") == ()
            assert bytes_of(copy) == again
        if os.waitstatus_to_exitcode(status) == 0:
            break
        reached += 1
    assert reached >= 3 * len(names)  # opened, written, moved: each was the last step once


def die_at(step: int) -> None:
    """From now on this process dies, unprepared, before its n-th step on the disk."""
    left = [step]

    def dying(function: Callable[..., object]) -> Callable[..., object]:
        def call(*given: object, **named: object) -> object:
            if left[0] == 0:
                os._exit(9)
            left[0] -= 1
            return function(*given, **named)

        return call

    whole.os.fsync = dying(whole.os.fsync)  # type: ignore[assignment]
    Path.open = dying(Path.open)  # type: ignore[assignment, method-assign]
    Path.replace = dying(Path.replace)  # type: ignore[assignment, method-assign]


def test_disk_full(changed: tuple[Path, dict[str, bytes]]) -> None:
    folder, before = changed
    full = lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (SIZE * 1024, SIZE * 1024))  # noqa: E731
    ran = forked(folder, "build", ".", "--jobs", "1", prepare=full)
    assert ran.returncode == 2
    assert "E605" in ran.stderr and "last good output is as it was" in ran.stderr
    assert bytes_of(folder / "out") == before
    assert forked(folder, "build", ".", "--jobs", "1").returncode == 0
    assert bytes_of(folder / "out") != before


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write everywhere")
def test_folder_read_only(changed: tuple[Path, dict[str, bytes]]) -> None:
    folder, before = changed
    (folder / "out").chmod(0o555)
    ran = forked(folder, "build", ".", "--jobs", "1")
    (folder / "out").chmod(0o755)
    assert ran.returncode == 2 and "E605" in ran.stderr
    assert bytes_of(folder / "out") == before


def test_a_file_where_a_folder_must_be(built: Path, tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    ran = forked(built, "build", ".", "--out", str(tmp_path / "out"), "--jobs", "1")
    assert ran.returncode == 2 and "E605" in ran.stderr
    assert (tmp_path / "out").read_text() == "mine"


def test_output_open_elsewhere(changed: tuple[Path, dict[str, bytes]]) -> None:
    """Who reads a program while it is replaced reads the old one to its end."""
    folder, before = changed
    name = next(name for name in before if name.endswith(".nc"))
    with (folder / "out" / name).open("rb") as stream:
        head = stream.read(20)
        assert forked(folder, "build", ".", "--jobs", "1").returncode == 0
        assert head + stream.read() == before[name]
    assert (folder / "out" / name).read_bytes() != before[name]


def test_input_changed_while_it_is_compiled(built: Path, tmp_path: Path) -> None:
    """The digest is of the bytes that were compiled, so the next build sees the change."""
    folder = rings(tmp_path / "rings", 1)
    inner = tree.produce_safely

    def changing(*given: object) -> object:
        text = (folder / "rings.csv").read_text()
        (folder / "rings.csv").write_text(text.replace("4.0000", "6.0000"))
        return inner(*given)  # type: ignore[arg-type]

    def prepare() -> None:
        tree.produce_safely = changing  # type: ignore[assignment]

    first = forked(folder, "build", ".", "--jobs", "1", prepare=prepare)
    assert first.returncode == 0
    assert "6.0000" in (folder / "rings.csv").read_text()
    second = forked(folder, "build", ".", "--jobs", "1")
    assert "wrote:" in second.stdout
    assert "up to date" in forked(folder, "build", ".", "--jobs", "1").stdout


@pytest.mark.parametrize("year", [1970, 2100])
def test_clock_wrong(built: Path, year: int) -> None:
    """What is up to date is told by bytes, not by clocks."""
    moment = time.mktime((year, 1, 2, 0, 0, 0, 0, 0, 0))
    os.utime(built / "rings.csv", (moment, moment))
    ran = forked(built, "build", ".")
    assert ran.returncode == 0 and "ring-000: up to date" in ran.stdout


def test_no_locale_no_path_no_home(changed: tuple[Path, dict[str, bytes]]) -> None:
    folder, _ = changed
    text = (folder / "rings.yaml").read_text(encoding="utf-8")
    (folder / "rings.yaml").write_text(
        text.replace("  units: mm", "  title: Δακτύλιος ø\n  units: mm"), encoding="utf-8"
    )
    ran = run(folder, "expand", "rings.yaml#ring-000", environment={"PYTHONPATH": str(ROOT)})
    assert ran.returncode == 0, ran.stderr
    assert "Δακτύλιος" in ran.stdout


@pytest.mark.parametrize("closed", [0, 1, 2])
def test_streams_closed(built: Path, closed: int) -> None:
    """As in `standproud check . >&-`."""
    ran = run(built, "check", ".", prepare=lambda: os.close(closed))
    assert ran.returncode == 0


def test_a_result_that_can_not_be_told(built: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    with Path("/dev/full").open("w") as full:
        ran = run(built, "plan", "rings.yaml#ring-000", stdout=full)
    assert ran.returncode == 2
    assert "E902" in ran.stderr and "No space left" in ran.stderr


def test_reader_gone(built: Path) -> None:
    """As in `standproud plan ... | head -1`: no complaint."""
    read, write = os.pipe()
    os.close(read)
    ran = run(built, "plan", "rings.yaml#ring-000", "--format", "json", stdout=write)
    os.close(write)
    assert "E9" not in ran.stderr and "Traceback" not in ran.stderr


def test_no_git(built: Path, tmp_path: Path) -> None:
    ran = run(
        built,
        "diff",
        "rings.yaml#ring-000",
        environment={"PYTHONPATH": str(ROOT), "PATH": str(tmp_path)},
    )
    assert ran.returncode == 2
    assert "git is not installed" in ran.stderr and "name two files" in ran.stderr


def test_too_few_open_files(tmp_path: Path) -> None:
    folder = rings(tmp_path / "rings", 2)  # two, so that processes are begun
    few = lambda: resource.setrlimit(resource.RLIMIT_NOFILE, (16, 16))  # noqa: E731
    ran = run(folder, "build", ".", "--jobs", "2", prepare=few)
    if ran.returncode:
        assert ran.returncode == 2
        assert "E902" in ran.stderr and "Too many open files" in ran.stderr
        assert not (folder / "out").exists() or bytes_of(folder / "out") == {}


def test_memory_ends(changed: tuple[Path, dict[str, bytes]]) -> None:
    folder, before = changed

    def starved(*given: object) -> object:
        raise MemoryError

    def prepare() -> None:
        road.compile_job = starved  # type: ignore[assignment]

    ran = forked(folder, "build", ".", "--jobs", "1", prepare=prepare)
    assert ran.returncode == 2
    assert "E902" in ran.stderr and "not enough memory" in ran.stderr and "--jobs 1" in ran.stderr
    assert bytes_of(folder / "out") == before


def doomed(number: int) -> int:
    """Work whose process the system ends, as it does for want of memory; only for task 3."""
    if number == 3:
        os.kill(os.getpid(), signal.SIGKILL)
    return number * number


def test_a_process_that_is_ended_costs_its_own_job_only() -> None:
    from compiler.commands.workers import side_by_side

    tasks = [(number, (number,)) for number in range(8)]
    found = dict(side_by_side(doomed, tasks, count=2))
    assert found == {n: None if n == 3 else n * n for n in range(8)}


def test_workers_go_with_a_killed_build(tmp_path: Path) -> None:
    """Only the first process is killed; those that it started end by themselves."""
    if not Path("/proc").is_dir():
        pytest.skip("children are told by /proc")
    folder = rings(tmp_path / "rings", 8)
    work = builder(folder)
    deadline = time.monotonic() + 60
    while not list((folder / "out").glob("*.nc")) and time.monotonic() < deadline:
        time.sleep(0.01)
    started = group(work.pid)
    assert len(started) >= 3  # two workers and their first process
    work.kill()
    work.wait()
    deadline = time.monotonic() + 30
    while group(work.pid) and time.monotonic() < deadline:
        time.sleep(0.1)
    assert group(work.pid) == []


def group(number: int) -> list[int]:
    """The processes of a group that still run."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            words = stat.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        if int(words[2]) == number and words[0] != "Z":
            found.append(int(stat.parent.name))
    return found


def test_a_lost_process_is_told(changed: tuple[Path, dict[str, bytes]], standproud, monkeypatch):
    folder, before = changed
    monkeypatch.setattr(
        tree, "side_by_side", lambda work, tasks, **how: ((number, None) for number, _ in tasks)
    )
    ran = standproud("build", folder, "--jobs", "2")
    assert ran.status == 2
    assert "E902" in ran.err and "ended by the system" in ran.err
    assert bytes_of(folder / "out") == before
