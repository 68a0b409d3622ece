"""How fast a tree of 200 members is built: side by side, and when nothing changed.

Run by name on a machine that is otherwise idle: `pytest tests/benchmarks/test_tree_rate.py -s`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.commands.workers import cores

sys.path.insert(0, str(ROOT / "tests" / "trees"))
from tree_of_rings import bytes_of, rings

MEMBERS = 200


def timed(folder: Path, *words: str) -> tuple[float, str]:
    """Seconds that one build of a folder takes as a command, and the last line that it prints."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    start = time.perf_counter()
    done = subprocess.run(
        [sys.executable, "-m", "compiler", "build", ".", *words],
        cwd=folder,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return time.perf_counter() - start, done.stdout.splitlines()[-1]


@pytest.mark.slow
@pytest.mark.skipif(cores() < 2, reason="needs two cores")
def test_two_cores_build_at_nearly_twice_the_rate(tmp_path: Path) -> None:
    folder = rings(tmp_path / "rings", MEMBERS)
    one, told = timed(folder, "--jobs", "1", "--out", "one")
    assert told == f"{MEMBERS} of {MEMBERS} jobs built"
    two, _ = timed(folder, "--jobs", "2", "--out", "two")
    again, told = timed(folder, "--jobs", "2", "--out", "two")
    assert told == f"0 of {MEMBERS} jobs built, {MEMBERS} up to date"
    print(f"\none core {one:.1f} s, two cores {two:.1f} s ({one / two:.2f}), again {again:.2f} s")
    assert bytes_of(folder / "one") == bytes_of(folder / "two")
    assert one / two >= 1.8
    assert again < 1.0
