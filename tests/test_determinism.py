"""Same input, same bytes: whatever the hash seed, folder, time zone or locale."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

from conftest import ROOT


def built(folder: Path, specs: Path, **environment: str) -> dict[str, bytes]:
    out = folder / "out"
    done = subprocess.run(
        [sys.executable, "-m", "compiler", "build", "finder-bracket.yaml", "--out", str(out)],
        cwd=specs,
        env={**os.environ, "PYTHONPATH": str(ROOT), **environment},
        capture_output=True,
        text=True,
    )
    assert done.returncode == 0, done.stderr
    return {path.name: path.read_bytes() for path in out.iterdir()}


def test_two_builds_give_the_same_bytes(tmp_path: Path) -> None:
    elsewhere = tmp_path / "another place" / "specs"
    shutil.copytree(ROOT / "specs", elsewhere, ignore=shutil.ignore_patterns("out"))
    (elsewhere.parent / ".git").mkdir()  # the root, as it is here
    one = built(tmp_path / "one", ROOT / "specs", PYTHONHASHSEED="1", TZ="UTC", LC_ALL="C")
    two = built(tmp_path / "two", elsewhere, PYTHONHASHSEED="2", TZ="Asia/Tokyo", LC_ALL="C.UTF-8")
    assert one.keys() == two.keys()
    assert [name for name in one if one[name] != two[name]] == []
