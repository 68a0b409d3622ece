"""Small helpers to write a spec into a folder and load it."""

import json
from pathlib import Path
from typing import Any

from compiler.job import Job
from compiler.spec.load import Reading, load_job

BASE = """spec: job/1
name: plate
units: mm
machine: knee_mill
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}
keep_regions:
  boss: {circle: {centre: [30, 20], radius: 8}}
tools:
  T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 32, material: carbide}}
passes:
  - rough: {tool: T1, to: -6}
"""
BOSS = "{circle: {centre: [30, 20], radius: 8}}"


def load_text(folder: Path, text: str, name: str = "job.yaml") -> Reading:
    """What comes of a job file of that text."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return load_job(path, folder)


def job_of(folder: Path, text: str) -> Job:
    """The job of a text that must be sound."""
    read = load_text(folder, text)
    assert not read.failed, [(f.code, f.message) for f in read.findings]
    assert read.value is not None
    return read.value.job


def write_data(folder: Path, name: str, data: dict[str, Any]) -> Path:
    """A spec from data; JSON is YAML enough."""
    path = folder / name
    path.write_text(json.dumps(data), encoding="utf-8")
    return path
