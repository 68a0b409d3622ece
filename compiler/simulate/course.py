"""The course of a program over the stock: which motions come down to it, how, and with what.

Pieces of path in order, ready to be swept (`simulate.sweeping`).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from compiler.geometry import Arc, Region
from compiler.job.model import Tool
from compiler.read import Columns
from compiler.simulate.pieces import Flags, Floats, Ints, stretches
from compiler.simulate.profile import bands, profile_of
from compiler.simulate.records import PIECE, RIM_STEP, TOOL, Records

_ONWARD = math.cos(math.radians(20))  # a greater turn is a corner
_CYLINDERS = frozenset({"end_mill", "bull_mill", "face_mill"})


def tools_of(tools: Sequence[Tool], pitch: float) -> Records:
    """What the pieces' tool numbers stand for: places in this list."""
    found = np.zeros(len(tools), dtype=TOOL)
    for name in ("radius", "flat", "corner", "slope"):
        found[name] = [getattr(profile_of(tool), name) for tool in tools]
    found["shank_above"] = found["holder_above"] = math.inf
    for k, tool in enumerate(tools):
        for band in bands(tool):
            found[f"{band.name}_above"][k] = band.above
            found[f"{band.name}_radius"][k] = band.radius
    # beyond the rim a front must be known as far as cells are read, and steps along the rim go
    beyond = np.maximum(2 * pitch, 2 * RIM_STEP * found["radius"])
    found["reach"] = found["radius"] + beyond
    found["deep"] = -np.max(beyond, initial=0.0)
    return found


def course(m: Columns, tool: Ints, tools: Sequence[Tool], top: float) -> Records:
    """The pieces of the motions that come below `top`, mm.

    `tool` is for each motion the place of its tool in `tools`, -1 where it has none. Moves whose
    ends the text does not fix are left out.
    """
    taken = np.flatnonzero(m.known & (tool >= 0) & ~(m.low >= top))
    lifts = np.cumsum((m.known & (tool >= 0) & (m.low >= top) & m.rapid).astype(np.int64))
    lifted = np.diff(lifts[taken], prepend=0) > 0
    m, tool = m.take(taken), tool[taken]
    is_flat = np.array([profile_of(t).is_flat for t in tools], dtype=bool)[tool]
    is_cylinder = np.array([t.kind in _CYLINDERS for t in tools], dtype=bool)[tool]
    radius = np.array([t.radius for t in tools], dtype=np.float64)[tool]
    level, cuts = np.abs(m.bz - m.az) < 1e-6, ~m.rapid
    goes_on, turned = _onward(m, tool, is_flat)
    settled = lifted | ~level | ~cuts | ~goes_on | turned
    settled[1:] |= ~level[:-1]  # the place that a slope came down to counts at once
    slope = cuts & ~level & is_flat & (m.plan_length > 1e-6)
    parts = stretches(m, radius, slope)
    k = parts.motion
    measured = (cuts & level & is_cylinder)[k]
    gone = np.cumsum(np.where(measured, parts.length, 0.0))
    circles = m.cx[k], m.cy[k], m.radius[k], m.ccw[k]
    pieces = plain(parts.x0, parts.y0, parts.x1, parts.y1, *circles)
    pieces["z0"], pieces["z1"], pieces["length"] = parts.z0, parts.z1, parts.length
    pieces["before"] = np.append(0.0, gone)[:-1]
    pieces["motion"], pieces["tool"] = taken[k], tool[k]
    pieces["first"] = parts.first
    pieces["onward"] = np.where(parts.first, goes_on[k] & measured, ~slope[k])
    pieces["settled"] = settled[k] & parts.first
    pieces["cuts"], pieces["measured"] = cuts[k], measured
    return _with_arrivals(pieces, m, cuts & ~level & is_flat)


def _onward(m: Columns, tool: Ints, is_flat: Flags) -> tuple[Flags, Flags]:
    """Whether each motion sets off where the same tool's cut has just cleared its place; and
    whether it sets off by more than a little aside.
    """
    count = len(m)
    goes_on, turned = np.zeros(count, dtype=bool), np.zeros(count, dtype=bool)
    if count < 2:
        return goes_on, turned
    same = (m.bx[:-1] == m.ax[1:]) & (m.by[:-1] == m.ay[1:]) & (m.bz[:-1] == m.az[1:])
    level = is_flat[1:] | (m.az[:-1] == m.bz[:-1])
    goes_on[1:] = same & level & ~m.rapid[:-1] & (tool[:-1] == tool[1:])
    last_x, last_y = _directions(m, m.bx, m.by)
    first_x, first_y = _directions(m, m.ax, m.ay)
    turned[1:] = last_x[:-1] * first_x[1:] + last_y[:-1] * first_y[1:] < _ONWARD
    return goes_on, turned


def _directions(m: Columns, x: Floats, y: Floats) -> tuple[Floats, Floats]:
    """Unit directions of travel seen from above, at places on the motions; none straight down."""
    arc = m.radius > 0
    out = np.where(m.ccw, 1.0, -1.0) / np.where(arc, m.radius, 1.0)
    long = np.where(m.plan_length < 1e-9, math.inf, m.plan_length)
    return (
        np.where(arc, -out * (y - m.cy), (m.bx - m.ax) / long),
        np.where(arc, out * (x - m.cx), (m.by - m.ay) / long),
    )


def plain(
    x0: Floats,
    y0: Floats,
    x1: Floats,
    y1: Floats,
    cx: Floats,
    cy: Floats,
    radius: Floats,
    ccw: Flags,
) -> Records:
    """Pieces at height 0 that sweep with the first tool, each for itself."""
    dx, dy = x1 - x0, y1 - y0
    chord = np.sqrt(dx * dx + dy * dy)
    long = chord >= 1e-9
    safe = np.where(long, chord, 1.0)
    found = np.zeros(x0.size, dtype=PIECE)
    found["x0"], found["y0"], found["x1"], found["y1"] = x0, y0, x1, y1
    found["ux"], found["uy"] = np.where(long, dx / safe, 1.0), np.where(long, dy / safe, 0.0)
    found["chord"] = np.where(long, chord, 0.0)
    found["cx"], found["cy"], found["radius"] = cx, cy, radius
    found["sense"] = np.where(ccw, 1.0, -1.0)
    _bound(found)
    for name in ("first", "settled", "sweeps", "cuts"):
        found[name] = True
    return found


def _bound(p: Records) -> None:
    """Notes the bounds of pieces, of arcs as far as they turn."""
    arc, sense = p["radius"] > 0, p["sense"]
    ax, ay = sense * (p["x0"] - p["cx"]), sense * (p["y0"] - p["cy"])
    bx, by = sense * (p["x1"] - p["cx"]), sense * (p["y1"] - p["cy"])
    low_x, high_x = np.minimum(p["x0"], p["x1"]), np.maximum(p["x0"], p["x1"])
    low_y, high_y = np.minimum(p["y0"], p["y1"]), np.maximum(p["y0"], p["y1"])
    left, right = p["cx"] - p["radius"], p["cx"] + p["radius"]
    below, above = p["cy"] - p["radius"], p["cy"] + p["radius"]
    p["low_x"] = np.where(arc & (ay >= 0) & (by <= 0), np.minimum(low_x, left), low_x)
    p["high_x"] = np.where(arc & (ay <= 0) & (by >= 0), np.maximum(high_x, right), high_x)
    p["low_y"] = np.where(arc & (ax <= 0) & (bx >= 0), np.minimum(low_y, below), low_y)
    p["high_y"] = np.where(arc & (ax >= 0) & (bx <= 0), np.maximum(high_y, above), high_y)


def _with_arrivals(p: Records, m: Columns, arrives: Flags) -> Records:
    """With a place after each motion that arrives at its end's height: cleared there for fronts."""
    at = np.flatnonzero(np.append(p["first"][1:], p.size > 0))[arrives]  # its last piece
    x, y, nothing = m.bx[arrives], m.by[arrives], np.zeros(at.size)
    places = plain(x, y, x, y, nothing, nothing, nothing, nothing > 0)
    places["z0"] = places["z1"] = m.bz[arrives]
    places["before"] = p["before"][at] + np.where(p["measured"][at], p["length"][at], 0.0)
    places["motion"], places["tool"] = p["motion"][at], p["tool"][at]
    for name in ("first", "settled", "sweeps"):
        places[name] = False
    return np.insert(p, at + 1, places)


def outline_pieces(region: Region) -> Records:
    """An outline as pieces; arcs in thirds of a turn."""
    rows: list[tuple[float, ...]] = []
    for segment in region.segments():
        if not isinstance(segment, Arc):
            rows.append((*segment.start, *segment.end, 0.0, 0.0, 0.0, 0.0))
            continue
        count = max(1, math.ceil(abs(segment.sweep) / (math.tau / 3)))
        for part in (segment.part(k / count, (k + 1) / count) for k in range(count)):
            rows.append((*part.start, *part.end, *part.centre, part.radius, float(part.ccw)))
    x0, y0, x1, y1, cx, cy, radius, ccw = (np.array(c, np.float64) for c in zip(*rows, strict=True))
    return plain(x0, y0, x1, y1, cx, cy, radius, ccw > 0)
