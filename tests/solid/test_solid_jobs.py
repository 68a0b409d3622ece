"""The same plate typed in, drawn and modelled: the same program, but for its comments."""

from __future__ import annotations

import re
import runpy
import shutil
from pathlib import Path

import pytest
from conftest import ROOT
from step_maker import box, errors, fused, read, step

from compiler.solid.read import volume_of
from compiler.spec.load import load_job

SPECS = ROOT / "specs"
TYPED = {
    "ring": "{circle: {centre: [35, 38], radius: 22}, "
    "minus: [{circle: {centre: [35, 38], radius: 12}}], tolerance: 0.05}",
    "lug": "{slot: {from: [78, 24], to: [78, 50], width: 16}, top: -2}",
    "pad": "{rectangle: {from: [46, 3], size: [20, 6]}, top: -3}",
}


def program(spec: Path, root: Path) -> str:
    """The program's text as far as it moves the machine: no comments, no names."""
    from compiler.paths.cut import cut
    from compiler.road import plan_job
    from compiler.write import write

    journey = plan_job(spec, root)
    assert journey.loaded and journey.part and journey.plan, journey.findings
    motions = cut(journey.loaded.job, journey.part, journey.plan)
    assert motions.value is not None, motions.findings
    text = write(job=journey.loaded.job, plan=journey.plan, motions=motions.value).text
    return re.sub(r"\([^)]*\)", "", text)


def typed(folder: Path) -> Path:
    """The drawn job with its shapes typed in."""
    shutil.copy(SPECS / "shop.yaml", folder)
    text = (SPECS / "guider-plate-drawn.yaml").read_text(encoding="utf-8")
    for name, shape in TYPED.items():
        text = re.sub(rf"(?m)^  {name}: .*$", f"  {name}: {shape}", text)
    text = re.sub(r"(?m)^  at: .*$", "  at: [35, 38]", text)
    assert "drawings/" not in re.sub("#.*", "", text)
    (folder / "typed.yaml").write_text(text, encoding="utf-8")
    return folder / "typed.yaml"


def test_typed_drawn_and_modelled_give_the_same_program(tmp_path: Path) -> None:
    typed_in = program(typed(tmp_path), tmp_path)
    drawn = program(SPECS / "guider-plate-drawn.yaml", ROOT)
    modelled = program(SPECS / "guider-plate-modelled.yaml", ROOT)
    blank = re.compile(r"\s+")
    assert blank.sub(" ", drawn) == blank.sub(" ", typed_in)
    assert blank.sub(" ", modelled) == blank.sub(" ", typed_in)


def test_the_drawing_and_the_model_are_as_their_script_makes_them() -> None:
    made = runpy.run_path(str(SPECS / "drawings" / "make.py"))
    folder = SPECS / "drawings"
    assert made["drawing"]() == (folder / "guider-plate.dxf").read_bytes()
    # the kernel's own version may number its records otherwise: compare what they say
    fresh, committed = read(made["model"]()), read((folder / "guider-plate.step").read_bytes())
    assert volume_of(fresh.shape) == pytest.approx(volume_of(committed.shape), rel=1e-12)
    assert fresh.box == committed.box
    floor, standing = 100 * 70 * 6, volume_of(committed.shape)
    by_hand = made["standing_area"]()
    assert floor < standing < floor + 6 * by_hand


def job(folder: Path, shape: str) -> Path:
    text = f"""spec: job/1
name: block
units: inch
machine: knee_mill
material: aluminium_6061
stock: {{around: model, margin: 1/8, thickness: 1}}
keep_regions: {{block: {{model: {{file: part.step, {shape}}}}}}}
tools:
  T1: {{end_mill: {{diameter: 1/4, flutes: 3, flute_length: 0.75, stickout: 1, material: carbide}}}}
passes:
  - rough: {{tool: T1, to: -0.1}}
"""
    (folder / "job.yaml").write_text(text, encoding="utf-8")
    return folder / "job.yaml"


def test_heights_are_in_the_units_of_the_job_and_the_stock_goes_round_the_model(tmp_path) -> None:
    part = fused(box((0, 0, 0), (40, 30, 10)), box((5, 5, 10), (20, 20, 25.4)))
    (tmp_path / "part.step").write_bytes(step(part))
    loaded = load_job(job(tmp_path, "z0: bottom, at_z: 0.5"), tmp_path)
    assert loaded.value is not None, loaded.findings
    assert loaded.value.job.keep_regions[0].shape.area == pytest.approx(225)
    assert loaded.value.job.stock.region.bounds == pytest.approx((-3.175, -3.175, 43.175, 33.175))
    below = load_job(job(tmp_path, "z0: top, at_z: -0.8"), tmp_path)
    assert below.value is not None
    assert below.value.job.keep_regions[0].shape.area == pytest.approx(1200)
    over = load_job(job(tmp_path, "up: -z, z0: 0, seen_from_top: true"), tmp_path)
    assert over.value is not None
    assert over.value.job.keep_regions[0].shape.bounds == pytest.approx((0, -30, 40, 0), abs=1e-6)


@pytest.mark.parametrize(
    ("shape", "code"),
    [
        ("at_z: 3", "E724"),
        ("at_z: 0.1, containing: [9, 9]", "E726"),
        ("at_z: 0.1, up: z, up_face: [0, 0, 0]", "E111"),
    ],
)
def test_what_a_model_cannot_give_is_located(tmp_path: Path, shape: str, code: str) -> None:
    (tmp_path / "part.step").write_bytes(step(box((0, 0, 0), (40, 30, 10))))
    loaded = load_job(job(tmp_path, shape), tmp_path)
    assert errors(loaded) == [code]
    assert loaded.findings[0].primary is not None
    assert loaded.findings[0].primary.span.line == 7
