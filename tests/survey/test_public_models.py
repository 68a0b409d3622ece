"""Jobs drafted from public models of NIST, proven, and held against the solids themselves.

What was cut away is compared with the solid through the geometry kernel, which knows nothing of
regions, tools and programs.
"""

from __future__ import annotations

import os
import random
import shutil
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.geometry import Point, Region, combine
from compiler.geometry.inside import InsideTest

pytest.importorskip("OCP", reason="the solid kernel (an optional extra) is not installed")

from OCP.BRepAlgoAPI import BRepAlgoAPI_Common
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.BRepPrimAPI import BRepPrimAPI_MakeBox
from OCP.gp import gp_Pnt
from OCP.TopAbs import TopAbs_State

from compiler.drawing.voice import Voice
from compiler.solid.orient import laid
from compiler.solid.read import read_solid, volume_of

MODELS = ROOT.parent / "shared" / "data" / "nist"

# a shop of our own invention, with cutters long enough for the larger part
SHOP = """spec: shop/1
name: observatory workshop
units: mm
machines:
  portal_mill:
    axes: {x: 1500, y: 900, z: 600}
    spindle: {max_rpm: 10000, min_rpm: 100, power: 15 kW, peak_torque: 100}
    feed: {max: 8000, rapid: 15000, acceleration: 1000}
    tool_change: automatic
crib:
  long_20: {end_mill: {diameter: 20, flutes: 3, flute_length: 60, stickout: 75, material: carbide,
            centre_cutting: true, holder: {diameter: 50, length: 80}}}
"""


def drafted(standproud, folder: Path, name: str, shop: str | None, monkeypatch, *, proven: bool):
    """A draft of a public model, and the journey that it was written with."""
    from compiler import road

    if not (MODELS / name).exists():
        pytest.skip(f"the sample model {name} is not here")
    shutil.copy(MODELS / name, folder)
    if shop is None:
        shutil.copy(ROOT / "specs" / "shop.yaml", folder)
    else:
        (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    journeys = []
    prove = road.prove_job if proven else road.plan_job

    def kept(*arguments):
        journeys.append(prove(*arguments))
        return journeys[-1]

    monkeypatch.setattr(road, "prove_job", kept)
    ran = standproud("draft", folder / name, "-o", folder / "job.yaml")
    assert ran.status == 0, ran.err
    return journeys[-1]


def solid_of(name: str):
    """The model as it is laid for cutting."""
    read = read_solid((MODELS / name).read_bytes(), Voice(name))
    assert read.value is not None
    turned = laid(read.value, Voice(name), z0="top").value
    assert turned is not None
    return turned


def to_go(job, solid) -> tuple[float, float]:
    """Volume that a perfect cut takes away, by the kernel, mm3, and the floor's Z."""
    floor = min(asked.to for asked in job.passes if asked.to is not None)
    x0, y0, x1, y1 = job.stock.region.bounds
    slab = BRepPrimAPI_MakeBox(gp_Pnt(x0, y0, floor), gp_Pnt(x1, y1, 0.0)).Shape()
    above = volume_of(BRepAlgoAPI_Common(solid.shape, slab).Shape())
    return job.stock.region.area * -floor - above, floor


def kept_volume(job, floor: float) -> float:
    """Volume of all keep regions above the floor, exact, mm3."""
    regions = [r for r in job.keep_regions if isinstance(r.shape, Region)]
    total, below = 0.0, floor
    for top in sorted({r.top for r in regions}):
        there = combine.union(*(r.shape for r in regions if r.top >= top))
        total += there.area * (top - below)
        below = top
    return total


def held_against(job, name: str, most_left: float) -> None:
    """What a job keeps against the solid: all of it, and little more.

    `most_left`: what may stay beyond the solid, as a share of what was to go: slopes that stand as
    steps, holes left for drills.
    """
    solid = solid_of(name)
    perfect, floor = to_go(job, solid)
    goes = job.stock.region.area * -floor - kept_volume(job, floor)
    assert perfect * (1 - most_left) <= goes <= perfect * 1.0001
    nothing_of_it_is_cut(job, solid, floor)


def nothing_of_it_is_cut(job, solid, floor: float) -> None:
    """Wherever the kernel finds material above the floor, a keep region reaches that high."""
    inside = BRepClass3d_SolidClassifier(solid.shape)
    regions = [
        (InsideTest(region.shape.segments()), region.top)
        for region in job.keep_regions
        if isinstance(region.shape, Region)
    ]
    chance = random.Random(904)
    x0, y0, _, x1, y1, _ = solid.box
    met = 0
    for _ in range(3000):
        place = Point(chance.uniform(x0, x1), chance.uniform(y0, y1))
        z = chance.uniform(floor + 0.01, 0.0)
        inside.Perform(gp_Pnt(place.x, place.y, z), 1e-6)
        if inside.State() == TopAbs_State.TopAbs_IN:
            met += 1
            assert any(top >= z - 1e-3 and test.contains(place) for test, top in regions), (
                place,
                z,
            )
    assert met > 10


# the plate's letters are 1.3 mm wide: they and its small holes are a seventh of what is to go
PARTS = [
    ("part_904_inch.stp", None, "hole to drill", 0.03),
    ("ctc_01_mm.stp", SHOP, "sloped or rounded", 0.03),
    ("plate_mm.step", None, "not cut: no cutter gets into", 0.14),
]


@pytest.mark.parametrize(("name", "shop", "said", "left"), PARTS)
def test_what_stands_is_the_solid(
    standproud, tmp_path, monkeypatch, name, shop, said, left
) -> None:
    journey = drafted(standproud, tmp_path, name, shop, monkeypatch, proven=False)
    held_against(journey.loaded.job, name, left)
    assert said in (tmp_path / "job.yaml").read_text(encoding="utf-8")


@pytest.mark.slow
@pytest.mark.skipif(
    os.environ.get("HYPOTHESIS_PROFILE") != "thorough",
    reason="a minute each; run with HYPOTHESIS_PROFILE=thorough",
)
@pytest.mark.parametrize(("name", "shop", "said", "left"), PARTS)
def test_what_is_cut_away_is_what_was_to_go(
    standproud, tmp_path, monkeypatch, name, shop, said, left
) -> None:
    journey = drafted(standproud, tmp_path, name, shop, monkeypatch, proven=True)
    assert journey.report is not None and journey.report.held
    perfect, _ = to_go(journey.loaded.job, solid_of(name))
    # the simulation counts cells: a few parts in a thousand either way
    assert perfect * (1 - left) <= journey.report.removed_mm3 <= perfect * 1.003
