"""Jobs drafted from public models of NIST, proven, and held against the solids themselves.

What was cut away is compared with the solid through the geometry kernel, which knows nothing of
regions, tools and programs.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from conftest import ROOT

from compiler.geometry import Point, Region
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


def drafted(standproud, folder: Path, name: str, shop: str | None, monkeypatch):
    """A draft of a public model, and the proof that it was written with."""
    from compiler import road

    if not (MODELS / name).exists():
        pytest.skip(f"the sample model {name} is not here")
    shutil.copy(MODELS / name, folder)
    if shop is None:
        shutil.copy(ROOT / "specs" / "shop.yaml", folder)
    else:
        (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    journeys = []
    prove = road.prove_job

    def kept(*arguments):
        journeys.append(prove(*arguments))
        return journeys[-1]

    monkeypatch.setattr(road, "prove_job", kept)
    ran = standproud("draft", folder / name, "-o", folder / "job.yaml")
    assert ran.status == 0, ran.err
    journey = journeys[-1]
    assert journey.report is not None and journey.report.held
    return journey


def held_against(journey, name: str, *, most_left: float) -> None:
    """The cut against the solid: nothing of it is cut, and little more than it is left.

    `most_left`: what may stay beyond the solid, as a share of what was to go: slopes that stand as
    steps, holes left for drills.
    """
    solid = laid(read_solid((MODELS / name).read_bytes(), Voice(name)).value, Voice(name), z0="top")
    assert solid.value is not None
    job = journey.loaded.job
    floor = min(asked.to for asked in job.passes if asked.to is not None)
    x0, y0, x1, y1 = job.stock.region.bounds
    slab = BRepPrimAPI_MakeBox(gp_Pnt(x0, y0, floor), gp_Pnt(x1, y1, 0.0)).Shape()
    above = volume_of(BRepAlgoAPI_Common(solid.value.shape, slab).Shape())
    to_go = job.stock.region.area * -floor - above
    removed = journey.report.removed_mm3
    # the simulation counts cells: a few parts in a thousand either way
    assert removed <= to_go * 1.003
    assert removed >= to_go * (1 - most_left)
    nothing_of_it_is_cut(job, solid.value, floor)


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
    for _ in range(6000):
        place = Point(chance.uniform(x0, x1), chance.uniform(y0, y1))
        z = chance.uniform(floor + 0.01, 0.0)
        inside.Perform(gp_Pnt(place.x, place.y, z), 1e-6)
        if inside.State() == TopAbs_State.TopAbs_IN:
            met += 1
            assert any(top >= z - 1e-3 and test.contains(place) for test, top in regions), (
                place,
                z,
            )
    assert met > 20


@pytest.mark.slow
def test_the_inch_part_of_bosses_and_fins(standproud, tmp_path, monkeypatch) -> None:
    journey = drafted(standproud, tmp_path, "part_904_inch.stp", None, monkeypatch)
    held_against(journey, "part_904_inch.stp", most_left=0.03)
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "sloped or rounded faces" in text and "hole to drill" in text


@pytest.mark.slow
def test_the_large_part_in_millimetres(standproud, tmp_path, monkeypatch) -> None:
    journey = drafted(standproud, tmp_path, "ctc_01_mm.stp", SHOP, monkeypatch)
    held_against(journey, "ctc_01_mm.stp", most_left=0.03)
    text = (tmp_path / "job.yaml").read_text(encoding="utf-8")
    assert "sloped or rounded faces" in text
