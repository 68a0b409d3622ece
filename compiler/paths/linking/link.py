"""Joins strokes: at depth where that is quicker and touches nothing, else up, over and down."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import shapely
from shapely import LineString

from compiler.geometry import Line, Point, Segment
from compiler.motion import Role
from compiler.paths.descent import beside, clear_of
from compiler.paths.linking.at_depth import ROOM, Ground, Rated, quickest, ways
from compiler.paths.linking.pose import pose_of
from compiler.paths.pen import Pen
from compiler.paths.progress import Progress
from compiler.paths.setting import Setting, slow_last
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.timing import seconds, up_over_down

HOVER = 0.25  # mm above material where a ramp or helix begins
CROSSED = 0.8  # of the radius: so far the cutter goes on through material rather than up and down


@dataclass(frozen=True, slots=True)
class Known:
    """Ways at depth that were looked for already, for levels that are cut alike.

    By what was cut so far and the poses at both ends. The deepest of the levels, whose lifts take
    longest, is the one that they are looked for at.
    """

    deepest: float  # Z, mm
    ways: dict[tuple[object, ...], list[Rated]] = field(default_factory=dict)


def link(
    pen: Pen, strokes: Sequence[Stroke], setting: Setting, progress: Progress, known: Known
) -> None:
    """Draw the strokes of one level with all that joins them; the pen ends at clearance.

    The progress is cut along. A stroke whose start can't be reached in air is left out: what it
    would have cut then stays, and is reported as such.
    """
    before: Segment | None = None
    for stroke in strokes:
        if stroke.way is Way.BORE:
            pen.retract(setting.clearance)
            _go_down_to_bore(pen, stroke, setting)
        elif not _reach(pen, before, stroke.pieces[0].segment, setting, progress, known):
            continue
        for piece in stroke.pieces:
            side = None if piece is stroke.pieces[-1] else stroke.side
            pen.follow(_fed(piece, stroke, setting), setting.feeds, side)
        progress.cut(piece.segment for piece in stroke.pieces)
        before = stroke.pieces[-1].segment
    pen.retract(setting.clearance)


def _fed(piece: Piece, stroke: Stroke, setting: Setting) -> Piece:
    """The level turn after a helix takes what its last slope left, at full width: slowed."""
    if stroke.way is not Way.BORE:
        return piece
    return replace(piece, feed_factor=min(piece.feed_factor, setting.task.slot_factor))


def _reach(
    pen: Pen,
    before: Segment | None,
    first: Segment,
    setting: Setting,
    progress: Progress,
    known: Known,
) -> bool:
    """Bring the cutter to where a stroke begins: along the floor, or down in air there or near.

    `before` is what was cut last, if anything was.
    """
    start = first.start
    if _follow_at_depth(pen, before, first, setting, progress, known) or _cross(
        pen, start, setting, progress
    ):
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


def _follow_at_depth(
    pen: Pen,
    before: Segment | None,
    first: Segment,
    setting: Setting,
    progress: Progress,
    known: Known,
) -> bool:
    """Go to where a stroke begins at depth if there is a free way that is quicker than a lift."""
    at, target = pen.at_depth(setting.bottom), first.start
    if at is None:
        return False
    across = at.distance(target)
    if across < 1e-9:
        return True
    feeds, acceleration = setting.feeds, setting.machine.acceleration
    lift = _lift(across, setting, setting.bottom)
    if before is None or seconds(across, feeds.link, acceleration) > lift:
        return False
    ground = Ground(setting.allowed, progress, feeds, acceleration)
    ends = pose_of(at, before.tangent(1.0)), pose_of(target, first.tangent(0.0))
    key = (progress.mark, *ends)
    if key not in known.ways:
        known.ways[key] = ways(ground, *ends, _lift(across, setting, known.deepest))
    way = quickest(known.ways[key], ground, lift)
    if way is None:
        return False
    for segment, feed in way:
        pen.along(segment, feed, Role.LINK)
    return True


def _lift(across: float, setting: Setting, bottom: float) -> float:
    """Seconds to go up from a height, across and down again."""
    feeds, last = setting.feeds, slow_last(setting.feed_from, bottom)
    return up_over_down(
        setting.machine,
        across,
        setting.clearance - bottom,
        setting.clearance - setting.feed_from,
        ((setting.feed_from - bottom - last, feeds.cut), (last, feeds.plunge)),
    )


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
