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

JOBS = ("finder-bracket", "eyepiece-bracket", "focuser-ring")


@pytest.mark.parametrize("name", JOBS)
def test_removed_volume_is_that_of_the_solids(specs: Path, name: str) -> None:
    from solidsweeps import removed_volume

    case = prove_job(specs / f"{name}.yaml", specs.parent).case
    assert case is not None
    expected = removed_volume(case)
    # the raster's cells go by their centres: edges err by a fraction of a cell, to either side
    assert case.cut.removed == pytest.approx(expected, rel=1e-3)
