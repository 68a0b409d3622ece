"""The sets behind the paths, against closed forms and a raster opening."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from planning_bench import Keep, a_pass, bench, block, disc, end_mill, with_holes
from skimage.morphology import opening

from compiler.geometry.inside import contains_many
from compiler.geometry.polygon import to_polygon
from compiler.paths import sets
from compiler.paths.sets import CHORD, Ground, Sweep
from compiler.paths.tasks import task_for
from compiler.plan.lower import lower
from compiler.plan.model import Level, Operation


def rough_of(keep, diameter: float, **keys):
    job, part = bench(
        keep,
        [a_pass("rough", to=-4.0, pattern="contour_parallel", **keys)],
        tools=[end_mill("T1", diameter)],
    )
    plan = lower(job, part)
    assert plan.value is not None
    operation: Operation = plan.value.operations[0]
    ground = Ground(to_polygon(part.stock, CHORD, "outside"), 0.0)
    level: Level = operation.levels[-1]
    task = task_for(part, operation, level, job.tools[0], ground, left_on_walls=0.0)
    return task, part


def reach_in_stock(task, part) -> shapely.Geometry:
    stock = to_polygon(part.stock, CHORD, "nearest")
    return sets.swell(task.centres, task.radius).intersection(stock)


def test_what_stays_in_square_corners_is_the_closed_form() -> None:
    """A = r^2 (cot(theta/2) - (pi - theta)/2) a corner: 5.365046 for r 5 and 90 degrees.

    Plane geometry, derived.
    """
    pocket = with_holes(block(-5, -5, 105, 75), block(20, 20, 80, 60))
    task, part = rough_of({"frame": pocket}, 10.0)
    left = 60 * 40 - reach_in_stock(task, part).area
    assert left == pytest.approx(4 * 5.365046, abs=60 * 4 * CHORD)


def test_what_a_fillet_leaves_is_the_closed_form() -> None:
    """(r^2 - Rc^2)(cot(theta/2) - (pi - theta)/2): 3.433629 for r 5, Rc 3. Plane geometry."""
    pocket = with_holes(block(-5, -5, 105, 75), block(20, 20, 80, 60, 3))
    task, part = rough_of({"frame": pocket}, 10.0)
    opened = 60 * 40 - 4 * (1 - math.pi / 4) * 9
    left = opened - reach_in_stock(task, part).area
    assert left == pytest.approx(4 * 3.433629, abs=60 * 4 * CHORD)


def test_the_reachable_area_is_the_opening_of_the_free_one() -> None:
    """Against scikit-image: the morphological opening of the raster of what does not stand."""
    keep = {
        "boss": disc(30, 30, 12),
        "bar": block(50, 10, 58, 60),
        "near": block(63, 18, 90, 27, 2),
        "far": disc(78, 50, 15),
    }
    radius, pitch, margin = 4.0, 0.4, 12.0
    task, part = rough_of(keep, 2 * radius)
    x = np.arange(-margin, 100 + margin, pitch) + pitch / 2
    y = np.arange(-margin, 70 + margin, pitch) + pitch / 2
    xx, yy = np.meshgrid(x, y)
    points = np.column_stack([xx.ravel(), yy.ravel()])
    standing = np.zeros(len(points), dtype=bool)
    for region in part.standing:
        standing |= contains_many(region.region, points)
    offsets = np.arange(-radius, radius + pitch / 2, pitch)
    footprint = np.hypot(*np.meshgrid(offsets, offsets)) <= radius
    raster = opening(~standing.reshape(xx.shape), footprint).ravel()
    ours = shapely.contains_xy(sets.swell(task.centres, radius), points[:, 0], points[:, 1])
    edge = sets.swell(task.centres, radius).boundary
    clear = shapely.distance(edge, shapely.points(points)) > 2 * pitch
    inner = (np.abs(points[:, 0] - 50) < 45) & (np.abs(points[:, 1] - 35) < 30)
    wrong = raster[clear & inner] != ours[clear & inner]
    # in a throat hardly wider than the disc the raster's rounding decides
    assert wrong.mean() < 0.001


def test_polygons_keep_to_the_safe_side() -> None:
    task, _ = rough_of({"boss": disc(40, 35, 15)}, 10.0)
    gap = shapely.distance(task.centres, shapely.Point(40, 35))
    assert 20.0 - 1e-9 <= gap <= 20.0 + CHORD


def test_the_ground_forgets_only_what_was_cut_as_deep() -> None:
    ground = Ground(shapely.box(0, 0, 10, 10), 0.0)
    ground = ground.after(Sweep("rough", -2.0, shapely.box(0, 0, 10, 5)))
    ground = ground.after(Sweep("rest", -4.0, shapely.box(0, 0, 5, 5)))
    assert ground.at(0.0).is_empty
    assert ground.at(-2.0).area == 50
    assert ground.at(-4.0).area == 75
    assert ground.at(-5.0).area == 100
    assert ground.at(-2.0, only=["rest"]).area == 75


def test_the_holder_is_kept_off_what_stands_high() -> None:
    """Alongside what is higher than the stick-out the tool is as wide as its holder."""
    from compiler.job.model import Holder

    slim = end_mill("T1", 6.0, flute_length=5.0, stickout=10.0, shank_diameter=8.0,
                    holder=Holder(diameter=30.0, length=50.0))  # fmt: skip
    assert sets.widest(slim, 4.0) == 3.0
    assert sets.widest(slim, 8.0) == 4.0
    assert sets.widest(slim, 12.0) == 15.0


def test_a_terrace_is_work_only_at_its_own_level() -> None:
    keep = {"boss": disc(30, 35, 10), "lug": Keep(block(60, 20, 85, 50), top=-2.0)}
    job, part = bench(keep, [a_pass("rough", to=-6.0), a_pass("finish_floor")])
    plan = lower(job, part)
    assert plan.value is not None
    finish = plan.value.operations[1]
    cut = shapely.box(-20, -20, 120, 90).difference(shapely.box(59, 19, 86, 51))
    ground = Ground(shapely.box(0, 0, 100, 70), 0.0).after(Sweep("rough", -5.9, cut))
    ground = ground.after(Sweep("rough", -1.9, shapely.box(-20, -20, 120, 90)))
    task = task_for(part, finish, finish.levels[0], job.tools[0], ground, left_on_walls=0.0)
    around = shapely.box(60, 20, 85, 50).buffer(5.01)
    assert around.covers(task.work) and task.work.area > 800
