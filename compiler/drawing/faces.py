"""The smallest areas that line work with junctions bounds.

Walked as planar maps are: arriving at a node, leave by the piece next clockwise from the one that
was come by; what is then walked round counter-clockwise is a face.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from compiler.drawing.ends import Ends
from compiler.drawing.model import Drawn
from compiler.geometry import Line, Outline
from compiler.geometry.segment import Segment

Half = tuple[int, bool]  # a piece, and whether it is walked in its own direction


def faces_of(drawn: Sequence[Drawn], ends: Ends, web: Sequence[int]) -> list[list[Half]]:
    """Every bounded face of a connected web of pieces, as the way round it."""
    leaving: dict[int, list[Half]] = {}
    for piece in web:
        start, end = ends.nodes[piece]
        leaving.setdefault(start, []).append((piece, True))
        leaving.setdefault(end, []).append((piece, False))
    order = {node: _by_angle(drawn, halves) for node, halves in leaving.items()}
    seen: set[Half] = set()
    faces = []
    for piece in web:
        for ahead in (True, False):
            way: list[Half] = []
            half = (piece, ahead)
            while half not in seen:
                seen.add(half)
                way.append(half)
                half = _next(ends, order, half)
            if way and _area(drawn, way) > 0:
                faces.append(way)
    return faces


def _next(ends: Ends, order: dict[int, list[Half]], half: Half) -> Half:
    piece, ahead = half
    node = ends.nodes[piece][1 if ahead else 0]
    around = order[node]
    return around[around.index((piece, not ahead)) - 1]


def _by_angle(drawn: Sequence[Drawn], halves: Sequence[Half]) -> list[Half]:
    """Counter-clockwise by where they leave a small circle round the node.

    Not by their tangents: pieces that touch at the node have the same.
    """
    segments = [_walked(drawn, half) for half in halves]
    reach = min(s.start.distance(s.end) or s.length / 4 for s in segments) / 4
    return [
        half
        for _, half in sorted(zip((_direction(s, reach) for s in segments), halves, strict=True))
    ]


def _walked(drawn: Sequence[Drawn], half: Half) -> Segment:
    piece, ahead = half
    segment = drawn[piece].segment
    return segment if ahead else segment.reversed()


def _direction(segment: Segment, reach: float) -> float:
    if isinstance(segment, Line):
        return segment.tangent().angle()
    bend = math.asin(min(1.0, reach / (2 * segment.radius)))
    along = segment.tangent(0.0).angle()
    return math.remainder(along + bend if segment.ccw else along - bend, 2 * math.pi)


def _area(drawn: Sequence[Drawn], way: Sequence[Half]) -> float:
    segments = [_walked(drawn, half) for half in way]
    # ends a gap apart: straight pieces across them complete the sum
    bridged: list[Segment] = []
    for before, after in zip([segments[-1], *segments], segments, strict=False):
        if before.end != after.start:
            bridged.append(Line(before.end, after.start))
        bridged.append(after)
    return Outline(tuple(bridged)).area
