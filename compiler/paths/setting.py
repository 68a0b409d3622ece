"""What the linker is given with the strokes of one level: heights, feeds, limits, surroundings."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely

from compiler.job.model import Machine
from compiler.part.model import Part
from compiler.paths.pen import Feeds
from compiler.paths.sets import passable
from compiler.paths.task import Area, Pace, Task
from compiler.paths.timing import up_over_down
from compiler.plan.choice import link_feed
from compiler.plan.model import Level, Operation

SLOW_LAST = 1.0  # mm: the last of a way down in air is gone slowly


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """One level of one operation, for the linker. Heights mm, feeds mm/min, `ramp` rad.

    Attributes:
        task: The sets that the strokes were planned with.
        allowed: Centres that may be used, the exact walls included.
        above: Material just above the level's top.
        clearance: Z of rapids across.
        margin: From material when coming down beside it, where there is room.
        feed_from: Z where rapids down end: the part's top and the approach above it.
        top: Z of the level's top.
        bottom: Z of the strokes.
        ramp: Steepest ramp or helix.
        feeds: By what a move is for.
        machine: For weighing a lift against a link.
    """

    task: Task
    allowed: Area
    above: Area
    clearance: float
    margin: float
    feed_from: float
    top: float
    bottom: float
    ramp: float
    feeds: Feeds
    machine: Machine


def setting_of(
    part: Part, operation: Operation, level: Level, task: Task, above: Area, machine: Machine
) -> Setting:
    """The setting of a level."""
    allowed = passable(task)
    shapely.prepare(allowed)
    return Setting(
        task=task,
        allowed=allowed,
        above=above,
        clearance=part.clearance,
        margin=part.approach,
        feed_from=min(part.stock_top + part.approach, part.clearance),
        top=level.top_mm,
        bottom=level.bottom_mm,
        ramp=math.radians(operation.max_ramp_angle_deg),
        feeds=_feeds(operation, machine),
        machine=machine,
    )


def pace_of(part: Part, operation: Operation, level: Level, machine: Machine) -> Pace:
    """What ways of a level are weighed by while its strokes are planned."""
    feeds = _feeds(operation, machine)
    feed_from = min(part.stock_top + part.approach, part.clearance)
    up, down = part.clearance - level.bottom_mm, part.clearance - feed_from
    last = slow_last(feed_from, level.bottom_mm)
    fed = ((feed_from - level.bottom_mm - last, feeds.cut), (last, feeds.plunge))
    return Pace(
        cut=feeds.cut,
        link=feeds.link,
        acceleration=machine.acceleration,
        lift=up_over_down(machine, 0.0, up, down, fed),
    )


def slow_last(feed_from: float, bottom: float) -> float:
    """How far above the floor the cutter slows down on its way there in air, mm."""
    return min(SLOW_LAST, feed_from - bottom)


def _feeds(operation: Operation, machine: Machine) -> Feeds:
    cutting = operation.cutting
    finish = operation.kind in ("finish_floor", "finish_walls")
    return Feeds(
        cut=cutting.finish_feed_mm_min if finish else cutting.feed_mm_min,
        link=link_feed(machine, cutting.feed_mm_min, "mm").value,
        entry=cutting.entry_feed_mm_min,
        plunge=cutting.plunge_feed_mm_min,
    )
