"""The tools side by side, to scale: cutting part, shank, holder, and how far each sticks out."""

import math

from compiler.geometry import Arc, Line, Point, Segment
from compiler.job import Tool
from compiler.pictures import marks
from compiler.pictures.display import (
    CHAIN,
    HATCH,
    NARROW,
    WIDE,
    Item,
    Picture,
    Run,
    Words,
)
from compiler.pictures.frame import SCALES
from compiler.pictures.part_view import value
from compiler.units.number import Units

FOOT, HEAD = 9.0, 7.0  # mm on paper, for numbers and the scale
HOLDER_SHOWN = 18.0  # mm of holder drawn, the rest is broken off
SIDE = 16.0  # mm beside a tool, for its stick-out


def tool_drawings(tools: tuple[Tool, ...], units: Units, room: Point) -> tuple[Picture, ...]:
    """All tools, tips on one level: a picture a row.

    Args:
        tools: In order of use.
        units: For the values.
        room: The paper that a row has, mm.
    """
    name, scale = _scale(tools, room)
    rows: list[list[Tool]] = []
    x = math.inf
    for tool in tools:
        if x + _room(tool, scale) > room.x:
            rows.append([])
            x = 0.0
        rows[-1].append(tool)
        x += _room(tool, scale)
    return tuple(_row(row, units, name, scale, is_first=n == 0) for n, row in enumerate(rows))


def _row(tools: list[Tool], units: Units, name: str, scale: float, *, is_first: bool) -> Picture:
    title = f"Tools, scale {name}" if is_first else ""
    height = FOOT + (HEAD if is_first else 2.0) + max(_tall(tool) for tool in tools) * scale
    items: list[Item] = []
    x = 0.0
    for tool in tools:
        items += _tool(tool, units, Point(x + _wide(tool) * scale / 2 + 3.0, FOOT), scale)
        x += _room(tool, scale)
    if is_first:
        items += marks.head(title, height, scale, units)
    return Picture(max(x, marks.head_width(title)), height, tuple(items), scale)


def _room(tool: Tool, scale: float) -> float:
    """How wide a tool is with its stick-out and the air beside it, mm on paper."""
    return _wide(tool) * scale + SIDE + 6.0


def _scale(tools: tuple[Tool, ...], room: Point) -> tuple[str, float]:
    """The largest scale of ISO 5455 up to full size: all side by side, or half size in rows."""
    for name, scale in SCALES:
        tall = max(_tall(tool) for tool in tools) * scale + FOOT + HEAD
        each = [_room(tool, scale) for tool in tools]
        fits = sum(each) <= room.x or (scale <= 0.5 and max(each) <= room.x)
        if scale <= 1 and fits and tall <= room.y:
            return name, scale
    return SCALES[-1]


def _wide(tool: Tool) -> float:
    return max(tool.diameter, tool.shank_diameter, tool.holder.diameter if tool.holder else 0.0)


def _tall(tool: Tool) -> float:
    return tool.stickout + (min(tool.holder.length, HOLDER_SHOWN) if tool.holder else 4.0)


def _tool(tool: Tool, units: Units, foot: Point, scale: float) -> list[Item]:
    """One tool standing on its tip at `foot`."""

    def at(x: float, z: float) -> Point:
        return foot.plus(Point(x * scale, z * scale))

    radius, shank = tool.diameter / 2, tool.shank_diameter / 2
    flutes = min(tool.flute_length, tool.stickout)
    top = _tall(tool)
    items: list[Item] = []
    if tool.stickout > flutes:
        neck = (at(-shank, flutes), at(shank, flutes), at(shank, tool.stickout))
        items.append(marks.polygon((*neck, at(-shank, tool.stickout)), fill=1.0, pen=NARROW))
    items.append(Run((_tip(tool, at, flutes),), WIDE, fill=1.0, closed=True))
    pitch = max(tool.diameter * 0.9, 3.0 / scale)
    rise = radius * 1.2
    low = _tip_height(tool) + rise
    while low < flutes:
        items.append(marks.line(at(-radius, low - rise), at(radius, low), HATCH))
        low += pitch
    if tool.holder is not None:
        wide = tool.holder.diameter / 2
        corners = (at(-wide, tool.stickout), at(wide, tool.stickout), at(wide, top), at(-wide, top))
        items.append(marks.polygon(corners, fill=0.88, pen=WIDE))
    items.append(marks.line(at(0, 0).plus(Point(0, -1.5)), at(0, top).plus(Point(0, 1.5)), CHAIN))
    items += _stickout(tool, units, at(_wide(tool) / 2, 0), at(_wide(tool) / 2, tool.stickout))
    items.append(Words(foot.plus(Point(0, -4.6)), f"T{tool.number}", 3.0, "middle", bold=True))
    said = f"Ø{value(tool.diameter, units)}"
    items.append(Words(foot.plus(Point(0, -8.2)), said, 2.6, "middle"))
    return items


def _stickout(tool: Tool, units: Units, low: Point, high: Point) -> list[Item]:
    """The dimension of the stick-out, at the tool's right."""
    x = low.x + 4.0
    a, b = Point(x, low.y), Point(x, high.y)
    reach = Point(1.0, 0.0)
    return [
        marks.line(low.plus(reach), a.plus(reach)),
        marks.line(high.plus(reach), b.plus(reach)),
        marks.line(a, b),
        marks.arrow(a, -math.pi / 2),
        marks.arrow(b, math.pi / 2),
        Words(Point(x + 1.2, (a.y + b.y) / 2 - 0.9), value(tool.stickout, units)),
    ]


def _tip_height(tool: Tool) -> float:
    """How far up the end's shape reaches, mm."""
    radius = tool.diameter / 2
    if tool.kind == "ball_mill":
        return radius
    if tool.kind == "bull_mill":
        return tool.corner_radius
    if tool.kind in ("chamfer_mill", "drill") and 0 < tool.tip_angle < math.pi:
        flat = tool.tip_diameter / 2 if tool.kind == "chamfer_mill" else 0.0
        return (radius - flat) / math.tan(tool.tip_angle / 2)
    return 0.0


def _tip(tool: Tool, at: object, flutes: float) -> tuple[Segment, ...]:
    """The cutting part's outline, from the upper left round by the tip."""
    assert callable(at)
    radius, rise = tool.diameter / 2, _tip_height(tool)
    left, right = at(-radius, flutes), at(radius, flutes)
    low_left, low_right = at(-radius, rise), at(radius, rise)
    if tool.kind == "ball_mill":
        end: tuple[Segment, ...] = (Arc(low_left, low_right, at(0, radius), True),)
    elif tool.kind == "bull_mill" and rise:
        flat = radius - rise
        a, b = at(-flat, 0), at(flat, 0)
        end = (
            Arc(low_left, a, at(-flat, rise), True),
            Line(a, b),
            Arc(b, low_right, at(flat, rise), True),
        )
    elif rise:
        flat = tool.tip_diameter / 2 if tool.kind == "chamfer_mill" else 0.0
        a, b = at(-flat, 0), at(flat, 0)
        end = (Line(low_left, a), Line(a, b), Line(b, low_right))
    else:
        end = (Line(low_left, low_right),)
    return (Line(left, low_left), *end, Line(low_right, right), Line(right, left))
