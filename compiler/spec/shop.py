"""What a job takes from the shop file, from the built-in tables or from its own text."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from compiler.job import Machine, Material, ProgramStyle
from compiler.job.model import ToolMaterial
from compiler.spec.models import shop as written
from compiler.spec.models.shop import ChipLoadByTool, Shop, SpeedByTool
from compiler.spec.models.tools import CribTool
from compiler.spec.place import Place
from compiler.spec.tree import Table
from compiler.units.number import Units

# common practice, no source: what a knee mill and a small machining centre take
CHANGE_TIME = {"manual": 60.0, "automatic": 8.0}  # s
ACCELERATION = 500.0  # mm/s2
# common practice, no source: careful values for a material that the shop says little of
MAX_RAMP_ANGLE = 0.05235987755982989  # rad, 3 degrees
SLOT_DEPTH = 0.5  # of the diameter
SIDE_DEPTH = 1.0


@dataclass(frozen=True, slots=True)
class ShopFile:
    """A shop file as read: what it says, typed and located. Empty where a job names none."""

    machines: Mapping[str, written.Machine] = field(default_factory=dict)
    crib: Mapping[str, CribTool] = field(default_factory=dict)
    materials: Mapping[str, written.Material] = field(default_factory=dict)
    tree: Table | None = None
    units: Units = "mm"

    @classmethod
    def of(cls, shop: Shop, tree: Table) -> ShopFile:
        """What a shop file offers."""
        return cls(shop.machines, shop.crib, shop.materials, tree, shop.units)


def machine_of(said: str | written.Machine, shop: ShopFile, place: Place) -> Machine | None:
    """The machine that a job names or writes out; None where there is none, which is reported."""
    from compiler.knowledge.machines import MACHINES

    if not isinstance(said, str):
        return _machine(said.name or "written in the job", said)
    if said in shop.machines:
        return _machine(said, shop.machines[said])
    if said in MACHINES:
        return MACHINES[said]
    known = dict.fromkeys([*shop.machines, *MACHINES])
    place.unknown("E203", "machine", said, known, "write one in a shop file")
    return None


def material_of(said: str | written.Material, shop: ShopFile, place: Place) -> Material | None:
    """The material that a job names or writes out; None where there is none, which is reported."""
    from compiler.knowledge.materials import MATERIALS

    if not isinstance(said, str):
        return _material(said.name or "written in the job", said)
    if said in shop.materials:
        return _material(said, shop.materials[said])
    if said in MATERIALS:
        return MATERIALS[said]
    known = dict.fromkeys([*shop.materials, *MATERIALS])
    near = grade_in(said, {name: MATERIALS[name].title for name in MATERIALS})
    place.unknown("E204", "material", said, known, "write one in a shop file", near)
    return None


def grade_in(said: str, titles: Mapping[str, str]) -> str:
    """The one material whose name and title have most of the grades that were said, as 6061 and T6
    in `6061-T6`; else nothing."""
    words = {word for word in _words(said) if any(c.isdigit() for c in word)}
    shared = {name: len(words & {*_words(name), *_words(titles[name])}) for name in titles}
    most = max(shared.values(), default=0)
    found = [name for name in titles if shared[name] == most]
    return found[0] if most and len(found) == 1 else ""


def _words(text: str) -> list[str]:
    return re.findall(r"[a-z]*[0-9]+[a-z0-9]*|[a-z]+", text.casefold())


def _machine(name: str, said: written.Machine) -> Machine:
    feed, spindle, axes = said.feed, said.spindle, said.axes
    return Machine(
        name=name,
        travel=None if axes is None else (float(axes.x), float(axes.y), float(axes.z)),
        max_rpm=spindle.max_rpm,
        min_rpm=spindle.min_rpm or 0.0,
        power=_maybe(spindle.power),
        peak_torque=_maybe(spindle.peak_torque),
        torque_curve=_rows(spindle.torque_curve or ()),
        max_feed=float(feed.max),
        rapid=float(feed.rapid if feed.rapid is not None else feed.max),
        acceleration=float(feed.acceleration or ACCELERATION),
        tool_change=said.tool_change,
        change_time=float(
            CHANGE_TIME[said.tool_change] if said.change_time is None else said.change_time
        ),
        program=_style(said.program),
    )


def _style(said: written.Program) -> ProgramStyle:
    return ProgramStyle(
        standard=said.standard,
        decimals=said.decimals,
        line_numbers=said.line_numbers,
        arcs=said.arcs,
        comments=said.comments,
        program_number=said.program_number,
        max_line_length=said.max_line_length,
        length_offset=said.length_offset,
        helices=said.helices,
        cycles=said.cycles,
        dwell=said.dwell,
        opening=said.opening,
        closing=said.closing,
    )


def _material(name: str, said: written.Material) -> Material:
    force = said.specific_cutting_force
    return Material(
        name=name,
        title=said.about or "",
        iso_group=said.iso_group or "",
        hardness=said.hardness or "",
        specific_cutting_force=float(force if force is not None else said.unit_power or 0.0),
        cutting_speed=_speeds(said.cutting_speed),
        chip_load=_chip_loads(said.chip_load),
        max_ramp_angle=float(said.max_ramp_angle or MAX_RAMP_ANGLE),
        slot_depth=said.slot_depth or SLOT_DEPTH,
        side_depth=said.side_depth or SIDE_DEPTH,
        cautions=said.cautions,
        sources=MappingProxyType({"all": "the shop's own figures"}),
    )


def _speeds(said: SpeedByTool) -> Mapping[ToolMaterial, float]:
    found: dict[ToolMaterial, float] = {}
    if said.hss is not None:
        found["hss"] = float(said.hss)
    if said.carbide is not None:
        found["carbide"] = float(said.carbide)
    return MappingProxyType(found)


def _chip_loads(said: ChipLoadByTool) -> Mapping[ToolMaterial, tuple[tuple[float, float], ...]]:
    found: dict[ToolMaterial, tuple[tuple[float, float], ...]] = {}
    if said.hss is not None:
        found["hss"] = _rows(said.hss)
    if said.carbide is not None:
        found["carbide"] = _rows(said.carbide)
    return MappingProxyType(found)


def _rows(said: tuple[tuple[float, float], ...]) -> tuple[tuple[float, float], ...]:
    """Rows of a table, rising in what they go by."""
    return tuple(sorted((float(by), float(value)) for by, value in said))


def _maybe(value: float | None) -> float | None:
    return None if value is None else float(value)
