"""Compiled loops: the same numbers as interpreted, kept by what they say and not in the package."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from conftest import ROOT

MODULE = """
from compiler.compiled import compiled

@compiled
def part(k: int, found: float) -> float:
    return 0.1 / k - found * found / 3

@compiled
def total(n: int) -> float:
    found = 0.0
    for k in range(1, n):
        found += part(k, found)
    return found

assert total(1000) == total.py_func(1000)
"""
TWICE = """
import sys
for folder in sys.argv[1:]:
    sys.path.insert(0, folder)
    import loop
    print(loop.__file__, len(loop.total.stats.cache_hits))
    del sys.modules["loop"]
"""


def test_code_is_kept_in_the_users_cache_and_not_beside_the_module(tmp_path: Path) -> None:
    """What an installer does not know of would stay, and hide a later installation. The same file
    elsewhere, as after an installation into another folder, finds its code there.
    """
    cache = tmp_path / "cache"
    environment = {k: v for k, v in os.environ.items() if not k.startswith("NUMBA_")}
    home = {"XDG_CACHE_HOME": str(cache), "HOME": str(cache), "LOCALAPPDATA": str(cache)}
    folders = [str(tmp_path / "package"), str(tmp_path / "elsewhere")]
    for folder in folders:
        Path(folder).mkdir()
        (Path(folder) / "loop.py").write_text(MODULE)
    ran = subprocess.run(
        [sys.executable, "-c", TWICE, *folders],
        env={**environment, **home, "PYTHONPATH": str(ROOT)},
        check=True,
        capture_output=True,
        text=True,
    )
    hits = [line.rsplit(" ", 1) for line in ran.stdout.splitlines()]
    assert hits == [
        [str(Path(folder) / "loop.py"), n] for folder, n in zip(folders, "01", strict=True)
    ]
    assert list(cache.rglob("*.nbi"))
    assert not [path for folder in folders for path in Path(folder).rglob("*.nbi")]
