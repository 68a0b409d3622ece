"""Shank and holder clear the stock as it then is, keep regions and obstacles; so does the cutter
of obstacles; and the flutes cover what is cut.

Regions and obstacles by exact distance; the stock on the raster, as it stands at that moment, where
contact within one pitch of the rim is not told from passing by.
"""

from __future__ import annotations

import math

import numpy as np

from compiler.geometry import Region
from compiler.job.model import Tool
from compiler.judge.case import SLACK, Case
from compiler.judge.model import Obligation
from compiler.judge.spared import nearest
from compiler.read import Motion
from compiler.simulate.profile import Band, bands

_FLUTE_SLACK = 0.01  # mm


def check(case: Case) -> Obligation:
    """The first of flutes, things and stock that is not cleared, else the least room."""
    return _flutes(case) or _things(case) or _stock(case) or _held(case)


def _held(case: Case) -> Obligation:
    lows = np.where(case.known, case.z_low, np.inf)
    sticks_out = np.array([*(tool.stickout for tool in case.job.tools), np.inf])[case.tool_at]
    rooms = lows + sticks_out - case.highest
    index = int(np.argmin(rooms)) if rooms.size and rooms.min() < np.inf else -1
    room = float(rooms[index]) if index >= 0 else math.inf
    return Obligation(
        name="holder_clear",
        held=True,
        what="Flutes cover every cut; shank and holder meet nothing.",
        measured=None if index < 0 else room,
        allowed=None if index < 0 else min(0.0, room),
        margin=None if index < 0 else max(0.0, room),
        unit="mm",
        worst=case.place(index) if index >= 0 else None,
    )


def _flutes(case: Case) -> Obligation | None:
    worst, index = 0.0, -1
    for k in np.flatnonzero(case.fed & case.known):
        tool = case.tools[k]
        if tool is None:
            continue
        over = float(case.cut.facts.depth[k]) - tool.flute_length
        if over > worst + _FLUTE_SLACK:
            worst, index = over, int(k)
    if index < 0:
        return None
    tool = case.tools[index]
    assert tool is not None
    return _broken(
        case,
        index,
        f"{tool.name} cuts {case.length(worst)} deeper than its flutes reach.",
        f"use a cutter with flutes of {case.length(tool.flute_length + worst)}, or clear the "
        "material above first",
        worst,
    )


def _broken(case: Case, index: int, what: str, remedy: str, by: float) -> Obligation:
    return Obligation(
        name="holder_clear",
        held=False,
        what=what,
        measured=-by,
        allowed=0.0,
        margin=-by,
        unit="mm",
        worst=case.place(index),
        remedy=remedy,
    )


def _things(case: Case) -> Obligation | None:
    """Exact: cutters against obstacles, shanks and holders against regions and obstacles."""
    obstacles = [(f"obstacle `{o.name}`", o.region, o.top) for o in case.part.obstacles]
    regions = [(f"keep region `{s.name}`", s.region, s.top) for s in case.part.standing]
    for name, region, top in obstacles:
        if found := _cutter(case, name, region, top):
            return found
    fixed = frozenset(name for name, _, _ in obstacles)
    for name, region, top in [*obstacles, *regions]:
        for tool in case.job.tools:
            for band in bands(tool):
                if found := _band(case, tool, band, name, region, top, stays=name in fixed):
                    return found
    return None


def _cutter(case: Case, name: str, region: Region, top: float) -> Obligation | None:
    def radius_at(motion: Motion, height: float) -> float:
        tool = next((t for t in case.job.tools if t.number == motion.state.tool), None)
        return case.profiles[tool.name].radius_at(height) if tool is not None else 0.0

    most = max((tool.radius for tool in case.job.tools), default=0.0)
    found = nearest(
        case.motions,
        case.tracks,
        case.z_low,
        region,
        top,
        radius_at,
        most_radius=most,
        skip=~case.known | ~case.fed,
    )
    if found.room >= -SLACK:
        return None
    what = f"A cut runs {case.length(-found.room)} into {name}."
    return _broken(case, found.index, what, f"keep clear of {name}, or move it", -found.room)


def _band(
    case: Case, tool: Tool, band: Band, name: str, region: Region, top: float, *, stays: bool
) -> Obligation | None:
    """A shank or holder against a thing; what `stays` gives no way to a wear offset, walls do."""
    reach = top - band.above - SLACK
    uses = case.tool_at == case.job.tools.index(tool)
    if not (uses & case.known & (case.z_low < reach)).any():
        return None
    found = nearest(
        case.motions,
        case.tracks,
        case.z_low + band.above,
        region,
        top,
        lambda motion, height: band.radius - (0.0 if stays else case.towards_wall(motion)),
        most_radius=band.radius,
        skip=~case.known | ~uses,
    )
    if found.room >= -SLACK:
        return None
    needed = band.above + top - float(case.z_low[found.index]) - band.above
    what = f"The {band.name} of {tool.name} runs {case.length(-found.room)} into {name}."
    remedy = f"let the tool stick out {case.length(needed)} at least, or use a slimmer {band.name}"
    return _broken(case, found.index, what, remedy, -found.room)


def _stock(case: Case) -> Obligation | None:
    """Shank and holder against what the tool passes below the top of."""
    for k, (name, by) in sorted(case.cut.band_contacts.items()):
        tool = case.tools[k]
        assert tool is not None
        what = f"The {name} of {tool.name} meets stock that stands {case.length(by)} above its end."
        remedy = f"let the tool stick out {case.length(by)} more, or clear the material above first"
        return _broken(case, k, what, remedy, by)
    return None
