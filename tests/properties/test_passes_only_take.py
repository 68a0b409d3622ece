"""A pass more never leaves more standing, and a job drawn another way is cut the same.

Over a small plate with what each pattern of rows has to deal with: a boss, a gap that only the
smaller cutter enters, an open rail.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import shapely
import yaml
from moved_jobs import mirrored, moved, turned
from shapely.affinity import affine_transform
from test_same_cut import LEAST, LENGTH, SHORT, SWEPT, cuts, taken

from compiler.geometry.polygon import to_polygon
from compiler.job.model import Job
from compiler.motion import Motions
from compiler.part.model import Gone, Part
from compiler.paths.cut import cut_down
from compiler.paths.sets import SLIVER, area_of, opened
from compiler.plan.model import OperationList
from compiler.road import lower_job
from compiler.spec.load import load_job

Data = dict[str, Any]
ROWS = ("contour_parallel", "direction_parallel")


def plate(rows: str) -> Data:
    """The job as plain data: 30 x 20 mm, cutters of 8 and 5 mm, a gap of 6 mm."""

    def mill(diameter: float) -> Data:
        keys = {"flutes": 3, "flute_length": 12, "stickout": 20, "centre_cutting": True}
        return {"end_mill": {"diameter": diameter, "material": "carbide", **keys}}

    common: Data = {"pattern": rows, "direction": "climb"}
    if rows == "direction_parallel":
        common["angle"] = 0
    left: Data = {"allowance": {"wall": 0.2, "floor": 0.1}}
    return {
        "spec": "job/1",
        "name": "small-plate",
        "units": "mm",
        "machine": "machining_centre_medium",
        "material": "aluminium_6061",
        "stock": {"outline": {"rectangle": {"from": [0, 0], "to": [30, 20]}}, "thickness": 8},
        "keep_regions": {
            "boss": {"circle": {"centre": [8, 10], "radius": 3}},
            "block": {"rectangle": {"from": [17, 6], "size": [5, 8]}},
            "rail": {
                "open": {
                    "path": {"start": [26, 0], "steps": [{"line": [26, 20]}]},
                    "stands": "right",
                }
            },
        },
        "tools": {"T1": mill(8), "T2": mill(5)},
        "passes": [
            {"rough": {"tool": "T1", "to": -2, **common, **left}},
            {"rest": {"tool": "T2", **common, **left}},
            {"finish_floor": {"tool": "T2", **common}},
        ],
    }


def in_two(job: Data) -> Data:
    """The block as two that lap over each other, the boss as two halves that touch."""
    halves = [{"from": [17, 6], "size": [3, 8]}, {"from": [19, 6], "size": [3, 8]}]
    disc = {"circle": {"centre": [8, 10], "radius": 3}}
    left, right = ({"rectangle": {"from": [x, 5], "to": [x + 4, 15]}} for x in (4, 8))
    regions = {
        **job["keep_regions"],
        "block": {"any_of": [{"rectangle": half} for half in halves]},
        "boss": {"any_of": [{**disc, "minus": [left]}, {**disc, "minus": [right]}]},
    }
    return {**job, "keep_regions": regions}


def elsewhere(job: Data) -> Data:
    """In two, moved, then a quarter turn."""
    return turned(moved(in_two(job), 7.5, -3.25))


# each with what undoes it, as shapely's a, b, d, e, x, y. Straight rows are counted from the right
# of their direction to the left, mirrored too: only those along walls have a mirror image
CHANGES = {
    "contour_parallel": (lambda job: mirrored(elsewhere(job)), (0, 1, 1, 0, -7.5, 3.25)),
    "direction_parallel": (elsewhere, (0, 1, -1, 0, -7.5, 3.25)),
}


@dataclass(frozen=True)
class Cut:
    """A job planned: its value, part, plan, motions, what they take."""

    job: Job
    part: Part
    plan: OperationList
    motions: Motions
    areas: tuple[Gone, ...]

    @property
    def radii(self) -> dict[str, float]:
        return {tool.name: tool.radius for tool in self.job.tools}


def cut_through(job: Job, part: Part, plan: OperationList) -> Cut:
    motions, areas = cut_down(job, part, plan)
    assert motions.value is not None, motions.findings
    return Cut(job, part, plan, motions.value, areas)


def cut_of(data: Data) -> Cut:
    with TemporaryDirectory() as name:
        spec = Path(name).resolve() / "job.yaml"
        spec.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
        loaded = load_job(spec, spec.parent).value
        assert loaded is not None
        lowered = lower_job(loaded.job)
    assert lowered.part is not None and lowered.plan is not None, lowered.findings
    return cut_through(loaded.job, lowered.part, lowered.plan)


@cache
def as_drawn(rows: str) -> Cut:
    return cut_of(plate(rows))


@pytest.mark.parametrize("rows", ROWS)
def test_rows_take_the_same_however_the_job_is_drawn(rows: str) -> None:
    alter, back = CHANGES[rows]
    one, two = as_drawn(rows), cut_of(alter(plate(rows)))
    here, there = (taken(each.motions, each.part, each.radii) for each in (one, two))
    assert [(name, z) for name, z, _ in here] == [(name, z) for name, z, _ in there]
    for (name, _, area), (_, _, other) in zip(here, there, strict=True):
        apart = area.symmetric_difference(affine_transform(other, back)).area
        assert apart <= SWEPT * area.area + LEAST, (name, apart, area.area)
    for a, b in zip(one.motions.paths, two.motions.paths, strict=True):
        lengths = [sum(shapely.LineString(xy).length for _, xy, _ in cuts(p)) for p in (a, b)]
        assert lengths[1] == pytest.approx(lengths[0], rel=LENGTH, abs=SHORT), a.operation


def down_to(cut: Cut, z: float) -> shapely.Geometry:
    """Where the passes took the blank so deep."""
    areas = [gone.area for gone in cut.areas if gone.height <= z + 1e-6]
    return shapely.union_all(areas).intersection(to_polygon(cut.part.stock, 0.002))


@pytest.mark.parametrize("rows", ROWS)
def test_a_pass_more_leaves_nothing_more_standing(rows: str) -> None:
    """Set inclusion, to the film that chords leave: with a rest pass before the floor, and without.

    The rest pass changes what the floor's own finds, and so its rows.
    """
    many = as_drawn(rows)
    rough, _, floor = many.plan.operations
    without = many.plan.model_copy(update={"operations": (rough, floor)})
    few = cut_through(many.job, many.part, without)
    assert not down_to(few, -2.0).is_empty
    for z in (-1.9, -2.0):
        more = area_of(down_to(few, z).difference(down_to(many, z)))
        assert opened(more, SLIVER / 2).area <= LEAST, z
