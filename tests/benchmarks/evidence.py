"""Measure the evidence: reading, cutting and judging a program. Run by name, no part of the suite.

    python tests/benchmarks/evidence.py [SPEC ... | bosses60 | bosses240 | growth]

All example jobs, the plate of 60 bosses and the growth from 15 to 60 where nothing is named. For
each: motions, pieces swept, cells of the raster, and the least processor time of some runs (this
process alone).
"""

from __future__ import annotations

import math
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "benchmarks")]

import numpy as np  # noqa: E402
import plates  # noqa: E402

from compiler.judge.judge import judge  # noqa: E402
from compiler.read import columns  # noqa: E402
from compiler.road import Journey, prove_job  # noqa: E402
from compiler.simulate.course import course  # noqa: E402

RUNS = 3
PLATE = """spec: job/1
name: bosses
units: inch
shop: shop.yaml
machine:
  axes: {{x: 40, y: 30, z: 20}}
  spindle: {{max_rpm: 6000, power: 3 hp}}
  feed: {{max: 150}}
material: aluminium_6061
stock: {{outline: {{rectangle: {{from: [0, 0], to: [{width}, {depth}]}}}}, thickness: 0.75}}
datum: {{at: stock lower_left}}
workholding: {{method: Clamped, lowest_cut: -0.45}}
keep_regions:
{regions}
tools: {{T1: {{crib: em_500_3fl}}}}
passes:
  - rough: {{tool: T1, to: -0.3, pattern: constant_engagement, engagement: 75}}
  - finish_walls: {{tool: T1}}
"""


def bosses(columns: int, rows: int) -> Journey:
    """The plate of `plates.bosses` as a job, proven."""
    _, standing = plates.bosses(columns, rows)
    regions = []
    for k, disc in enumerate(standing.geoms):
        x, y = (value / plates.INCH for value in (disc.centroid.x, disc.centroid.y))
        radius = (disc.bounds[2] - disc.bounds[0]) / 2 / plates.INCH
        regions.append(f"  b{k}: {{circle: {{centre: [{x:.4f}, {y:.4f}], radius: {radius:.4f}}}}}")
    text = PLATE.format(width=1.2 * columns, depth=2 * rows, regions="\n".join(regions))
    with tempfile.TemporaryDirectory() as folder:
        shop = (ROOT / "specs" / "shop.yaml").read_text(encoding="utf-8")
        (Path(folder) / "shop.yaml").write_text(shop, encoding="utf-8")
        spec = Path(folder) / "bosses.yaml"
        spec.write_text(text, encoding="utf-8")
        return prove_job(spec, Path(folder))


def report(name: str, road: Journey) -> tuple[float, int]:
    """Prints a line; the seconds of the whole evidence, and the program's blocks."""
    if not (road.job and road.part and road.plan and road.motions and road.written and road.case):
        print(f"{name:24} no program: {[f.message for f in road.findings][:2]}")
        return math.nan, 1
    text, owner = road.written.text, road.written.line_owner
    given = {"job": road.job, "part": road.part, "plan": road.plan, "motions": road.motions}
    best = math.inf
    for _ in range(RUNS):
        start = time.process_time()
        judge(**given, text=text, line_owner=owner)
        best = min(best, time.process_time() - start)
    tools = [tool for tool in road.job.tools if tool in road.case.tools]
    places = [-1 if tool is None else tools.index(tool) for tool in road.case.tools]
    every = columns(road.case.motions)
    swept = course(every, np.array(places, dtype=np.int64), tools, road.part.stock_top).size
    grid = road.case.cut.grid
    print(
        f"{name:24} {len(road.case.motions):6} motions {swept:6} pieces "
        f"{grid.nx * grid.ny / 1e6:6.2f} Mcells of {grid.pitch:.3f} mm  "
        f"evidence {best:.3f} s, {1e6 * best / max(swept, 1):.0f} us a piece",
        flush=True,
    )
    return best, len(road.case.program.blocks)


def main(names: list[str]) -> None:
    """The named ones, or everything."""
    every = [str(path) for path in sorted((ROOT / "specs").glob("*.yaml")) if path.stem != "shop"]
    for name in names or [*every, "growth"]:
        if name == "growth":
            (few, short), (many, long) = (
                report(f"bosses{c * r}", bosses(c, r)) for c, r in ((5, 3), (10, 6))
            )
            exponent = math.log(many / few) / math.log(long / short)
            print(f"from {short} to {long} blocks: time grows with exponent {exponent:.2f}")
        elif name.startswith("bosses"):
            report(name, bosses(*((20, 12) if name == "bosses240" else (10, 6))))
        else:
            report(Path(name).stem, prove_job(Path(name).resolve(), ROOT))


if __name__ == "__main__":
    main(sys.argv[1:])
