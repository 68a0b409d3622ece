"""A family of many small members in a clean folder, quick to build, for tests of trees."""

from __future__ import annotations

from pathlib import Path

from conftest import ROOT

FAMILY = """\
spec: family/1
name: guide ring
parameters:
  tube: {length: 8 mm, min: 4 mm, max: 14 mm}
members: rings.csv
job:
  units: mm
  shop: shop.yaml
  machine: small_machining_centre
  material: aluminium_6061
  stock: {outline: {rectangle: {from: [-10, -10], to: [10, 10]}}, thickness: 10}
  workholding: {lowest_cut: -3}
  keep_regions:
    ring: {circle: {centre: [0, 0], diameter: "${ tube }"}}
  tools: {T1: {crib: em_6mm_3fl}}
  passes:
    - rough: {tool: T1, to: -1, pattern: contour_parallel, radial_depth: 40%}
    - finish_walls: {name: finish, tool: T1}
"""


def rings(folder: Path, count: int) -> Path:
    """A folder that is a project of its own, with `count` members in one table."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / ".git").mkdir(exist_ok=True)  # the root ends here
    shop = (ROOT / "specs" / "shop.yaml").read_text(encoding="utf-8")
    (folder / "shop.yaml").write_text(shop, encoding="utf-8")
    (folder / "rings.yaml").write_text(FAMILY, encoding="utf-8")
    table(folder, [4 + 9 * i / max(count, 2) for i in range(count)])
    return folder


def table(folder: Path, sizes: list[float]) -> None:
    """The members: `ring-000` and so on, each with its tube."""
    rows = [f"ring-{i:03d},{size:.4f}" for i, size in enumerate(sizes)]
    (folder / "rings.csv").write_text("\n".join(["name,tube", *rows]) + "\n", encoding="utf-8")


def bytes_of(folder: Path) -> dict[str, bytes]:
    """Every file of a folder, by name."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
