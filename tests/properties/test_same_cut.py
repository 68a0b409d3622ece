"""The same job elsewhere, turned, mirrored, or in the other unit is cut the same.

What is asked: every operation takes the same at each height, to `SWEPT` of its area; its cutting
length and the time it takes agree within `LENGTH` or `SHORT`. What may differ: where rows of equal
right begin, which of two equally near places comes next, and so the links; defaults that are round
in each unit (clearance 2.5 mm, 0.1 in; approach 1.3 mm, 0.05 in), and feeds, which are rounded to
what reads well in the job's own.
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
import shapely
import yaml
from conftest import THOROUGH
from moved_jobs import in_inches, mirrored, moved, turned
from random_jobs import wide_job
from shapely.affinity import affine_transform

from compiler.geometry import Arc
from compiler.geometry.polygon import to_polygon
from compiler.motion import Motions, OperationPath, Point3, Rapid, Role, Straight, Turn
from compiler.part.model import Part
from compiler.paths.cut import cut
from compiler.road import lower_job
from compiler.spec.load import load_job

SWEPT = 0.001  # of the area taken, and
LEAST = 0.05  # mm2: chords of 0.005 mm and films along rows
LENGTH = 0.02  # of the cutting length, and of its time, or
SHORT = 2.0  # mm
Taken = tuple[str, float, shapely.Geometry]
BACK = {  # the change undone, as shapely's a, b, d, e, x, y
    "moved": (moved, (1, 0, 0, 1, -37.5, 12.25)),
    "turned": (turned, (0, 1, -1, 0, 0, 0)),
    "mirrored": (mirrored, (-1, 0, 0, 1, 0, 0)),
    "in inches": (in_inches, (1, 0, 0, 1, 0, 0)),
}


def planned(folder: Path, data: dict[str, Any]) -> tuple[Part, Motions, dict[str, float]]:
    """Part and motions, and the radius of each tool."""
    spec = folder / "job.yaml"
    spec.write_text(yaml.safe_dump(data, sort_keys=False), encoding="utf-8")
    loaded = load_job(spec, folder).value
    assert loaded is not None
    lowered = lower_job(loaded.job)
    assert lowered.part is not None and lowered.plan is not None, lowered.findings
    motions = cut(loaded.job, lowered.part, lowered.plan)
    assert motions.value is not None, motions.findings
    return lowered.part, motions.value, {tool.name: tool.radius for tool in loaded.job.tools}


def cuts(path: OperationPath) -> list[tuple[float, list[tuple[float, float]], float]]:
    """Unbroken level cuts: height, places along them, seconds at their feeds."""
    found: list[tuple[float, list[tuple[float, float]], float]] = []
    at, going = path.moves[0].to, False
    for move in path.moves[1:]:
        level = not isinstance(move, Rapid) and abs(at.z - move.to.z) < 1e-9
        if level and not isinstance(move, Rapid) and move.role is Role.CUT:
            places = flat(at, move)
            time = shapely.LineString(places).length / move.feed * 60
            if going:
                height, before, so_far = found[-1]
                found[-1] = (height, before + places[1:], so_far + time)
            else:
                found.append((round(at.z, 4), places, time))
            going = True
        else:
            going = False
        at = move.to
    return found


def flat(at: Point3, move: Straight | Turn) -> list[tuple[float, float]]:
    if not isinstance(move, Turn):
        return [(at.x, at.y), (move.to.x, move.to.y)]
    arc = Arc(at.xy, move.to.xy, move.centre, move.ccw)
    count = max(2, math.ceil(abs(arc.sweep) / 0.05))
    return [(p.x, p.y) for p in (arc.at(k / count) for k in range(count + 1))]


def taken(motions: Motions, part: Part, radii: dict[str, float]) -> list[Taken]:
    """What each operation takes at each of its heights of what was still there: height, area."""
    stock = to_polygon(part.stock, 0.002)
    gone: list[tuple[float, shapely.Geometry]] = []
    found: list[Taken] = []
    for path in motions.paths:
        runs: dict[float, list[shapely.Geometry]] = {}
        for height, places, _ in cuts(path):
            line = shapely.LineString(places)
            runs.setdefault(height, []).append(line.buffer(radii[path.tool], quad_segs=24))
        for height, areas in runs.items():
            swept = shapely.union_all(areas)
            before = shapely.union_all([area for z, area in gone if z <= height + 1e-6])
            found.append((path.operation, height, swept.intersection(stock).difference(before)))
            gone.append((height, swept))
    return found


# the suite stays quick by default; `HYPOTHESIS_PROFILE=thorough` looks at more jobs
SEEDS = [4, 28] if THOROUGH else [4]


@cache
def as_drawn(seed: int) -> tuple[Motions, dict[str, float], list[Taken]]:
    """The job before any change: motions, the radius of each tool, what is taken."""
    with TemporaryDirectory() as name:
        part, motions, radii = planned(Path(name).resolve(), wide_job(seed))
    return motions, radii, taken(motions, part, radii)


@pytest.mark.parametrize("change", list(BACK))
@pytest.mark.parametrize("seed", SEEDS)
def test_the_same_cut(tmp_path: Path, seed: int, change: str) -> None:
    alter, back = BACK[change]
    data = wide_job(seed)
    other = alter(data, 37.5, -12.25) if change == "moved" else alter(data)
    first, radii, here = as_drawn(seed)
    elsewhere, second, _ = planned(tmp_path, other)
    assert [p.operation for p in first.paths] == [p.operation for p in second.paths]
    there = taken(second, elsewhere, radii)
    assert [name for name, *_ in here] == [name for name, *_ in there]
    for (name, height, one), (_, level, two) in zip(here, there, strict=True):
        assert height == pytest.approx(level, abs=1e-3)
        apart = one.symmetric_difference(affine_transform(two, back)).area
        assert apart <= SWEPT * one.area + LEAST, (name, apart, one.area)
    for a, b in zip(first.paths, second.paths, strict=True):
        lengths = [sum(shapely.LineString(xy).length for _, xy, _ in cuts(p)) for p in (a, b)]
        times = [sum(time for *_, time in cuts(p)) for p in (a, b)]
        assert lengths[1] == pytest.approx(lengths[0], rel=LENGTH, abs=SHORT), a.operation
        assert times[1] == pytest.approx(times[0], rel=LENGTH, abs=SHORT / 5), a.operation
