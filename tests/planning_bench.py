"""Jobs and parts for the planner's tests, made without the spec language: mounts for telescopes.

Everything in millimetres. `bench(...)` gives a job and its part; datum at the drawing's origin.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from compiler.diagnostics import Span
from compiler.geometry import Outline, Point, Region
from compiler.geometry.build import circle, rectangle
from compiler.geometry.region import make
from compiler.job.model import (
    Datum,
    Heights,
    Job,
    KeepRegion,
    Machine,
    Pass,
    Stock,
    Title,
    Tool,
    Workholding,
)
from compiler.knowledge.materials import MATERIALS
from compiler.part.model import Blocked, Part, Standing

AIR = 130.0
MACHINE = Machine(
    name="bench mill", max_rpm=10000, max_feed=4000, rapid=8000, acceleration=500, power=3.0
)


def span(line: int = 1) -> Span:
    """A place in the imagined spec."""
    return Span("bracket.yaml", line, 5, line, 9)


def disc(x: float, y: float, radius: float) -> Region:
    """A round keep region."""
    return make([circle(Point(x, y), radius)])


def block(x0: float, y0: float, x1: float, y1: float, corner: float = 0.0) -> Region:
    """A rectangular one."""
    return make([rectangle(Point(x0, y0), Point(x1, y1), corner)])


def with_holes(outer: Region, *holes: Region) -> Region:
    """The outer region with the others taken out of it."""
    return make([*outer.outlines, *(outline for hole in holes for outline in hole.outlines)])


def end_mill(name: str = "T1", diameter: float = 10.0, **over: Any) -> Tool:
    """A carbide end mill with three flutes."""
    given: dict[str, Any] = {
        "name": name,
        "number": int(name[1:]),
        "kind": "end_mill",
        "diameter": diameter,
        "flutes": 3,
        "flute_length": 2.5 * diameter,
        "stickout": 3 * diameter,
        "shank_diameter": diameter,
        "material": "carbide",
        "centre_cutting": True,
        "helix_angle": 0.6,
        "length_offset": 1,
        "diameter_offset": 1,
        "origin": span(40 + int(name[1:])),
    }
    return Tool(**{**given, **over})


@dataclass(frozen=True)
class Keep:
    """A keep region in short: its shape, and its top where that is below the stock's."""

    shape: Region
    top: float = 0.0
    allowance: float | None = None
    is_open: bool = False


def a_pass(kind: str, tool: str = "T1", line: int = 20, **keys: Any) -> Pass:
    """A pass; `line` is where the spec would say it."""
    name = keys.pop("name", kind)
    spans = {key: span(line) for key in keys} | {"tool": span(line)}
    return Pass(kind=kind, name=name, tool=tool, origin=span(line), spans=spans, **keys)  # type: ignore[arg-type]


def bench(
    keep: Mapping[str, Region | Keep],
    passes: Sequence[Pass],
    tools: Sequence[Tool] = (end_mill(),),
    stock: Region | None = None,
    thickness: float = 20.0,
    lowest_cut: float | None = None,
    obstacles: Sequence[Blocked] = (),
    units: str = "mm",
    machine: Machine = MACHINE,
) -> tuple[Job, Part]:
    """A job and its part, of one piece of aluminium."""
    outline = stock if stock is not None else block(0, 0, 100, 70)
    kept = {n: k if isinstance(k, Keep) else Keep(k) for n, k in keep.items()}
    job = Job(
        title=Title(name="bracket", title="Finder bracket"),
        units=units,  # type: ignore[arg-type]
        digest="ab" * 32,
        spec_file="bracket.yaml",
        machine=machine,
        material=MATERIALS["aluminium_6061"],
        stock=Stock(region=outline, top=0.0, thickness=thickness, origin=span(8)),
        datum=Datum(at=Point(0, 0), said="stock lower_left"),
        workholding=Workholding(lowest_cut=lowest_cut),
        heights=Heights(clearance=5.0, approach=1.3),
        keep_regions=tuple(
            KeepRegion(name=name, shape=k.shape, top=k.top, origin=span(10 + i))
            for i, (name, k) in enumerate(kept.items())
        ),
        tools=tuple(tools),
        passes=_numbered(passes),
    )
    part = Part(
        stock=outline,
        stock_top=0.0,
        stock_bottom=-thickness,
        standing=tuple(
            Standing(
                name=name,
                region=k.shape,
                top=k.top,
                is_open=k.is_open,
                tolerance=None,
                wall_allowance=k.allowance,
                floor_allowance=None,
                about="",
                origin=span(10 + i),
            )
            for i, (name, k) in enumerate(kept.items())
        ),
        obstacles=tuple(obstacles),
        lowest_cut=-thickness if lowest_cut is None else lowest_cut,
        clearance=5.0,
        approach=1.3,
        air=AIR,
    )
    return job, part


def _numbered(passes: Sequence[Pass]) -> tuple[Pass, ...]:
    """Each pass on its own line and with its own name."""
    seen: dict[str, int] = {}
    found = []
    for each in passes:
        seen[each.name] = seen.get(each.name, 0) + 1
        count = seen[each.name]
        found.append(each if count == 1 else replace(each, name=f"{each.name} {count}"))
    return tuple(found)


def outline_of(region: Region) -> Outline:
    """The region's only outline."""
    (only,) = region.outlines
    return only
