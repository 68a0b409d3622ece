"""Where no wall stands beside it, a terrace or a blank is cut in rows inwards from its own edge."""

from __future__ import annotations

import pytest
import shapely
from planning_bench import Keep, a_pass, bench, block, disc
from test_cut_properties import motions_of

from compiler.motion import OperationPath, Rapid, Role

LOW = Keep(block(8, 8, 30, 28, corner=4.0), top=-2.0)
FACE = {"boss": Keep(disc(50, 35, 15), top=-1.0)}


def level_cuts(path: OperationPath, z: float) -> list[tuple[float, float]]:
    fed = [m for m in path.moves if not isinstance(m, Rapid) and m.role is Role.CUT]
    return [m.to.xy for m in fed if abs(m.to.z - z) < 1e-6]


def test_a_terrace_beside_no_wall_is_finished_with_one_way_down() -> None:
    """Rings one within the other, each come to from the one before."""
    keep = {"lug": LOW, "boss": disc(46, 18, 3)}
    floor = a_pass("finish_floor", pattern="contour_parallel", direction="climb")
    rough = a_pass("rough", to=-5.0, floor_allowance=0.2, pattern="contour_parallel")
    job, part = bench(keep, [rough, floor], stock=block(0, 0, 52, 36))
    path = motions_of(job, part).paths[-1]
    downs = [m.to for m in path.moves if not isinstance(m, Rapid) and m.role is Role.PLUNGE]
    assert [to.z for to in downs].count(-2.0) == 1
    assert not any(m.role is Role.RAMP for m in path.moves if not isinstance(m, Rapid))
    swept = shapely.LineString(level_cuts(path, -2.0)).buffer(5.0)
    assert swept.contains(shapely.box(10, 10, 28, 26))


@pytest.mark.parametrize(("direction", "side"), [("climb", -1), ("conventional", 1)])
def test_a_blank_is_faced_from_its_edge_inwards_in_the_direction_asked(
    direction: str, side: int
) -> None:
    """The material lies within the rings: on the right of travel, to climb, clockwise round it."""
    asked = a_pass("face", to=-1.0, pattern="contour_parallel", direction=direction)
    (path,) = motions_of(*bench(FACE, [asked])).paths
    assert not any(m.role is Role.RAMP for m in path.moves if not isinstance(m, Rapid))
    ring = shapely.LinearRing(level_cuts(path, -1.0)[:4])
    assert ring.is_ccw == (side > 0)
    # it comes down beside the blank of 100 x 70, not on it
    down = shapely.Point(path.moves[0].to.xy)
    assert down.distance(shapely.box(0, 0, 100, 70)) > 5.0
