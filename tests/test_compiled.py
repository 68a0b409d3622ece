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
THRICE = """
import importlib
import sys
for folder, name in zip(sys.argv[1:], ("loop", "loop", "moved.loop")):
    sys.path.insert(0, folder)
    loop = importlib.import_module(name)
    print(loop.__file__, len(loop.total.stats.cache_hits))
    del sys.modules[name]
"""


def test_code_is_kept_in_the_users_cache_and_not_beside_the_module(tmp_path: Path) -> None:
    """What an installer does not know of would stay, and hide a later installation. The same file
    elsewhere, as after an installation into another folder, finds its code there; under another
    name it finds none, since code that is kept looks for what it calls by its module's name.
    """
    cache = tmp_path / "cache"
    environment = {k: v for k, v in os.environ.items() if not k.startswith("NUMBA_")}
    home = {"XDG_CACHE_HOME": str(cache), "HOME": str(cache), "LOCALAPPDATA": str(cache)}
    folders = [str(tmp_path / "package"), str(tmp_path / "elsewhere")]
    files = [Path(folder) / "loop.py" for folder in folders]
    files.append(tmp_path / "third" / "moved" / "loop.py")
    for file in files:
        file.parent.mkdir(parents=True)
        file.write_text(MODULE)
    folders.append(str(tmp_path / "third"))
    ran = subprocess.run(
        [sys.executable, "-c", THRICE, *folders],
        env={**environment, **home, "PYTHONPATH": str(ROOT)},
        check=True,
        capture_output=True,
        text=True,
    )
    hits = [line.rsplit(" ", 1) for line in ran.stdout.splitlines()]
    assert hits == [[str(file), n] for file, n in zip(files, "010", strict=True)]
    assert list(cache.rglob("*.nbi"))
    assert not [path for folder in folders for path in Path(folder).rglob("*.nbi")]
