"""A typed document to a `Job`: references followed, shapes built, defaults filled in."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TypedDict

from compiler.diagnostics import Outcome, Severity, Span, has_errors
from compiler.geometry import Region
from compiler.job import (
    AUTO,
    Datum,
    Heights,
    Inspection,
    Job,
    KeepRegion,
    Machine,
    Obstacle,
    OpenChain,
    Pass,
    Setup,
    Stock,
    Table,
    Title,
    ToleranceClass,
    Tool,
    Workholding,
)
from compiler.spec.datum import datum_of
from compiler.spec.digest import digest_of
from compiler.spec.models import job as written
from compiler.spec.models import setting
from compiler.spec.models.shapes import KeepRegion as WrittenRegion
from compiler.spec.parts import table_of
from compiler.spec.passes import passes_of
from compiler.spec.place import Place
from compiler.spec.setups import (
    Side,
    check_tools,
    seen_from_above,
    setup_of,
    sides_of,
    turned_stock,
    with_tool_sizes,
)
from compiler.spec.shapes import about_text, chain_of, region_of
from compiler.spec.shop import ShopFile, machine_of, material_of
from compiler.spec.stock import stock_of
from compiler.spec.tools import crib_of, tools_of
from compiler.units.number import Units

# the contract's own defaults, each in its job's units
CLEARANCE = {"inch": 2.54, "mm": 2.5}
APPROACH = {"inch": 1.27, "mm": 1.3}
CLASSES: dict[str, ToleranceClass] = {
    "ISO 2768-f": "f",
    "ISO 2768-m": "m",
    "ISO 2768-c": "c",
    "ISO 2768-v": "v",
}


def resolve(said: written.Job, shop: ShopFile, place: Place, file: str) -> Outcome[tuple[Job, ...]]:
    """The job that a document says: one for each of its setups, in order.

    Args:
        said: The typed document.
        shop: What its shop file offers.
        place: The top of its tree; findings are gathered there.
        file: Its name for people.
    """
    material = material_of(said.material, shop, place / "material")
    tools = tools_of(said.tools, shop, place / "tools")
    sides = sides_of(said, place)
    by_name: dict[str, Tool | None] = dict.fromkeys(said.tools)
    by_name.update({tool.name: tool for tool in tools})
    _report_no_choice(said, sides, shop)
    made: list[Job] = []
    for side in sides:
        own = _setting(said, side, by_name, made, shop)
        if own is None or material is None:
            break  # the next one can't be turned from it
        made.append(
            Job(
                title=_title(said, side),
                units=said.units,
                digest="",
                spec_file=file,
                material=material,
                tools=tuple(tool for tool in tools if side.uses(tool.name)),
                inspection=tuple(_inspection(row) for row in said.inspection),
                general_tolerance=_general_tolerance(said.general_tolerance),
                effort=said.effort,
                crib=crib_of(shop, tools, place / "tools"),
                **own,
            )
        )
    if not has_errors(place.findings):
        _report_unused(said, sides, place)  # with a faulty reference, the tool may be the one meant
    found = tuple(place.findings)
    if has_errors(found) or len(made) < len(sides):
        return Outcome(None, found)
    jobs = with_tool_sizes(made)
    digest = digest_of(*jobs)
    return Outcome(tuple(replace(job, digest=digest) for job in jobs), found)


class _Setting(TypedDict):
    """What one setup says of its own."""

    machine: Machine
    stock: Stock
    datum: Datum
    workholding: Workholding
    heights: Heights
    keep_regions: tuple[KeepRegion, ...]
    passes: tuple[Pass, ...]
    setup: Setup | None
    table: Table | None


def _setting(
    said: written.Job,
    side: Side,
    tools: Mapping[str, Tool | None],
    before: Sequence[Job],
    shop: ShopFile,
) -> _Setting | None:
    """One setup resolved, after those before it; None where it can't be, which is reported."""
    place = side.place
    own = place / "machine"
    machine = machine_of(side.machine, shop, own if own.exists else side.top / "machine")
    if not before:
        regions = _keep_regions(side.keep_regions, float(said.stock.top), place)
        stock = stock_of(said.stock, regions, side.top / "stock")
        setup = None if stock is None else setup_of(side, stock, None)
    else:
        stock, setup = turned_stock(side, before[-1])
        regions = _keep_regions(side.keep_regions, stock.top, place)
    passes = passes_of(side.passes, tools, side.keep_regions, place / "passes")
    check_tools(side, said.tools)
    if side.as_drawn:
        setups = [*(job.setup for job in before), setup]
        poses = [each.pose for each in setups if each is not None]
        regions, passes = seen_from_above(regions, passes, poses)
    workholding = _workholding(side.workholding, place / "workholding")
    datum = datum_of(side.datum, stock, regions, place / "datum")
    if machine is None or stock is None or datum is None:
        return None
    known = tuple(tool for tool in tools.values() if tool is not None)
    return _Setting(
        machine=machine,
        stock=stock,
        datum=datum,
        workholding=workholding,
        heights=_heights(side.heights, said.units, stock, regions, workholding, place / "heights"),
        keep_regions=regions,
        passes=passes,
        setup=setup,
        table=table_of(said, stock, datum, known, side.top / "parts"),
    )


def natural(name: str) -> tuple[tuple[int, int, str], ...]:
    """A sort key that puts `boss 2` before `boss 10`."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name)
    return tuple((0, int(part), "") if part.isdigit() else (1, 0, part) for part in parts)


def _title(said: written.Job, side: Side) -> Title:
    return Title(
        name=said.name,
        title=said.title or "",
        number=said.number or "",
        revision=said.revision or "",
        notes=said.notes if side.said is None else (*said.notes, *side.said.notes),
    )


def _keep_regions(
    said: Mapping[str, WrittenRegion], top: float, place: Place
) -> tuple[KeepRegion, ...]:
    """The regions that could be made, by name: the order of keys says nothing.

    `top` is what stands up to where a region does not say how high.
    """
    found = []
    for name in sorted(said, key=natural):
        region = _keep_region(name, said[name], top, place / "keep_regions" / name)
        if region is not None:
            found.append(region)
    return tuple(found)


def _keep_region(name: str, region: WrittenRegion, top: float, place: Place) -> KeepRegion | None:
    shape = _region_shape(region, place)
    if shape is None:
        return None
    allowance = region.allowance
    return KeepRegion(
        name=name,
        shape=shape,
        top=float(top if region.top is None else region.top),
        tolerance=_maybe(region.tolerance),
        wall_allowance=None if allowance is None else _maybe(allowance.wall),
        floor_allowance=None if allowance is None else _maybe(allowance.floor),
        about=about_text(region),
        origin=place.key_span,
    )


def _region_shape(region: WrittenRegion, place: Place) -> Region | OpenChain | None:
    if region.open is None:
        return region_of(region, place)
    for key in ("minus", "grow", "move", "turn", "mirror", "repeat"):
        if getattr(region, key) is not None:
            (place / key).report(
                "E209",
                f"`{key}` can't be used on an open region",
                "write the path where it belongs; modifiers are for closed shapes",
                span=(place / key).key_span,
            )
    chain = chain_of(region.open, place / "open")
    return None if chain is None else OpenChain(chain=chain, stands=region.open.stands)


def _workholding(said: setting.Workholding, place: Place) -> Workholding:
    obstacles = []
    for name in sorted(said.obstacles, key=natural):
        here = place / "obstacles" / name
        region = region_of(said.obstacles[name], here)
        if region is not None:
            top = float(said.obstacles[name].top)
            obstacles.append(Obstacle(name=name, region=region, top=top, origin=here.key_span))
    return Workholding(
        method=said.method or "",
        lowest_cut=_maybe(said.lowest_cut),
        obstacles=tuple(obstacles),
        origin=_given(place / "lowest_cut"),
    )


def _heights(
    said: setting.Heights,
    units: Units,
    stock: Stock,
    regions: tuple[KeepRegion, ...],
    workholding: Workholding,
    place: Place,
) -> Heights:
    """As given, else the contract's defaults; whether they are high enough is `part`'s to say."""
    highest = max([stock.top, *(r.top for r in regions), *(o.top for o in workholding.obstacles)])
    clearance, approach = said.clearance, said.approach
    return Heights(
        clearance=float(highest + CLEARANCE[units] if clearance is None else clearance),
        approach=float(APPROACH[units] if approach is None else approach),
        origin=_given(place / "clearance"),
    )


def _given(place: Place) -> Span | None:
    """Where a value stands, if the author gave it."""
    return place.span if place.exists else None


def _inspection(row: written.Inspection) -> Inspection:
    given = row.plus is not None or row.minus is not None
    return Inspection(
        what=row.what,
        nominal=float(row.nominal),
        plus=float(row.plus or 0.0) if given else None,
        minus=float(row.minus or 0.0) if given else None,
        gauge=row.gauge or "",
    )


def _general_tolerance(said: str | float | None) -> ToleranceClass | float | None:
    """The class's letter, or mm either way."""
    if isinstance(said, str):
        return CLASSES[said]
    return _maybe(said)


def _report_no_choice(said: written.Job, sides: Sequence[Side], shop: ShopFile) -> None:
    """Passes that leave their cutter to a crib that is not there."""
    if said.tools or shop.crib:
        return
    for side in sides:
        for i, item in enumerate(side.passes):
            if item.given.tool == AUTO:
                (side.place / "passes" / i / item.kind / "tool").report(
                    "E483",
                    "there is no cutter to choose from",
                    "name a shop file with a crib by `shop`, or write cutters under `tools`",
                )


def _report_unused(said: written.Job, sides: Sequence[Side], place: Place) -> None:
    used = {item.given.tool for side in sides for item in side.passes}
    if AUTO in used:  # all of them are to choose from
        return
    for name in said.tools:
        if name not in used:
            here = place / "tools" / name
            here.report(
                "W201",
                f"no pass uses the tool `{name}`",
                "leave it out, or let a pass use it",
                span=here.key_span,
                severity=Severity.WARNING,
            )


def _maybe(value: float | None) -> float | None:
    return None if value is None else float(value)
