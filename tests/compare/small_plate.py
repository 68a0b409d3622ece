"""A small job for comparisons, quick to cut, and a clean git repository that holds it."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

JOB = """\
spec: job/1
name: pier-plate
title: Pier plate
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}
keep_regions:
  boss: {circle: {centre: [20, 20], diameter: 16}}
  lug: {rectangle: {from: [40, 10], to: [50, 20]}, top: -1}
tools: {T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 30}}}
passes:
  - rough: {tool: T1, to: -3, pattern: contour_parallel, radial_depth: 4}
  - finish_walls: {name: walls, tool: T1}
"""


def changed(*pairs: tuple[str, str], text: str = JOB) -> str:
    """The job with pieces of its text replaced; each must be there."""
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


def job(folder: Path, text: str = JOB, name: str = "pier-plate.yaml") -> Path:
    """The job in a file."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def git(folder: Path, *words: str) -> str:
    """Run git in a folder, apart from the configuration of whoever runs the tests."""
    environment = {
        **{key: value for key, value in os.environ.items() if not key.startswith("GIT_")},
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CONFIG_NOSYSTEM": "1",
        "HOME": str(folder),
    }
    done = subprocess.run(
        ["git", *words], cwd=folder, env=environment, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def repository(folder: Path) -> Path:
    """A clean repository with a branch `main`, its first commit still to come."""
    folder.mkdir(parents=True, exist_ok=True)
    git(folder, "init", "-q", "-b", "main")
    git(folder, "config", "user.name", "Mount maker")
    git(folder, "config", "user.email", "mounts@workshop.example")
    git(folder, "config", "commit.gpgsign", "false")
    return folder


def commit(folder: Path, message: str) -> None:
    """Everything that is not ignored, as one commit."""
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", message)
