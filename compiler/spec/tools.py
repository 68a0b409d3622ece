"""The job's tools: cribs followed, numbers given out, defaults filled in."""

from __future__ import annotations

import math
import re
from collections.abc import Collection, Mapping
from dataclasses import replace

from compiler.diagnostics import Label
from compiler.job import AUTO, Holder, Tool
from compiler.spec.models.tools import CribTool, Cutter, JobTool
from compiler.spec.place import Place
from compiler.spec.shop import ShopFile

# common practice, no source: what an unmarked cutter can be trusted with at least
FLUTE_LENGTH = 2.0  # diameters
STICKOUT = 1.0  # diameters beyond the flutes
HELIX_ANGLE = math.radians(30)

_T_NAME = re.compile(r"[Tt]0*([1-9][0-9]{0,3})")


def tools_of(said: Mapping[str, JobTool], shop: ShopFile, place: Place) -> tuple[Tool, ...]:
    """The tools in order of their numbers; what can't be kept is reported (E205, E207, E481)."""
    written: dict[str, CribTool] = {}
    if AUTO in said:
        (place / AUTO).report(
            "E481",
            "a tool can't be called `auto`",
            "give it another name, as `T1`: `tool: auto` leaves the choice to the crib",
            span=(place / AUTO).key_span,
        )
    for name, tool in said.items():
        if tool.crib is None:
            written[name] = tool
        elif tool.crib in shop.crib:
            written[name] = shop.crib[tool.crib]
        else:
            where = place / name / "crib"
            none = "name a shop file with a crib by `shop`, or write the cutter out"
            where.unknown("E205", "cutter in the crib called", tool.crib, shop.crib, none)
    numbers = _numbers(said, written)
    _report_doubles(numbers, said, place)
    tools = [
        _tool(name, said[name], written[name], numbers[name], place / name) for name in written
    ]
    return tuple(sorted(tools, key=lambda tool: (tool.number, tool.name)))


def crib_of(shop: ShopFile, used: Collection[Tool], place: Place) -> tuple[Tool, ...]:
    """The shop's cutters that the job does not use, by their names in the crib, largest first.

    Their number is what the crib says, else 0. Their places are those in the shop file.
    """
    taken = {tool.crib for tool in used}
    shelf = place if shop.tree is None else replace(place, root=shop.tree, path=("crib",))
    found = [
        _tool(name, source, source, source.number or 0, shelf / name)
        for name, source in shop.crib.items()
        if name not in taken
    ]
    return tuple(sorted(found, key=lambda tool: (-tool.diameter, tool.name)))


def _numbers(said: Mapping[str, JobTool], written: Mapping[str, CribTool]) -> dict[str, int]:
    """The T words: as given, else from a name like T3, else the crib's, else the lowest free."""
    numbers: dict[str, int] = {}
    for name, tool in said.items():
        from_name = _T_NAME.fullmatch(name)
        if tool.number is not None:
            numbers[name] = tool.number
        elif from_name:
            numbers[name] = int(from_name[1])
        elif name in written and (number := written[name].number) is not None:
            numbers[name] = number
    for name in said:
        if name not in numbers:
            numbers[name] = next(n for n in range(1, 9999) if n not in numbers.values())
    return numbers


def _report_doubles(numbers: Mapping[str, int], said: Mapping[str, JobTool], place: Place) -> None:
    first: dict[int, str] = {}
    for name, number in numbers.items():
        if number not in first:
            first[number] = name
            continue
        free = next(n for n in range(1, 9999) if n not in numbers.values())
        here, other = place / name, place / first[number]
        here.report(
            "E207",
            f"tool number {number} is given twice",
            f"give `{name}` a number of its own, as `number: {free}`",
            span=(here / "number").span if said[name].number is not None else here.key_span,
            also=(Label(other.key_span, f"`{first[number]}` has it"),),
        )


def _tool(name: str, said: JobTool | CribTool, source: CribTool, number: int, place: Place) -> Tool:
    cutter = source.cutter
    diameter = float(cutter.diameter)
    flute_length = float(cutter.flute_length or FLUTE_LENGTH * diameter)
    drill = source.drill is not None
    return Tool(
        name=name,
        number=number,
        kind=source.kind,  # type: ignore[arg-type]
        diameter=diameter,
        flutes=cutter.flutes,
        flute_length=flute_length,
        stickout=float(cutter.stickout or flute_length + STICKOUT * diameter),
        shank_diameter=float(cutter.shank_diameter or diameter),
        material=cutter.material,
        centre_cutting=cutter.centre_cutting or drill,
        helix_angle=float(HELIX_ANGLE if cutter.helix_angle is None else cutter.helix_angle),
        corner_radius=_corner_radius(source, diameter),
        tip_angle=_tip(cutter, "tip_angle"),
        tip_diameter=_tip(cutter, "tip_diameter"),
        holder=_holder(cutter),
        length_offset=said.length_offset or source.length_offset or number,
        diameter_offset=said.diameter_offset or source.diameter_offset or number,
        crib=said.crib or "" if isinstance(said, JobTool) else name,
        about=said.about or source.about or "",
        origin=place.key_span,
    )


def _corner_radius(source: CribTool, diameter: float) -> float:
    if source.bull_mill is not None:
        return float(source.bull_mill.corner_radius)
    return diameter / 2 if source.ball_mill is not None else 0.0


def _tip(cutter: Cutter, key: str) -> float:
    return float(getattr(cutter, key, 0.0))


def _holder(cutter: Cutter) -> Holder | None:
    if cutter.holder is None:
        return None
    return Holder(diameter=float(cutter.holder.diameter), length=float(cutter.holder.length))
