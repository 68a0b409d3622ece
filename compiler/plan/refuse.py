"""The planner's findings about heights and tools: each function is one question put to one pass."""

from __future__ import annotations

import math

from compiler.diagnostics import Diagnostic, Label, Severity, Span
from compiler.job.model import Job, Material, Pass, PassKind, Tool, ToolKind
from compiler.part.model import Part
from compiler.plan.levels import SAME
from compiler.units.number import length, short

SUITED: dict[PassKind, tuple[ToolKind, ...]] = {
    "face": ("face_mill", "end_mill", "bull_mill"),
    "rough": ("end_mill", "bull_mill"),
    "rest": ("end_mill", "bull_mill"),
    "finish_floor": ("end_mill", "bull_mill"),
    "finish_walls": ("end_mill", "bull_mill", "ball_mill"),
    "drill": ("drill",),
    "break_edges": ("chamfer_mill",),
}


def place(asked: Pass, *keys: str) -> Span:
    """The span of the first of the keys that the author gave, else that of the whole pass."""
    for key in keys:
        if key in asked.spans:
            return asked.spans[key]
    return asked.origin


def finding(
    code: str,
    asked: Pass,
    message: str,
    help: str,
    *keys: str,
    also: tuple[Label, ...] = (),
    severity: Severity = Severity.ERROR,
) -> Diagnostic:
    """A finding located at one of the pass's keys, or at the pass."""
    return Diagnostic(
        code=code,
        message=message,
        primary=Label(place(asked, *keys)),
        severity=severity,
        secondary=also,
        help=help,
    )


def unsuited(asked: Pass, tool: Tool) -> list[Diagnostic]:
    """Whether this kind of tool can do this kind of pass."""
    suited = SUITED[asked.kind]
    if tool.kind in suited:
        return []
    return [
        finding(
            "E404",
            asked,
            f"`{tool.name}` is of kind `{tool.kind}`, which cannot do a `{asked.kind}` pass",
            f"give the pass a tool of kind {' or '.join(f'`{kind}`' for kind in suited)}",
            "tool",
            also=(Label(tool.origin, "the tool"),),
        )
    ]


def without_figures(asked: Pass, tool: Tool, material: Material) -> list[Diagnostic]:
    """Whether the material says how fast a cutter of this make may go."""
    if tool.material in material.cutting_speed and tool.material in material.chip_load:
        return []
    return [
        finding(
            "E484",
            asked,
            f"`{material.name}` has no cutting speed and chip load for {tool.material}, "
            f"which `{tool.name}` is made of",
            f"give the material `cutting_speed: {{{tool.material}: ...}}` and `chip_load`, or take "
            "another tool",
            "tool",
            also=(Label(tool.origin, "the tool"),),
        )
    ]


def no_floor(asked: Pass, part: Part, job: Job, place: int) -> Diagnostic:
    """A pass, the job's `place`-th from 0, before which nobody said how deep."""
    deep = (each for each in job.passes[place + 1 :] if each.to is not None)
    later = next((each for each in deep if each.kind not in ("drill", "face")), None)
    if later is not None:
        return finding(
            "E401",
            asked,
            f"nothing before `{asked.name}` says how deep it cuts: `to` stands in "
            f"`{later.name}`, which comes later",
            f"put `{later.name}` first; passes are cut in the order in which they stand",
            "to",
            also=(Label(later.spans.get("to", later.origin), "only here"),),
        )
    return finding(
        "E401",
        asked,
        f"nothing says how deep `{asked.name}` cuts",
        "give it `to`, the Z of its floor; the deepest that the workholding allows is "
        f"{length(part.lowest_cut, job.units)}",
        "to",
    )


def upside_down(asked: Pass, top: float, floor: float, job: Job) -> list[Diagnostic]:
    """Whether the floor lies below what the pass starts from."""
    if floor < top - SAME:
        return []
    return [
        finding(
            "E402",
            asked,
            f"`{asked.name}` cuts to {length(floor, job.units)}, which is not below the "
            f"{length(top, job.units)} it starts from",
            f"Z is up: give `to` a height below {length(top, job.units)}",
            "to",
            "from",
        )
    ]


def too_deep(asked: Pass, floor: float, part: Part, job: Job) -> list[Diagnostic]:
    """Whether the floor stays above the underside of the stock and what the workholding allows."""
    lowest = job.lowest_drilled if asked.kind == "drill" else part.lowest_cut
    if floor >= lowest - SAME:
        return []
    limit = length(lowest, job.units)
    if asked.kind == "drill":
        return [_too_deep_a_hole(asked, floor, lowest, limit, job)]
    is_thin = part.lowest_cut <= part.stock_bottom + SAME
    remedy = "take thicker stock" if is_thin else "hold the stock so that it can be cut lower"
    if part.lowest_cut > part.stock_bottom + SAME:
        what = f"`workholding.lowest_cut` allows no lower than {limit}"
    else:
        what = f"the underside of the stock is at {limit}"
    return [
        finding(
            "E403",
            asked,
            f"`{asked.name}` cuts to {length(floor, job.units)}, but {what}",
            f"raise `to` to {limit} or above, or {remedy}",
            "to",
        )
    ]


def _too_deep_a_hole(asked: Pass, floor: float, lowest: float, limit: str, job: Job) -> Diagnostic:
    """A hole that goes on below what the job says is free: a way through, or a slip."""
    tool = job.tool(asked.tool)
    point = floor
    if tool.tip_angle > 0 and asked.cycle != "spot":
        point -= tool.radius / math.tan(tool.tip_angle / 2)
    said = (
        "the underside of the stock is at"
        if job.workholding.lowest_cut is None
        else "`workholding.lowest_cut` allows no lower than"
    )
    return finding(
        "E403",
        asked,
        f"`{asked.name}` drills to {length(floor, job.units)} at the full diameter, its point to "
        f"{length(point, job.units)}, but {said} {limit}",
        f"{through(point, job)}, or raise `to`",
        "to",
    )


def through(point: float, job: Job) -> str:
    """How to say that a drill may come out below: what lies there, and that there is room."""
    step = 0.001 * 25.4 if job.units == "inch" else 0.1
    lowest = short_in(math.floor(point / step + 1e-9) * step, job)
    return (
        "for a hole right through see that nothing lies under it (parallels, jaws, table), draw "
        "what does lie there under `workholding.obstacles`, and say that there is room by "
        f"`workholding: {{lowest_cut: {lowest}}}`"
    )


def too_long_a_cut(asked: Pass, tool: Tool, axial: float, job: Job) -> list[Diagnostic]:
    """Whether the flutes cover the axial depth that the author asked for."""
    if axial <= tool.flute_length + SAME:
        return []
    flutes = length(tool.flute_length, job.units)
    return [
        finding(
            "E405",
            asked,
            f"an axial depth of {length(axial, job.units)} is more than the {flutes} of flutes "
            f"that `{tool.name}` has",
            f"set `axial_depth` to {flutes} or less, or take a tool with longer flutes",
            "axial_depth",
            also=(Label(tool.origin, "the tool"),),
        )
    ]


def too_wide_a_step(asked: Pass, tool: Tool, step: float, job: Job) -> list[Diagnostic]:
    """Whether neighbouring rows overlap."""
    flat = tool.diameter - 2 * tool.corner_radius
    if step <= flat + SAME:
        return []
    return [
        finding(
            "E409",
            asked,
            f"a radial depth of {length(step, job.units)} leaves ridges: `{tool.name}` cuts "
            f"{length(flat, job.units)} wide",
            f"set `radial_depth` to {length(0.4 * tool.diameter, job.units)} (40 % of the "
            "diameter) or thereabouts",
            "radial_depth",
        )
    ]


def stands_above_face(asked: Pass, floor: float, part: Part, job: Job) -> list[Diagnostic]:
    """Which regions a face pass would have to cut off."""
    return [
        finding(
            "E407",
            asked,
            f"`{asked.name}` faces to {length(floor, job.units)}, but `{region.name}` is to stand "
            f"up to {length(region.top, job.units)}",
            f"give the region `top: {short_in(floor, job)}` or lower, or face to "
            f"{length(region.top, job.units)} or above",
            "to",
            also=(Label(region.origin, "stands higher"),),
        )
        for region in part.standing
        if region.top > floor + SAME
    ]


def no_holes(asked: Pass) -> list[Diagnostic]:
    """A drill pass without a place to drill."""
    if asked.at:
        return []
    return [
        finding(
            "E414",
            asked,
            f"`{asked.name}` has no place to drill",
            "give `at` the centres of the holes, as `at: [[10, 20], [30, 20]]`",
            "at",
        )
    ]


def point_below(asked: Pass, tool: Tool, floor: float, job: Job) -> list[Diagnostic]:
    """A drill's point that comes out too low; `to` is where the hole is at full width."""
    if tool.tip_angle <= 0 or asked.cycle == "spot":
        return []
    point = floor - tool.radius / math.tan(tool.tip_angle / 2)
    lowest = job.lowest_drilled
    if floor < lowest - SAME or point >= lowest - SAME:
        return []
    return [
        finding(
            "E465",
            asked,
            f"the point of `{tool.name}` comes out at {length(point, job.units)}, below "
            f"{length(lowest, job.units)}",
            f"{through(point, job)}, or raise `to`",
            "to",
        )
    ]


def idle_regions(asked: Pass) -> list[Diagnostic]:
    """A list of regions on a pass that clears round all of them whatever it says."""
    if asked.regions is None or asked.kind in ("finish_walls", "break_edges"):
        return []
    return [
        finding(
            "W402",
            asked,
            f"`regions` changes nothing in a `{asked.kind}` pass: it clears round every region",
            "leave `regions` out; it chooses walls in finish_walls and edges in break_edges",
            "regions",
            severity=Severity.WARNING,
        )
    ]


def short_in(mm: float, job: Job) -> str:
    """A length as a bare number of the job's units, as one would type it."""
    return short(mm / 25.4 if job.units == "inch" else mm, 4)
