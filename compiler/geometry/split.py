"""Cut segments at every place where they meet, so that what remains meets at ends only.

    two crossing lines          four pieces, all of which end in one shared node
    two arcs that overlap       the shared stretch comes out as two pieces in one bundle

The first half of every Boolean, offset and clip; `trace` is the second.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence
from typing import NamedTuple

from compiler.geometry.arcs import halved
from compiler.geometry.intersect import meetings
from compiler.geometry.near import near_pairs
from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.tolerance import TOUCH


class Piece(NamedTuple):
    """A stretch of a source segment between two nodes, with its middle as the source has it."""

    segment: Segment
    start: int
    end: int
    middle: Point
    source: int


class Nodes:
    """Points told apart only where they differ by more than a tolerance."""

    def __init__(self, tolerance: float) -> None:
        self.points: list[Point] = []
        self._tolerance = tolerance
        self._cell = 4 * tolerance
        self._cells: dict[tuple[int, int], list[int]] = {}

    def at(self, point: Point) -> int:
        """The node at this point: one that is there already, else a new one."""
        x, y = int(point.x // self._cell), int(point.y // self._cell)
        for near_x in (x, x - 1, x + 1):
            for near_y in (y, y - 1, y + 1):
                for node in self._cells.get((near_x, near_y), ()):
                    if self.points[node].distance(point) <= self._tolerance:
                        return node
        self.points.append(point)
        self._cells.setdefault((x, y), []).append(len(self.points) - 1)
        return len(self.points) - 1


def split(segments: Sequence[Segment], tolerance: float = TOUCH) -> tuple[list[Piece], Nodes]:
    """All segments, cut where any two meet. `Piece.source` counts the given segments.

    Stretches shorter than the tolerance vanish into their node.
    """
    parts = [(part, i) for i, segment in enumerate(segments) for part in halved(segment)]
    cuts: list[list[tuple[float, Point]]] = [[] for _ in parts]
    nodes = Nodes(2 * tolerance)
    for part, _ in parts:
        nodes.at(part.start)
        nodes.at(part.end)
    for i, j in sorted(near_pairs([part.bounds for part, _ in parts], tolerance)):
        for met in meetings(parts[i][0], parts[j][0], tolerance):
            cuts[i].append((met.t, met.at))
            cuts[j].append((met.u, met.at))
    pieces: list[Piece] = []
    for (part, source), cut in zip(parts, cuts, strict=True):
        pieces += _pieces(part, source, cut, nodes)
    return pieces, nodes


def _pieces(
    part: Segment, source: int, cuts: list[tuple[float, Point]], nodes: Nodes
) -> list[Piece]:
    first, last = nodes.at(part.start), nodes.at(part.end)
    stops = [(0.0, first)]
    for t, point in sorted(cuts):
        node = nodes.at(point)
        if node not in (stops[-1][1], first, last):
            stops.append((t, node))
    stops.append((1.0, last))
    made = []
    for (t0, start), (t1, end) in itertools.pairwise(stops):
        if start == end:
            continue
        a, b = nodes.points[start], nodes.points[end]
        piece: Segment
        if isinstance(part, Arc):
            piece = Arc(a, b, part.centre, part.ccw)
        else:
            piece = Line(a, b)
        made.append(Piece(piece, start, end, part.at((t0 + t1) / 2), source))
    return made


def bundles(pieces: Sequence[Piece], tolerance: float = TOUCH) -> list[list[int]]:
    """Pieces that lie on one another, either way round, together; in the order of the pieces."""
    by_ends: dict[tuple[int, int], list[list[int]]] = {}
    result: list[list[int]] = []
    for i, piece in enumerate(pieces):
        ends = (min(piece.start, piece.end), max(piece.start, piece.end))
        group = by_ends.setdefault(ends, [])
        for bundle in group:
            if pieces[bundle[0]].middle.distance(piece.middle) <= 4 * tolerance:
                bundle.append(i)
                break
        else:
            group.append([i])
            result.append(group[-1])
    return result
