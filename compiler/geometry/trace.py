"""Chain pieces that share nodes up into outlines, and tidy what comes out.

Every piece has the inside on its left. Where several ways lead on from a node the sharpest turn to
the left is taken, and a loop is closed as soon as a node comes again: so outlines never cross
themselves, and areas that only touch at a point stay apart.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from compiler.geometry.arcs import sound
from compiler.geometry.outline import Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.split import Piece
from compiler.geometry.tolerance import TOUCH


def trace(pieces: Sequence[Piece]) -> tuple[list[list[Segment]], float]:
    """The closed loops that the pieces form, and the length of pieces that closed none, mm."""
    kept = _without_dead_ends(pieces)
    leaving: dict[int, list[int]] = {}
    for i in kept:
        leaving.setdefault(pieces[i].start, []).append(i)
    lost = sum(p.segment.length for p in pieces) - sum(pieces[i].segment.length for i in kept)
    loops: list[list[Segment]] = []
    for first in kept:
        if first not in leaving[pieces[first].start]:
            continue
        leaving[pieces[first].start].remove(first)
        path, at = [first], {pieces[first].start: 0}
        while path:
            node = pieces[path[-1]].end
            if node in at:
                since = at[node]
                loops.append([pieces[i].segment for i in path[since:]])
                for i in path[since + 1 :]:
                    del at[pieces[i].start]
                del path[since:]
                if not path:
                    break
                del at[node]
                node = pieces[path[-1]].end
            ways = leaving.get(node, [])
            if not ways:
                lost += pieces[path[-1]].segment.length
                del at[pieces[path[-1]].start]
                path.pop()
                continue
            way = ways[0] if len(ways) == 1 else _leftmost(pieces, path[-1], ways)
            ways.remove(way)
            at[node] = len(path)
            path.append(way)
    return loops, lost


def _without_dead_ends(pieces: Sequence[Piece]) -> list[int]:
    """The pieces left when those that lead from nowhere or to nowhere are taken off, repeatedly."""
    kept = list(range(len(pieces)))
    while True:
        starts = Counter(pieces[i].start for i in kept)
        ends = Counter(pieces[i].end for i in kept)
        still = [i for i in kept if ends[pieces[i].start] and starts[pieces[i].end]]
        if len(still) == len(kept):
            return kept
        kept = still


def _leftmost(pieces: Sequence[Piece], coming: int, ways: Sequence[int]) -> int:
    """Of the ways that leave a node, the one that turns most to the left.

    Directions are compared where the pieces cross a small circle round the node: pieces that touch
    there have the same tangent, and do not cross one another.
    """
    chords = [pieces[i].segment.start.distance(pieces[i].segment.end) for i in (coming, *ways)]
    reach = min(chords) / 4
    back = pieces[coming].segment.reversed()
    behind = heading(back, reach)

    def clockwise_from_behind(way: int) -> float:
        turn = (behind - heading(pieces[way].segment, reach)) % (2 * math.pi)
        return turn if turn > 0.0 else 2 * math.pi

    return min(ways, key=clockwise_from_behind)


def heading(segment: Segment, reach: float) -> float:
    """Direction, rad, from a segment's start to where it leaves a circle of `reach` round it."""
    if isinstance(segment, Line):
        return segment.end.minus(segment.start).angle()
    half = math.asin(min(1.0, reach / (2 * segment.radius)))
    along = segment.tangent(0.0).angle()
    return along + half if segment.ccw else along - half


def region_of(loops: Sequence[Sequence[Segment]]) -> Region:
    """Loops as a region in canonical form: joined, settled, slivers dropped, in a fixed order."""
    outlines = []
    for loop in loops:
        outline = tidy(loop)
        if outline is not None and abs(outline.area) > TOUCH * outline.length:
            outlines.append(outline)
    return in_order(outlines)


def in_order(outlines: Sequence[Outline]) -> Region:
    """The region of these outlines, each begun at its lowest X (then Y), sorted by that place."""
    begun = [_begun(outline) for outline in outlines]
    return Region(tuple(sorted(begun, key=lambda o: (*_key(o.segments[0].start), -o.area))))


def _begun(outline: Outline) -> Outline:
    segments = outline.segments
    first = min(range(len(segments)), key=lambda i: _key(segments[i].start))
    return Outline(segments[first:] + segments[:first])


def _key(point: Point) -> tuple[float, float]:
    return (round(point.x, 6), round(point.y, 6))


def tidy(loop: Sequence[Segment]) -> Outline | None:
    """A loop with neighbours joined that lie on one line or circle; None where nothing remains."""
    runs = joined(loop, closed=True)
    if not runs:
        return None
    if len(runs) == 1:
        only = runs[0]
        if isinstance(only, Line):
            return None
        return full_circle(only.centre, only.radius, only.ccw)
    return Outline(tuple(runs))


def full_circle(centre: Point, radius: float, ccw: bool) -> Outline:
    """A circle as two half arcs, begun at its lowest X."""
    left, right = Point(centre.x - radius, centre.y), Point(centre.x + radius, centre.y)
    return Outline((Arc(left, right, centre, ccw), Arc(right, left, centre, ccw)))


def joined(segments: Sequence[Segment], *, closed: bool) -> list[Segment]:
    """Runs of segments on one line or circle as one segment each, ends as they are.

    Arcs of more than half a turn are halved; a loop all on one circle is a single full turn.
    """
    rest = list(segments)
    if closed and len(rest) > 1:
        corner = next((i for i in range(len(rest)) if not _continues(rest[i - 1], rest[i])), 0)
        rest = rest[corner:] + rest[:corner]
    runs: list[Segment] = []
    for segment in rest:
        if runs and _continues(runs[-1], segment):
            last = runs.pop()
            if isinstance(last, Arc):
                segment = Arc(last.start, segment.end, last.centre, last.ccw)
            else:
                segment = Line(last.start, segment.end)
        runs.append(segment)
    return [
        part
        for run in runs
        for part in (sound(run) if isinstance(run, Arc) and run.start != run.end else (run,))
    ]


def _continues(before: Segment, after: Segment) -> bool:
    """Whether `after` goes on along the same line or circle."""
    if isinstance(before, Line) and isinstance(after, Line):
        first, second = before.end.minus(before.start), after.end.minus(after.start)
        off = abs(first.cross(second))
        # how far the shared end lies off the chord of the two
        return (
            off <= TOUCH * first.norm() and off <= TOUCH * second.norm() and (first.dot(second) > 0)
        )
    if isinstance(before, Arc) and isinstance(after, Arc):
        return (
            before.ccw == after.ccw
            and before.start != before.end
            and before.centre.distance(after.centre) <= TOUCH
            and abs(before.radius - after.radius) <= TOUCH
            and abs(before.sweep) + abs(after.sweep) <= 2 * math.pi + 1e-6
        )
    return False
