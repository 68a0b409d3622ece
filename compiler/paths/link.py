"""Joins strokes: at depth where that is quicker and touches nothing, else up, over and down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import shapely
from shapely import LineString

from compiler.geometry import Line, Point, Segment
from compiler.motion import Role
from compiler.paths.descent import beside, clear_of
from compiler.paths.detour import detour
from compiler.paths.pen import Feeds, Pen
from compiler.paths.progress import Progress
from compiler.paths.setting import Setting, slow_last
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.timing import seconds, up_over_down, way_seconds

HOVER = 0.25  # mm above material where a ramp or helix begins
NEAR = 0.5  # of the radius: so near a stroke's end a link runs at the cutting feed
ASIDE = 0.5  # mm off the straight way, and twice that along it to come there and back
CROSSED = 0.8  # of the radius: so far the cutter goes on through material rather than up and down
LEAST_ASIDE = 10.0  # mm: a shorter way is not worth it
SHORT = 1e-6  # mm
ROOM = 0.05  # mm of air all round that a link at more than the cutting feed must have


def link(pen: Pen, strokes: Sequence[Stroke], setting: Setting, progress: Progress) -> None:
    """Draw the strokes of one level with all that joins them; the pen ends at clearance.

    The progress is cut along. A stroke whose start can't be reached in air is left out: what it
    would have cut then stays, and is reported as such.
    """
    for stroke in strokes:
        if stroke.way is Way.BORE:
            pen.retract(setting.clearance)
            _go_down_to_bore(pen, stroke, setting)
        elif not _reach(pen, stroke.pieces[0].segment, setting, progress):
            continue
        for piece in stroke.pieces:
            side = None if piece is stroke.pieces[-1] else stroke.side
            pen.follow(_fed(piece, stroke, setting), setting.feeds, side)
        progress.cut(piece.segment for piece in stroke.pieces)
    pen.retract(setting.clearance)


def _fed(piece: Piece, stroke: Stroke, setting: Setting) -> Piece:
    """The level turn after a helix takes what its last slope left, at full width: slowed."""
    if stroke.way is not Way.BORE:
        return piece
    return replace(piece, feed_factor=min(piece.feed_factor, setting.task.slot_factor))


def _reach(pen: Pen, first: Segment, setting: Setting, progress: Progress) -> bool:
    """Bring the cutter to where a stroke begins: along the floor, or down in air there or near."""
    start = first.start
    if _follow_at_depth(pen, start, setting, progress) or _cross(pen, start, setting, progress):
        return True
    place = start if progress.is_free_at(start) else beside(start, setting, progress)
    if place is None:
        return False
    pen.retract(setting.clearance)
    down = clear_of(place, first.tangent(0.0), setting, progress)
    pen.over(down, setting.clearance)
    last = slow_last(setting.feed_from, setting.bottom)
    # a hair of air is none: there the rim may meet what stands beside it
    clear = progress.is_free(shapely.Point(down), slack=-ROOM)
    slowly = setting.feeds.plunge if clear else setting.feeds.entry
    pen.settle(setting.feed_from, setting.bottom, last, setting.feeds.cut, slowly)
    pen.line(place, setting.feeds.cut, Role.LEAD)
    if place != start:
        pen.line(start, setting.feeds.cut * setting.task.slot_factor, Role.CUT)
        progress.cut([Line(place, start)])
    return True


def _follow_at_depth(pen: Pen, target: Point, setting: Setting, progress: Progress) -> bool:
    """Go to the target at depth if there is a free way that is quicker than a lift."""
    at = pen.at_depth(setting.bottom)
    if at is None:
        return False
    across = at.distance(target)
    if across < 1e-9:
        return True
    feeds, machine = setting.feeds, setting.machine
    last = slow_last(setting.feed_from, setting.bottom)
    lift = up_over_down(
        machine,
        across,
        setting.clearance - setting.bottom,
        setting.clearance - setting.feed_from,
        ((setting.feed_from - setting.bottom - last, feeds.cut), (last, feeds.plunge)),
    )
    if seconds(across, feeds.link, machine.acceleration) > lift:
        return False
    legs = _way(at, target, setting, progress, lift)
    if legs is None or _time(at, legs, machine.acceleration) > lift:
        return False
    for to, feed in legs:
        pen.line(to, feed, Role.LINK)
    return True


def _cross(pen: Pen, target: Point, setting: Setting, progress: Progress) -> bool:
    """Go straight to a target close by through what stands there, at the feed of a slot.

    Not where the operation promises an engaged angle.
    """
    at = pen.at_depth(setting.bottom)
    if at is None or setting.task.engagement is not None:
        return False
    if at.distance(target) > CROSSED * progress.radius:
        return False
    if not setting.allowed.covers(LineString([at, target])):
        return False
    pen.line(target, setting.feeds.cut * setting.task.slot_factor, Role.CUT)
    progress.cut([Line(at, target)])
    return True


def _way(
    at: Point, target: Point, setting: Setting, progress: Progress, within: float
) -> list[tuple[Point, float]] | None:
    """The quickest of the straight way, one a little aside of it, and one round what stands there.

    None where none of them is free; a way round that takes longer than `within` s is not looked
    for.
    """
    feeds, rate = setting.feeds, setting.machine.acceleration
    ways: list[list[tuple[Point, float]]] = []
    if setting.allowed.covers(LineString([at, target])):
        straight = _legs([at, target], progress, feeds)
        if straight is not None:
            ways = [straight]
            if len(straight) == 1:  # along what stands beside it, so at the cutting feed
                ways += _aside(at, target, setting, progress)
            within = min(within, *(_time(at, legs, rate) for legs in ways))
    if not ways or (len(ways[0]) == 1 and at.distance(target) > LEAST_ASIDE):
        bends = detour(
            at,
            target,
            progress,
            setting.allowed,
            rate=feeds.link,
            acceleration=rate,
            within=within,
        )
        legs = None if bends is None else _legs([at, *bends, target], progress, feeds)
        if legs is not None:
            ways.append(legs)
    return min(ways, key=lambda legs: round(_time(at, legs, rate), 6), default=None)


def _aside(
    at: Point, target: Point, setting: Setting, progress: Progress
) -> list[list[tuple[Point, float]]]:
    """Ways beside the straight one, off the row that stands along it: there it runs free."""
    ahead = target.minus(at)
    if ahead.norm() < LEAST_ASIDE:
        return []
    along, found = ahead.unit(), list[list[tuple[Point, float]]]()
    for side in (along.left().times(ASIDE), along.left().times(-ASIDE)):
        places = [
            at,
            at.plus(along, 2 * ASIDE).plus(side),
            target.plus(along, -2 * ASIDE).plus(side),
            target,
        ]
        if setting.allowed.covers(LineString(places)):
            legs = _legs(places, progress, setting.feeds)
            if legs is not None:
                found.append(legs)
    return found


def _time(at: Point, legs: Sequence[tuple[Point, float]], acceleration: float) -> float:
    """Seconds for the legs, from rest to rest."""
    return way_seconds([at, *(to for to, _ in legs)], [feed for _, feed in legs], acceleration)


def _legs(
    places: Sequence[Point], progress: Progress, feeds: Feeds
) -> list[tuple[Point, float]] | None:
    """Where to go at which feed: quick in the clear, at the cutting feed along what stands near
    and near both ends of the way.

    None where a leg would touch more than what rows leave along their edges.
    """
    ways = [(a, b) for a, b in pairwise(places) if a.distance(b) > SHORT]
    near, found = NEAR * progress.radius, list[tuple[Point, float]]()
    for k, (a, b) in enumerate(ways):
        if not progress.is_free(LineString([a, b])):
            return None
        length = a.distance(b)
        head = near if k == 0 else 0.0
        tail = near if k == len(ways) - 1 else 0.0
        if length > head + tail + near / 4:
            first, last = _between(a, b, head / length), _between(a, b, 1 - tail / length)
            if progress.is_free(LineString([first, last]), slack=-ROOM):
                found += [(first, feeds.cut)] if head else []
                found.append((last, feeds.link))
                found += [(b, feeds.cut)] if tail else []
                continue
        found.append((b, feeds.cut))
    return found


def _between(a: Point, b: Point, t: float) -> Point:
    return Point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y))


def _go_down_to_bore(pen: Pen, stroke: Stroke, setting: Setting) -> None:
    """Helix down to the start of a full turn, or ramp to and fro along a straight piece."""
    first = stroke.pieces[0].segment
    turn = LineString([*(piece.segment.start for piece in stroke.pieces), first.end])
    clear = Progress(setting.above, setting.task.radius).is_free(turn)
    begin = min(setting.top + HOVER, setting.feed_from) if clear else setting.feed_from
    pen.over(first.start, setting.clearance)
    pen.down(setting.feed_from, begin, setting.feeds.entry)
    if isinstance(first, Line):
        pen.ramp(first, setting.bottom, setting.ramp, setting.feeds.entry)
    else:
        turns = [piece.segment for piece in stroke.pieces]
        pen.helix(turns, setting.bottom, setting.ramp, setting.feeds.entry)
