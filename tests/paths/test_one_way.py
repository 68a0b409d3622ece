"""Straight rows asked for one way go that way, also where they begin at a wall."""

from __future__ import annotations

import pytest
from planning_bench import a_pass, bench, block
from test_cut_properties import motions_of

from compiler.motion import Role, Straight


@pytest.mark.parametrize(("direction", "sign"), [("climb", -1), ("conventional", 1)])
def test_rows_beside_a_wall_go_the_way_asked(direction: str, sign: int) -> None:
    """Counted upwards, what is still there lies above: on the right of those to the left, to climb.

    Those begin at the wall, the first of them come to from the air below it.
    """
    asked = a_pass("rough", to=-3.0, pattern="direction_parallel", angle=0.0, direction=direction)
    job, part = bench({"rail": block(40, -1, 53, 37)}, [asked], stock=block(0, 0, 52, 36))
    (path,) = motions_of(job, part).paths
    rows, at = list[float](), path.moves[0].to
    for move in path.moves[1:]:
        cut = isinstance(move, Straight) and move.role is Role.CUT
        if cut and abs(move.to.y - at.y) < 1e-6 and abs(move.to.x - at.x) > 6.0:
            rows.append(move.to.x - at.x)
        at = move.to
    assert len(rows) >= 8
    assert all(row * sign > 0 for row in rows)
