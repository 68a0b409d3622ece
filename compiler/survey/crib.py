"""The shop's end mills against the tightest places: which pass, and which fill every corner."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

from compiler.diagnostics import Outcome
from compiler.spec.document import as_shop
from compiler.spec.files import first_file
from compiler.spec.models.tools import EndMill
from compiler.spec.shop import ShopFile
from compiler.spec.source import read
from compiler.survey.model import CutterRow, DrillRow, Survey

SHOP = "shop.yaml"


def find_shop(folder: Path, root: Path) -> Path | None:
    """The nearest file `shop.yaml` from a folder upwards, not beyond the root."""
    for candidate in (folder, *folder.parents):
        if (candidate / SHOP).is_file():
            return candidate / SHOP
        if candidate == root:
            break
    return None


def load_shop(path: Path, root: Path) -> Outcome[ShopFile]:
    """A shop file as typed values. Errors as in a job that names it."""
    found = first_file(path, root)
    if found.value is None:
        return Outcome(None, found.findings)
    tree = read(found.value.data, found.value.name)
    if tree.value is None:
        return Outcome(None, tree.findings)
    typed = as_shop(tree.value)
    if typed.value is None:
        return Outcome(None, (*tree.findings, *typed.findings))
    return Outcome(ShopFile.of(typed.value, tree.value), (*tree.findings, *typed.findings))


def _reach(mill: EndMill) -> float:
    diameter = float(mill.diameter)
    flutes = float(mill.flute_length or 2 * diameter)
    slim = mill.shank_diameter is None or float(mill.shank_diameter) <= diameter
    return float(mill.stickout or flutes) if slim else flutes


def with_cutters(survey: Survey, shop: ShopFile) -> Survey:
    """The survey with the crib's end mills, largest first."""
    rows = []
    for name, tool in shop.crib.items():
        if tool.end_mill is None:
            continue
        diameter = float(tool.end_mill.diameter)
        width = survey.tight.channel.width if survey.tight.channel is not None else None
        radius = survey.tight.corner.radius if survey.tight.corner is not None else None
        rows.append(
            CutterRow(
                name,
                diameter,
                float(tool.end_mill.flute_length or 2 * diameter),
                _reach(tool.end_mill),
                passes=width is None or diameter < width,
                # a sharp inside corner is filled by none
                fills=radius is None or diameter / 2 <= radius + 1e-6,
            )
        )
    return replace(
        survey,
        cutters=tuple(sorted(rows, key=lambda r: (-r.diameter, r.name))),
        drills=_drills(shop),
        shop=True,
    )


def _drills(shop: ShopFile) -> tuple[DrillRow, ...]:
    """The crib's drills, by size."""
    rows = []
    for name, tool in shop.crib.items():
        if tool.drill is None:
            continue
        diameter, drill = float(tool.drill.diameter), tool.drill
        tip = diameter / 2 / math.tan(float(drill.tip_angle) / 2)
        # a drill with a point near 90 degrees spots; it makes no holes
        if float(drill.tip_angle) > math.radians(100):
            reach = float(drill.flute_length or 2 * diameter) - tip
            rows.append(DrillRow(name, diameter, reach, tip))
    return tuple(sorted(rows, key=lambda r: (r.diameter, r.name)))
