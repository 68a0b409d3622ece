"""Writes moves down, knowing where the tool is. Made and used within one operation."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from compiler.geometry import Arc, Line, Point, Segment
from compiler.motion import Move, Point3, Rapid, Role, Side, Straight, Turn
from compiler.paths.fused import in_one
from compiler.paths.stroke import Piece

SAME = 1e-7  # mm
FAR = 2000.0  # mm: a radius beyond any machine's travel
FLAT = 0.001  # mm of arc height that a line may give up there
SPECK = 5e-5  # mm of arc height that no decimal shows


@dataclass(frozen=True, slots=True, kw_only=True)
class Feeds:
    """mm/min by what a move is for."""

    cut: float
    link: float
    entry: float  # down in material
    plunge: float  # the last of a way down in air


def _chords(arc: Arc) -> int:
    """Into how many lines an arc is drawn; 0 for an arc that is drawn as such.

    The centre of a very flat arc lies so far off that a control's rounding could turn it round.
    """
    height = arc.radius * (1 - math.cos(min(abs(arc.sweep), math.pi) / 2))
    if arc.radius > FAR:
        return max(1, math.ceil(math.sqrt(height / FLAT)))
    return 1 if height < SPECK else 0


class Pen:
    """The moves so far, and where they end."""

    def __init__(self) -> None:
        self.moves: list[Move] = []
        self.at: Point3 | None = None
        self._from: Point3 | None = None  # where the last fed move begins

    def at_depth(self, z: float) -> Point | None:
        """Where the tool is, if it is down at that height."""
        if self.at is None or abs(self.at.z - z) > SAME:
            return None
        return self.at.xy

    def over(self, place: Point, clearance: float) -> None:
        """Across at clearance."""
        self._rapid(Point3(place.x, place.y, clearance))

    def retract(self, clearance: float) -> None:
        """Straight up to clearance."""
        if self.at is not None and self.at.z < clearance - SAME:
            self._rapid(Point3(self.at.x, self.at.y, clearance))

    def down(self, feed_from: float, z: float, feed: float) -> None:
        """Down in air: at rapid to `feed_from`, fed from there."""
        here = self._here()
        self._rapid(Point3(here.x, here.y, max(feed_from, z)))
        if z < feed_from - SAME:
            self._fed(Straight(Point3(here.x, here.y, z), feed, Role.PLUNGE))

    def settle(self, feed_from: float, z: float, last: float, feed: float, slowly: float) -> None:
        """Down in air to a floor: rapid, from `feed_from` at a feed, the `last` mm slowly."""
        self.down(feed_from, max(z + last, z), feed)
        if self._here().z > z + SAME:
            self.sink(z, slowly, Role.PLUNGE)

    def sink(self, z: float, feed: float, role: Role, dwell: float = 0.0) -> None:
        """Fed straight down (or up) to a height; the tool stays there for `dwell` s."""
        here = self._here()
        self._fed(Straight(Point3(here.x, here.y, z), feed, role, dwell=dwell))

    def rise(self, z: float) -> None:
        """Straight up at rapid."""
        here = self._here()
        self._rapid(Point3(here.x, here.y, z))

    def drop(self, z: float) -> None:
        """Straight down at rapid, where everything above is open."""
        self.rise(z)

    def line(self, to: Point, feed: float, role: Role) -> None:
        """Fed straight at the present height."""
        here = self._here()
        if here.xy.distance(to) > SAME:
            self._fed(Straight(Point3(to.x, to.y, here.z), feed, role))

    def follow(self, piece: Piece, feeds: Feeds, side: Side | None = None) -> None:
        """One piece of a stroke at the present height, with a side compensated at the control."""
        feed = feeds.cut * piece.feed_factor
        self._segment(piece.segment, self._here().z, round(feed, 6), piece.role, side)

    def along(self, segment: Segment, feed: float, role: Role) -> None:
        """A line or arc at the present height."""
        self._segment(segment, self._here().z, feed, role)

    def helix(self, turns: Sequence[Segment], bottom: float, angle: float, feed: float) -> None:
        """Down round the arcs, which make a full turn, no steeper than the angle.

        Whole turns of even pitch, so that it ends where the level turn begins.
        """
        top = self._here().z
        around = sum(segment.length for segment in turns)
        count = max(1, math.ceil((top - bottom) / (around * math.tan(angle)) - 1e-9))
        steps = count * len(turns)
        for i in range(steps):
            z = bottom if i + 1 == steps else top + (bottom - top) * (i + 1) / steps
            self._segment(turns[i % len(turns)], z, feed, Role.RAMP)

    def ramp(self, line: Line, bottom: float, angle: float, feed: float) -> None:
        """Down to and fro along the line, ending where it starts, no steeper than the angle."""
        top = self._here().z
        count = 2 * max(1, math.ceil((top - bottom) / (2 * line.length * math.tan(angle)) - 1e-9))
        ways = (line, line.reversed())
        for i in range(count):
            z = bottom if i + 1 == count else top + (bottom - top) * (i + 1) / count
            self._segment(ways[i % 2], z, feed, Role.RAMP)

    def _segment(
        self, segment: Segment, z: float, feed: float, role: Role, side: Side | None = None
    ) -> None:
        to = Point3(segment.end.x, segment.end.y, z)
        count = _chords(segment) if isinstance(segment, Arc) else 1
        if isinstance(segment, Arc) and count == 0:
            self._fed(Turn(to, segment.centre, segment.ccw, feed, role, side))
            return
        top = self._here().z
        for k in range(1, count):
            at = segment.at(k / count)
            self._fed(Straight(Point3(at.x, at.y, top + (z - top) * k / count), feed, role, side))
        self._fed(Straight(to, feed, role, side))

    def _rapid(self, to: Point3) -> None:
        if self.at != to:
            self.moves.append(Rapid(to))
            self.at, self._from = to, None

    def _fed(self, move: Straight | Turn) -> None:
        """One more fed move, in one with the last where that only goes on with it."""
        last = self.moves[-1] if self.moves else None
        whole = None
        if self._from is not None and last is not None and not isinstance(last, Rapid):
            whole = in_one(self._from, last, move)
        if whole is None:
            self._from = self.at
            self.moves.append(move)
        else:
            self.moves[-1] = whole
        self.at = move.to

    def _here(self) -> Point3:
        assert self.at is not None, "the pen is placed before it draws"
        return self.at
