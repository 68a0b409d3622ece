"""A small job of several parts on one table, to be changed."""

from __future__ import annotations

from pathlib import Path

TEXT = """\
spec: job/1
name: shoes
units: mm
machine: knee_mill
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [40, 30]}}, thickness: 12}
parts: {grid: {count: [2, 2], pitch: [70, 60]}}
keep_regions: {boss: {circle: {centre: [20, 15], radius: 6}}}
tools:
  T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 32, material: carbide}}
  T2: {drill: {diameter: 5, flutes: 2, flute_length: 40, stickout: 50, tip_angle: 118}}
passes:
  - rough: {tool: T1, to: -4, pattern: contour_parallel, radial_depth: 40%}
  - drill: {tool: T2, at: [[20, 15]], to: -6}
"""
GRID = "parts: {grid: {count: [2, 2], pitch: [70, 60]}}"


def write(folder: Path, *changes: tuple[str, str]) -> Path:
    """The job with pieces of its text replaced; each must be there."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    spec = folder / "shoes.yaml"
    spec.write_text(text)
    return spec
