"""Removed volume of whole jobs against a Boolean of solids, made with manifold3d.

A general solid library (mesh Booleans) unites what every fed move of the program sweeps, and takes
it off the stock. Level moves are united in the plane and extruded; slopes are hulls of two upright
cylinders, which is exact for a straight slope. Circles are polygons of the circle's own area.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from compiler.road import prove_job

pytest.importorskip("manifold3d", reason="manifold3d (extra `test`) is not installed")

JOB_OF_TWO = "altitude-block.yaml"
JOBS = ("finder-bracket", "eyepiece-bracket", "focuser-ring")


@pytest.mark.parametrize("name", JOBS)
def test_removed_volume_is_that_of_the_solids(specs: Path, name: str) -> None:
    from solidsweeps import removed_volume

    case = prove_job(specs / f"{name}.yaml", specs.parent).case
    assert case is not None
    expected = removed_volume(case)
    # the raster's cells go by their centres: edges err by a fraction of a cell, to either side
    assert case.cut.removed == pytest.approx(expected, rel=1e-3)


def test_what_two_setups_leave_is_the_part(specs: Path) -> None:
    """Stock less what either side takes: the second side turned back over Y by plain arithmetic.

    What the second setup removes is less than what it sweeps: the holes come through into what the
    first one cleared.
    """
    from manifold3d import Manifold
    from solidsweeps import stock_of, swept

    first, second = (each.case for each in prove_job(specs / JOB_OF_TWO, specs.parent).setups)
    assert first is not None and second is not None
    stock, top = stock_of(first), swept(first)
    # X' = 110 - X and Z' = -20 - Z; Y stays: the same as a half turn about the Y axis
    back = swept(second).transform([[-1, 0, 0, 110], [0, 1, 0, 0], [0, 0, -1, -20]])
    assert isinstance(back, Manifold)
    part = stock - top - back
    assert stock.volume() == pytest.approx(110 * 80 * 20)
    left = stock.volume() - first.cut.removed - second.cut.removed
    assert left == pytest.approx(part.volume(), rel=5e-4)
    assert second.cut.removed == pytest.approx(((stock - top) ^ back).volume(), rel=1e-3)
    assert (stock ^ back).volume() > second.cut.removed + 100  # what the hollow saves
    # and cell by cell: what stands in each column is a stretch from bottom to height
    cut = second.cut
    there = cut.heights > -1e5
    stands = float((cut.heights - cut.bottoms)[there].sum()) * cut.grid.pitch**2
    assert stands == pytest.approx(part.volume(), rel=5e-4)
