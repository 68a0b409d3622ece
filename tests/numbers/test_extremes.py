"""Sizes and places at the edge of what numbers hold: decided, and the same way every time.

The rules are in DEVELOPERS.md, "Numbers". Invented parts of a telescope-mount workshop.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest

MACHINE = (
    "{name: long bed, axes: {x: 3000, y: 3000, z: 400}, "
    "spindle: {max_rpm: 24000, power: 3 kW}, feed: {max: 4000, rapid: 8000}}"
)
PLATE = "{rectangle: {from: [0, 0], to: [80, 60]}}"


def job(
    regions: Mapping[str, str],
    *,
    stock: str = PLATE,
    thickness: float = 15,
    cutter: tuple[float, float, float] = (8, 20, 25),  # diameter, flutes' length, stick-out
    to: float = -2,
    allowance: float = 0.2,
) -> str:
    """A job of one cutter that roughs and finishes round the regions."""
    diameter, flutes, stickout = cutter
    kept = "\n".join(f"  {name}: {shape}" for name, shape in regions.items())
    return f"""\
spec: job/1
name: extreme
units: mm
machine: {MACHINE}
material: aluminium_6061
stock: {{outline: {stock}, thickness: {thickness}}}
datum: {{at: stock lower_left}}
keep_regions:
{kept}
tools:
  T1: {{end_mill: {{diameter: {diameter}, flutes: 3, flute_length: {flutes}, stickout: {stickout},
       material: carbide}}}}
passes:
  - rough: {{tool: T1, to: {to}, allowance: {{wall: {allowance}, floor: {allowance}}}}}
  - finish_floor: {{tool: T1}}
  - finish_walls: {{tool: T1}}
"""


def program(text: str, folder: Path, standproud) -> list[str]:
    """The blocks of the proven program, comments aside."""
    spec = folder / "extreme.yaml"
    spec.write_text(text, encoding="utf-8")
    ran = standproud("build", spec, "--all")
    assert ran.status == 0, ran.err
    lines = (folder / "out" / "extreme.nc").read_text().splitlines()
    return [line for line in lines if not line.startswith("(")]


CASES = {
    "a cutter of a tenth of a millimetre": job(
        {"pin": "{circle: {centre: [1, 1], diameter: 0.6}}"},
        stock="{rectangle: {from: [0, 0], to: [2, 1.8]}}",
        thickness=1,
        cutter=(0.1, 0.3, 0.4),
        to=-0.05,
        allowance=0.005,
    ),
    "a plate of two metres": job(
        {"rib": "{rectangle: {from: [200, 40], size: [1500, 40]}}"},
        stock="{rectangle: {from: [0, 0], to: [2000, 120]}}",
        cutter=(50, 50, 70),
    ),
    "an arc of 900 m radius": job(
        {
            "rib": "{outline: {start: [20, 20], steps: [{line: [60, 20]}, {line: [60, 30]}, "
            "{arc: {to: [20, 30], radius: 900000, turn: ccw}}, {line: [20, 20]}]}}"
        }
    ),
    "two discs that touch in a point": job(
        {
            "a": "{circle: {centre: [30, 30], radius: 10}}",
            "b": "{circle: {centre: [50, 30], radius: 10}}",
        }
    ),
    "two boxes with an edge in common, one lower": job(
        {
            "a": "{rectangle: {from: [20, 20], to: [40, 40]}}",
            "b": "{rectangle: {from: [40, 20], to: [60, 40]}, top: -1}",
        }
    ),
    "two boxes that touch in a corner": job(
        {
            "a": "{rectangle: {from: [20, 20], to: [40, 30]}}",
            "b": "{rectangle: {from: [40, 30], to: [60, 40]}}",
        }
    ),
    "a gap of half a micrometre": job(
        {
            "a": "{rectangle: {from: [20, 20], to: [40, 40]}}",
            "b": "{rectangle: {from: [40.0005, 20], to: [60, 40]}}",
        }
    ),
    "a region on the stock's edge": job({"a": "{rectangle: {from: [0, 20], to: [20, 40]}}"}),
    "a rib as thin as foil": job({"a": "{rectangle: {from: [20, 20], to: [60, 20.02]}}"}),
}


@pytest.mark.parametrize("case", CASES)
def test_extremes_are_cut_and_proven(case: str, tmp_path: Path, standproud) -> None:
    assert len(program(CASES[case], tmp_path, standproud)) > 20


def test_a_part_drawn_far_from_zero_is_cut_the_same(tmp_path: Path, standproud) -> None:
    """100 m and 200 m away a coordinate still has 12 decimals before its last bit."""
    near = job({"post": "{circle: {centre: [40, 30], diameter: 20}}"})
    far = job(
        {"post": "{circle: {centre: [100040, -199970], diameter: 20}}"},
        stock="{rectangle: {from: [100000, -200000], to: [100080, -199940]}}",
    )
    (tmp_path / "near").mkdir()
    (tmp_path / "far").mkdir()
    assert program(near, tmp_path / "near", standproud) == program(
        far, tmp_path / "far", standproud
    )


@pytest.mark.parametrize("radius", ["10000000", "1e300", "1000000"])
def test_lengths_of_a_kilometre_and_more_are_refused(
    radius: str, tmp_path: Path, standproud
) -> None:
    spec = tmp_path / "extreme.yaml"
    spec.write_text(CASES["an arc of 900 m radius"].replace("900000", radius), encoding="utf-8")
    ran = standproud("check", spec)
    assert ran.status == 1
    assert re.search(r"E108.*out of range|E013", ran.err)
    assert "extreme.yaml:9:" in ran.err


def test_the_same_region_twice_is_said_once(tmp_path: Path, standproud) -> None:
    disc = "{circle: {centre: [30, 30], radius: 10}}"
    spec = tmp_path / "extreme.yaml"
    spec.write_text(job({"a": disc, "b": disc}), encoding="utf-8")
    ran = standproud("check", spec)
    assert ran.status == 0
    assert ran.err.count("W317") == 1
    assert "region `b` lies wholly inside `a`" in ran.err
