"""Kill a tree build at random moments, again and again, and see that nothing is lost.

    python -m tests.faults.kills [--count 100] [--seed 1]

Between kills the members change, so that new outputs replace older ones. After each kill every
output must be whole: the bytes of one build or of the other, nothing half-written, the last report
there. At the end one more build must make what a build in a fresh folder makes.
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


def expected(folder: Path) -> list[dict[str, bytes]]:
    """The outputs of either version of the table, built without disturbance."""
    found = []
    for number, sizes in enumerate(SIZES):
        tree = rings(folder / f"undisturbed-{number}", len(sizes))
        table(tree, sizes)
        assert builder(tree).wait() == 0
        found.append(bytes_of(tree / "out"))
    return found


def kill_many(count: int, seed: int, folder: Path) -> Tally:
    """Kill `count` builds at moments drawn by `seed`; what was found."""
    dice = random.Random(seed)
    versions = expected(folder)
    tree = rings(folder / "killed", len(SIZES[0]))
    tally = Tally()
    longest = 6.0  # s; learned from builds that got done
    for number in range(count):
        table(tree, SIZES[number % 2])
        started = time.monotonic()
        work = builder(tree)
        try:
            work.wait(dice.uniform(0.2, longest))
            tally.early += 1
            longest = max(0.5, time.monotonic() - started)
        except subprocess.TimeoutExpired:
            with contextlib.suppress(ProcessLookupError):
                os.killpg(work.pid, signal.SIGKILL)
            work.wait()
            tally.kills += 1
        look(tree / "out", versions, tally)
    table(tree, SIZES[0])
    if builder(tree).wait() != 0:
        tally.faults.append("the build after the last kill did not succeed")
    elif bytes_of(tree / "out") != versions[0]:
        tally.faults.append("the build after the last kill made other files than a fresh one")
    return tally


def look(out: Path, versions: list[dict[str, bytes]], tally: Tally) -> None:
    """Every output there is that of one of the versions, whole."""
    if not out.is_dir():
        return
    found = {name: data for name, data in bytes_of(out).items() if not name.endswith(".partial")}
    for name, data in found.items():
        if all(data != version.get(name) for version in versions):
            tally.faults.append(f"kill {tally.kills}: {name} is neither build's")
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
        f"{tally.mixed} times a job stood between two of its files; {len(tally.faults)} faults"
    )
    for fault in tally.faults:
        print(f"  {fault}")
    return 1 if tally.faults else 0


if __name__ == "__main__":
    sys.exit(main())
