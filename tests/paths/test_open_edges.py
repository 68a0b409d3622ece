"""Breaking the edge of an open region: all along the stock, and no farther into the air."""

from __future__ import annotations

from pathlib import Path

from compiler.road import prove_job


def test_the_edge_of_an_open_rail_is_broken_all_along(specs: Path) -> None:
    journey = prove_job(specs / "altitude-block.yaml", specs.parent)
    assert "W406" not in [found.code for found in journey.findings]
    top = journey.setups[0]
    (edges,) = (path for path in top.motions.paths if path.operation == "break_edges 1")
    # the cone meets the rail's edge, at X 90, from end to end of the stock, 80 mm
    along = [move.to for move in edges.moves if abs(move.to.x - 89.546) < 0.01 and move.to.z < 0]
    low, high = min(to.y for to in along), max(to.y for to in along)
    assert -5 < low <= 0 and 80 <= high < 85
