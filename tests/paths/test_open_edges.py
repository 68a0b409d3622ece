"""Breaking the edge of an open region: all along the stock, and no farther into the air."""

from __future__ import annotations

from pathlib import Path

from compiler.paths.cut import cut
from compiler.road import lower_job
from compiler.spec.load import load_job


def test_the_edge_of_an_open_rail_is_broken_all_along(specs: Path) -> None:
    loaded = load_job(specs / "altitude-block.yaml", specs.parent).value
    assert loaded is not None
    lowered = lower_job(loaded.job)
    assert lowered.part is not None and lowered.plan is not None, lowered.findings
    motions = cut(loaded.job, lowered.part, lowered.plan)
    assert motions.value is not None
    assert "W406" not in [found.code for found in (*lowered.findings, *motions.findings)]
    (edges,) = (path for path in motions.value.paths if path.operation == "break_edges 1")
    # the cone meets the rail's edge, at X 90, from end to end of the stock, 80 mm
    along = [move.to for move in edges.moves if abs(move.to.x - 89.546) < 0.01 and move.to.z < 0]
    low, high = min(to.y for to in along), max(to.y for to in along)
    assert -5 < low <= 0 and 80 <= high < 85
