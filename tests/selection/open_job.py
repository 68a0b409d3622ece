"""A small job that leaves its cutters open, in a folder with a shop of its own."""

from __future__ import annotations

from pathlib import Path

from compiler.job.model import Job
from compiler.road import Journey, compile_job, lower_job
from compiler.spec.load import load_job

CRIB = {
    "em_16": "{diameter: 16, flutes: 3, flute_length: 32, material: carbide, centre_cutting: true}",
    "em_10": "{diameter: 10, flutes: 3, flute_length: 22, material: carbide, centre_cutting: true}",
    "em_5": "{diameter: 5, flutes: 3, flute_length: 13, material: carbide, centre_cutting: true}",
}
ROUND = "post: {circle: {centre: [30, 20], diameter: 16}}"
# two ribs with a gap of 7 mm between them
RIBS = (
    "one: {rectangle: {from: [12, 8], size: [10, 24], corner_radius: 2}}, "
    "two: {rectangle: {from: [29, 8], size: [10, 24], corner_radius: 2}}"
)
# an angle whose inside corner has a radius of 3 mm
ANGLE = (
    "angle: {outline: {start: [10, 8], steps: [{line: [45, 8]}, {line: [45, 16]}, "
    "{line: [20, 16], round: 3}, {line: [20, 32]}, {line: [10, 32]}, {line: [10, 8]}]}}"
)
ROUGH = "rough: {tool: auto, to: -4}"
WALLS = "finish_walls: {tool: auto}"


def shop_text(crib: dict[str, str] = CRIB, more: str = "") -> str:
    cutters = "\n".join(f"  {name}: {{end_mill: {said}}}" for name, said in crib.items())
    return f"spec: shop/1\nunits: mm\ncrib:\n{cutters}\n{more}"


def job_text(
    *passes: str,
    keep: str = ROUND,
    tools: str = "",
    machine: str = "machining_centre_medium",
    material: str = "aluminium_6061",
) -> str:
    listed = "\n".join(f"  - {said}" for said in passes)
    own = f"tools: {{{tools}}}\n" if tools else ""
    return (
        "spec: job/1\nname: open-job\nunits: mm\nshop: shop.yaml\n"
        f"machine: {machine}\nmaterial: {material}\n"
        "stock: {outline: {rectangle: {from: [0, 0], to: [60, 40]}}, thickness: 12}\n"
        f"keep_regions: {{{keep}}}\n{own}passes:\n{listed}\n"
    )


def write_job(folder: Path, job: str, shop: str | None = None) -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "shop.yaml").write_text(shop_text() if shop is None else shop, encoding="utf-8")
    path = folder / "job.yaml"
    path.write_text(job, encoding="utf-8")
    return path


def loaded(folder: Path, job: str, shop: str | None = None) -> Job:
    reading = load_job(write_job(folder, job, shop), folder)
    assert reading.value is not None and not reading.failed, reading.findings
    return reading.value.job


def lowered(folder: Path, job: str, shop: str | None = None) -> Journey:
    return lower_job(loaded(folder, job, shop))


def compiled(folder: Path, job: str, shop: str | None = None) -> Journey:
    return compile_job(loaded(folder, job, shop))


def cutters(journey: Journey) -> dict[str, str]:
    assert journey.plan is not None, journey.findings
    return {operation.id: operation.tool for operation in journey.plan.operations}
