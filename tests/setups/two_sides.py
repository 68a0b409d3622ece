"""A small job of two setups, to be changed: a boss on one side, a foot and a hole on the other."""

from __future__ import annotations

from pathlib import Path

TEXT = """\
spec: job/1
name: two-sides
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}
tools:
  T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 32, material: carbide}}
  T2: {drill: {diameter: 5, flutes: 2, flute_length: 40, stickout: 50, tip_angle: 118}}
setups:
  - name: top
    keep_regions: {boss: {circle: {centre: [20, 20], radius: 8}}}
    passes:
      - rough: {tool: T1, to: -5, pattern: contour_parallel, radial_depth: 40%}
  - name: back
    turned: over_y
    keep_regions: {foot: {rectangle: {from: [25, 8], to: [55, 32]}}}
    passes:
      - rough: {tool: T1, to: -3, pattern: contour_parallel, radial_depth: 40%}
      - drill: {tool: T2, at: [[10, 33]], to: -9}
"""

NO_HOLE = ("      - drill: {tool: T2, at: [[10, 33]], to: -9}\n", "")
NO_DRILL = (
    "  T2: {drill: {diameter: 5, flutes: 2, flute_length: 40, stickout: 50, tip_angle: 118}}\n",
    "",
)
NO_FOOT = ("    keep_regions: {foot: {rectangle: {from: [25, 8], to: [55, 32]}}}\n", "")
NO_ROUGH = (
    "      - rough: {tool: T1, to: -3, pattern: contour_parallel, radial_depth: 40%}\n",
    "",
)
NOT_TURNED = ("    turned: over_y\n", "")


def as_said(line: str) -> tuple[str, str]:
    """The second setup with one more key."""
    return ("    turned: over_y\n", f"    turned: over_y\n    {line}\n")


def write(folder: Path, *changes: tuple[str, str]) -> Path:
    """The job with pieces of its text replaced; each must be there."""
    text = TEXT
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    spec = folder / "two-sides.yaml"
    spec.write_text(text)
    return spec
