"""Holes: straight down at each place, in one go or by pecks.

`to` is where the hole has its full width; the point goes below that by the height of its cone.
"""

from __future__ import annotations

import math

from compiler.geometry import Point
from compiler.job.model import Pass, Tool
from compiler.motion import Role
from compiler.paths.pen import Pen
from compiler.paths.setting import Setting

PECK = 1.0  # times the diameter, where the author says none (common practice, no source)
BREAK = 0.5  # mm back to break the chip, and left above the bottom when coming down again


def point_height(tool: Tool) -> float:
    """Height of the drill's cone, mm: r / tan(half the point angle)."""
    return tool.radius / math.tan(tool.tip_angle / 2) if tool.tip_angle > 0 else 0.0


def drill(pen: Pen, asked: Pass, tool: Tool, places: tuple[Point, ...], setting: Setting) -> None:
    """Draw the holes, the nearest next one first, from the part's top to full width at `bottom`."""
    left = list(places)
    bottom = setting.bottom - point_height(tool)
    at: Point | None = None
    while left:
        i = min(range(len(left)), key=lambda k: 0.0 if at is None else left[k].distance(at))
        at = left.pop(i)
        pen.retract(setting.clearance)
        pen.over(at, setting.clearance)
        pen.down(setting.feed_from, setting.feed_from, setting.feeds.cut)
        _one(pen, asked, tool, bottom, setting)
    pen.retract(setting.clearance)


def _one(pen: Pen, asked: Pass, tool: Tool, bottom: float, setting: Setting) -> None:
    """One hole from `feed_from` down."""
    feed = setting.feeds.cut
    if asked.cycle == "plain":
        pen.sink(bottom, feed, Role.CUT)
        return
    peck = asked.peck if asked.peck is not None else PECK * tool.diameter
    count = max(1, math.ceil((setting.top - bottom) / peck - 1e-9))
    for k in range(1, count + 1):
        z = bottom if k == count else setting.top - k * peck
        pen.sink(z, feed, Role.CUT)
        if k == count:
            break
        if asked.cycle == "peck":
            pen.rise(setting.feed_from)
            pen.drop(z + BREAK)
        else:
            pen.sink(z + BREAK, feed, Role.RETRACT)
