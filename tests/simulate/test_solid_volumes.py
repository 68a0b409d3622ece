"""Removed volume of whole jobs against a Boolean of solids, made with manifold3d.

A general solid library (mesh Booleans) unites what every fed move of the program sweeps, and takes
it off the stock. Level moves are united in the plane and extruded; slopes are hulls of two upright
cylinders, which is exact for a straight slope. Circles are polygons of the circle's own area.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from conftest import THOROUGH, example

from compiler.road import Journey, prove_job

pytest.importorskip("manifold3d", reason="manifold3d (extra `test`) is not installed")

JOBS = ("finder-bracket", "eyepiece-bracket", "focuser-ring")
# holes from below come through into what was cleared from above; the foot is turned, since walls
# along the raster's rows would err by the same part of a cell from end to end
TWO_SIDES = """\
spec: job/1
name: two-sides
units: mm
machine: machining_centre_small
material: aluminium_6061
stock: {outline: {rectangle: {from: [0, 0], to: [50, 30]}}, thickness: 12}
tools:
  T1: {end_mill: {diameter: 10, flutes: 3, flute_length: 22, stickout: 32, material: carbide}}
  T2: {drill: {diameter: 5, flutes: 2, flute_length: 40, stickout: 50, tip_angle: 118}}
  T3: {chamfer_mill: {diameter: 8, flutes: 4, flute_length: 4, stickout: 30, tip_diameter: 0.5}}
setups:
  - name: top
    keep_regions: {boss: {circle: {centre: [18, 15], radius: 8}}}
    passes:
      - rough: {tool: T1, to: -5, pattern: contour_parallel, radial_depth: 40%}
      - break_edges: {tool: T3, width: 0.4}
  - name: back
    turned: over_y
    keep_regions: {foot: {rectangle: {from: [24, 7], to: [40, 23]}, turn: 20}}
    passes:
      - rough: {tool: T1, to: -4, pattern: contour_parallel, radial_depth: 40%}
      - drill: {tool: T2, at: [[6, 6], [18, 15]], to: -10}
"""


@pytest.mark.parametrize("name", JOBS)
def test_removed_volume_is_that_of_the_solids(name: str) -> None:
    from solidsweeps import removed_volume

    case = example(name).case
    assert case is not None
    expected = removed_volume(case)
    # the raster's cells go by their centres: edges err by a fraction of a cell, to either side
    assert case.cut.removed == pytest.approx(expected, rel=1e-3)


def test_what_two_setups_leave_is_the_part(tmp_path: Path) -> None:
    spec = tmp_path / "two-sides.yaml"
    spec.write_text(TWO_SIDES, encoding="utf-8")
    leaves_the_part(prove_job(spec, tmp_path), (50, 30, 12), hollow_saves=100)


@pytest.mark.skipif(not THOROUGH, reason="the example of two setups takes long")
def test_what_the_example_s_two_setups_leave_is_the_part() -> None:
    leaves_the_part(example("altitude-block"), (110, 80, 20), hollow_saves=100)


def leaves_the_part(
    journey: Journey, block: tuple[float, float, float], hollow_saves: float
) -> None:
    """Stock less what either side takes: the second side turned back over Y by plain arithmetic.

    What the second setup removes is less than what it sweeps: the holes come through into what the
    first one cleared.
    """
    from manifold3d import Manifold
    from solidsweeps import stock_of, swept

    assert not journey.failed, journey.findings
    first, second = (each.case for each in journey.setups)
    assert first is not None and second is not None
    stock, top = stock_of(first), swept(first)
    wide, deep, thick = block
    # X' = wide - X and Z' = -thick - Z; Y stays: the same as a half turn about the Y axis
    back = swept(second).transform([[-1, 0, 0, wide], [0, 1, 0, 0], [0, 0, -1, -thick]])
    assert isinstance(back, Manifold)
    part = stock - top - back
    assert stock.volume() == pytest.approx(wide * deep * thick)
    left = stock.volume() - first.cut.removed - second.cut.removed
    assert left == pytest.approx(part.volume(), rel=5e-4)
    assert second.cut.removed == pytest.approx(((stock - top) ^ back).volume(), rel=1e-3)
    assert (stock ^ back).volume() > second.cut.removed + hollow_saves
    # and cell by cell: what stands in each column is a stretch from bottom to height
    cut = second.cut
    there = cut.heights > -1e5
    stands = float((cut.heights - cut.bottoms)[there].sum()) * cut.grid.pitch**2
    assert stands == pytest.approx(part.volume(), rel=5e-4)
