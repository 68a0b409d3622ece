"""Compiled loops: the same numbers as interpreted, and no trace in the installed package."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

from conftest import ROOT

MODULE = """
from compiler.compiled import compiled

def total(n: int) -> float:
    found = 0.0
    for k in range(1, n):
        found += 0.1 / k - found * found / 3
    return found

assert compiled(total)(1000) == total(1000)
"""


def test_code_is_kept_in_the_users_cache_and_not_beside_the_module(tmp_path: Path) -> None:
    """What an installer does not know of would stay, and hide a later installation."""
    package, cache = tmp_path / "package", tmp_path / "cache"
    package.mkdir()
    (package / "loop.py").write_text(MODULE)
    environment = {k: v for k, v in os.environ.items() if not k.startswith("NUMBA_")}
    home = {"XDG_CACHE_HOME": str(cache), "HOME": str(cache), "LOCALAPPDATA": str(cache)}
    subprocess.run(
        [sys.executable, "-c", "import loop"],
        cwd=package,
        env={**environment, **home, "PYTHONPATH": f"{ROOT}{os.pathsep}{package}"},
        check=True,
    )
    assert list(cache.rglob("*.nbi")) and not list(package.rglob("*.nbi"))
