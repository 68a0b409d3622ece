"""Kill a tree build at random moments, again and again, and see that nothing is lost.

    python -m tests.faults.kills [--count 100] [--seed 1]

Between kills the members change, so that new outputs replace older ones. Every other kill comes at
a time drawn from the length of a whole build, the rest just after a drawn number of outputs has
been replaced: on a busy machine a time alone would seldom fall where files are written. After each
kill every output must be whole: the bytes of one build or of the other, nothing half-written, the
last report there. At the end one more build must make what a build in a fresh folder makes.
"""

from __future__ import annotations

import argparse
import contextlib
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from tempfile import TemporaryDirectory

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "trees")]

from tree_of_rings import bytes_of, rings, table  # noqa: E402

SIZES = ([5.0, 7.5, 10.0], [5.5, 8.0, 10.5])  # two versions of the family's table, mm


@dataclass(slots=True)
class Tally:
    """What became of the kills."""

    kills: int = 0
    early: int = 0  # the build was done before it was killed
    midway: int = 0  # killed with outputs of both versions there
    mixed: int = 0  # a job was killed between two of its files; its report tells
    faults: list[str] = field(default_factory=list)


def builder(folder: Path) -> subprocess.Popen[bytes]:
    """A tree build in a process group of its own."""
    return subprocess.Popen(
        [sys.executable, "-m", "compiler", "build", ".", "--jobs", "2"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )


def expected(folder: Path, tables: Sequence[list[float]]) -> tuple[list[dict[str, bytes]], float]:
    """The outputs of either version of the table, built undisturbed, and the longer build, s."""
    found, longest = [], 0.0
    for number, sizes in enumerate(tables):
        tree = rings(folder / f"undisturbed-{number}", len(sizes))
        table(tree, sizes)
        started = time.monotonic()
        assert builder(tree).wait() == 0
        longest = max(longest, time.monotonic() - started)
        found.append(bytes_of(tree / "out"))
    return found, longest


def kill_many(count: int, seed: int, folder: Path, members: int = 3) -> Tally:
    """Kill `count` builds of so many members at moments drawn by `seed`; what was found."""
    dice = random.Random(seed)
    tables = [sizes[:members] for sizes in SIZES]
    versions, longest = expected(folder, tables)
    tree = rings(folder / "killed", members)
    out = tree / "out"
    tally = Tally()
    for number in range(count):
        turn = number % 2
        if out.is_dir() and bytes_of(out) == versions[turn]:
            turn = 1 - turn  # there is always something to be written
        table(tree, tables[turn])
        before = written(out)
        started = time.monotonic()
        work = builder(tree)
        if number // 2 % 2:
            _wait_for_time(work, dice.uniform(0.0, longest))
        else:
            most = len(versions[0]) - 1
            _wait_for_files(work, out, before, dice.randint(1, most), dice.uniform(0.0, 0.02))
        if work.poll() is None:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(work.pid, signal.SIGKILL)
            work.wait()
            tally.kills += 1
        else:
            tally.early += 1
            longest = max(0.5, time.monotonic() - started)
        look(out, versions, tally)
    table(tree, tables[0])
    if builder(tree).wait() != 0:
        tally.faults.append("the build after the last kill did not succeed")
    elif bytes_of(tree / "out") != versions[0]:
        tally.faults.append("the build after the last kill made other files than a fresh one")
    return tally


def written(out: Path) -> dict[str, int]:
    """When each output was written, ns."""
    found = {}
    for path in out.iterdir() if out.is_dir() else ():
        with contextlib.suppress(FileNotFoundError):  # put in its place meanwhile
            found[path.name] = path.stat().st_mtime_ns
    return found


def _wait_for_time(work: subprocess.Popen[bytes], seconds: float) -> None:
    with contextlib.suppress(subprocess.TimeoutExpired):
        work.wait(seconds)


def _wait_for_files(
    work: subprocess.Popen[bytes], out: Path, before: dict[str, int], count: int, more: float
) -> None:
    """Until `count` outputs are other files than before, and then `more` seconds."""
    while work.poll() is None:
        changed = sum(before.get(name) != when for name, when in written(out).items())
        if changed >= count:
            time.sleep(more)
            return
        time.sleep(0.001)


def look(out: Path, versions: list[dict[str, bytes]], tally: Tally) -> None:
    """Every output there is that of one of the versions, whole."""
    if not out.is_dir():
        return
    found = {name: data for name, data in bytes_of(out).items() if not name.endswith(".partial")}
    for name, data in found.items():
        if all(data != version.get(name) for version in versions):
            tally.faults.append(f"kill {tally.kills}: {name} is neither build's")
    own_of = [
        any(data == mine.get(name) != other.get(name) for name, data in found.items())
        for mine, other in (versions, versions[::-1])
    ]
    tally.midway += all(own_of)
    for job in sorted(name.split(".")[0] for name in found if name.endswith(".nc")):
        own = {name: data for name, data in found.items() if name.split(".")[0] == job}
        if not any(own.items() <= version.items() for version in versions):
            tally.mixed += 1


def main() -> int:
    """Run the command line."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with TemporaryDirectory() as folder:
        tally = kill_many(asked.count, asked.seed, Path(folder))
    print(
        f"seed {asked.seed}: {tally.kills} builds killed, {tally.early} done before; "
        f"{tally.midway} times outputs of both builds stood there, "
        f"{tally.mixed} times a job stood between two of its files; {len(tally.faults)} faults"
    )
    for fault in tally.faults:
        print(f"  {fault}")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
