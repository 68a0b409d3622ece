"""Joins strokes: at depth where that is quicker and touches nothing, else up, over and down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import LineString

from compiler.geometry import Line, Point
from compiler.job.model import Machine
from compiler.motion import Role
from compiler.paths.detour import detour
from compiler.paths.pen import Feeds, Pen
from compiler.paths.progress import Progress
from compiler.paths.sets import CHORD, swell
from compiler.paths.stroke import Stroke, Way
from compiler.paths.task import Area, Task
from compiler.paths.timing import seconds, up_over_down

HOVER = 0.25  # mm above material where a ramp or helix begins
NEAR = 0.5  # of the radius: so near a stroke's end a link runs at the cutting feed
ROOM = 0.05  # mm of air all round that a link at more than the cutting feed must have


@dataclass(frozen=True, slots=True, kw_only=True)
class Heights:
    """Z of one level and of what is above it, mm."""

    clearance: float
    feed_from: float  # part top plus approach: rapids end here
    bottom: float
    top: float  # material begins here at most, where the level above was cleared
    ramp: float  # steepest ramp, rad


def link(
    pen: Pen,
    strokes: Sequence[Stroke],
    task: Task,
    above: Area,
    heights: Heights,
    feeds: Feeds,
    machine: Machine,
) -> Progress:
    """Draw the strokes of one level with all that joins them; the pen ends at clearance.

    `above` is the material just above the level's top. The progress that comes back holds what
    was swept.
    """
    progress = Progress(task.material, task.radius)
    allowed = swell(task.centres, 2 * CHORD)
    shapely.prepare(allowed)
    over = Progress(above, task.radius)
    for stroke in strokes:
        first = stroke.pieces[0].segment.start
        if stroke.way is Way.BORE:
            pen.retract(heights.clearance)
            _go_down_to_bore(pen, stroke, over, heights, feeds)
        elif not _follow_at_depth(pen, first, progress, allowed, heights, feeds, machine):
            pen.retract(heights.clearance)
            pen.over(first, heights.clearance)
            pen.down(heights.feed_from, heights.bottom, feeds.entry)
        for piece in stroke.pieces:
            if stroke.way is Way.BORE:
                # the level turn takes what the last slope of the helix left, at full width
                piece = replace(piece, feed_factor=min(piece.feed_factor, task.slot_factor))
            pen.follow(piece, feeds)
        progress.cut(piece.segment for piece in stroke.pieces)
    pen.retract(heights.clearance)
    return progress


def _follow_at_depth(
    pen: Pen,
    target: Point,
    progress: Progress,
    allowed: Area,
    heights: Heights,
    feeds: Feeds,
    machine: Machine,
) -> bool:
    """Go to the target at depth if there is a free way that is quicker than a lift."""
    at = pen.at_depth(heights.bottom)
    if at is None:
        return False
    across = at.distance(target)
    if across < 1e-9:
        return True
    lift = up_over_down(
        machine,
        across,
        heights.clearance - heights.bottom,
        heights.clearance - heights.feed_from,
        heights.feed_from - heights.bottom,
        feeds.entry,
    )
    if seconds(across, feeds.link, machine.acceleration) > lift:
        return False
    way = [] if allowed.covers(LineString([at, target])) else detour(at, target, progress, allowed)
    legs = None if way is None else _legs([at, *way, target], progress, feeds)
    if legs is None and way == []:
        way = detour(at, target, progress, allowed)
        legs = None if way is None else _legs([at, *way, target], progress, feeds)
    if legs is None:
        return False
    ends = [at, *(to for to, _ in legs)]
    rates = [feed for _, feed in legs]
    time = sum(
        seconds(a.distance(b), rate, machine.acceleration)
        for a, b, rate in zip(ends[:-1], ends[1:], rates, strict=True)
    )
    if time > lift:
        return False
    for to, feed in legs:
        pen.line(to, feed, Role.LINK)
    return True


def _legs(
    places: Sequence[Point], progress: Progress, feeds: Feeds
) -> list[tuple[Point, float]] | None:
    """Where to go at which feed: quick in the clear, at the cutting feed along what stands near.

    None where a leg would touch more than what rows leave along their edges.
    """
    found: list[tuple[Point, float]] = []
    for a, b in pairwise(places):
        if not progress.is_free(LineString([a, b])):
            return None
        near = NEAR * progress.radius
        length = a.distance(b)
        if length > 3 * near:
            first, last = _between(a, b, near / length), _between(a, b, 1 - near / length)
            if progress.is_free(LineString([first, last]), slack=-ROOM):
                found += [(first, feeds.cut), (last, feeds.link), (b, feeds.cut)]
                continue
        found.append((b, feeds.cut))
    return found


def _between(a: Point, b: Point, t: float) -> Point:
    return Point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y))


def _go_down_to_bore(
    pen: Pen, stroke: Stroke, over: Progress, heights: Heights, feeds: Feeds
) -> None:
    """Helix down to the start of a full turn, or ramp to and fro along a straight piece."""
    first = stroke.pieces[0].segment
    lines = LineString([piece.segment.start for piece in stroke.pieces] + [first.end])
    begin = heights.top + HOVER if over.is_free(lines) else heights.feed_from
    begin = min(begin, heights.feed_from)
    pen.over(first.start, heights.clearance)
    pen.down(heights.feed_from, begin, feeds.entry)
    if isinstance(first, Line):
        pen.ramp(first, heights.bottom, heights.ramp, feeds.entry)
    else:
        turns = [piece.segment for piece in stroke.pieces]
        pen.helix(turns, heights.bottom, heights.ramp, feeds.entry)
