"""Same input, same bytes: whatever the hash seed, folder, time zone or locale."""

import os
import subprocess
import sys
from pathlib import Path

from conftest import ROOT

sys.path.append(str(ROOT / "tests" / "setups"))

from two_sides import write


def built(folder: Path, **environment: str) -> dict[str, bytes]:
    """Everything that a build of the small job of two setups writes, in a folder of its own."""
    folder.mkdir()
    (folder / ".git").mkdir()
    spec = write(folder)
    done = subprocess.run(
        [sys.executable, "-m", "compiler", "build", spec.name, "--sheet", "both"],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return {path.name: path.read_bytes() for path in (folder / "out").iterdir()}


def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    one = built(tmp_path / "one", PYTHONHASHSEED="1", TZ="UTC", LC_ALL="C")
    two = built(tmp_path / "another place", PYTHONHASHSEED="2", TZ="Asia/Tokyo", LC_ALL="C.UTF-8")
    assert one.keys() == two.keys() and len(one) > 10
    assert [name for name in one if one[name] != two[name]] == []
