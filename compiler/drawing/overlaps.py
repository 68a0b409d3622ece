"""Line work drawn twice, taken once.

    a line on top of a longer one          three stretches, each once
    the same circle drawn on two layers    one circle

Lines on one line, and arcs on one circle, are cut where any of them ends; of stretches that
coincide one is kept, that of the entity that comes first in the drawing.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import replace

from compiler.drawing.crowd import pairs_of
from compiler.drawing.model import SAME_PLACE, Drawn
from compiler.geometry import Arc, Line, Point
from compiler.geometry.segment import Segment

TAU = 2 * math.pi
NEAR = 1e-4  # mm: how far two carriers may lie apart and still be one


def taken_once(drawn: Sequence[Drawn]) -> tuple[list[Drawn], int]:
    """The same line work without repeats, and how many entities were wholly or partly repeats."""
    groups = _groups(drawn)
    if not groups:
        return list(drawn), 0
    replaced: dict[int, list[Drawn]] = {}
    repeats = 0
    for group in groups:
        cut = _once([drawn[i] for i in group])
        for i, parts in zip(group, cut, strict=True):
            replaced[i] = parts
        repeats += len(group) - 1
    kept: list[Drawn] = []
    for i, item in enumerate(drawn):
        kept += replaced.get(i, [item])
    return kept, repeats


def _groups(drawn: Sequence[Drawn]) -> list[list[int]]:
    """Sets of entities that lie on one line or circle and overlap, each in drawing order."""
    parent: dict[int, int] = {}

    def root(i: int) -> int:
        while parent.setdefault(i, i) != i:
            i = parent[i]
        return i

    for i, j in pairs_of([d.segment.bounds for d in drawn], NEAR):
        if _overlap(drawn[i].segment, drawn[j].segment):
            a, b = sorted((root(i), root(j)))
            parent[b] = a
    found: dict[int, list[int]] = {}
    for i in sorted(parent):
        found.setdefault(root(i), []).append(i)
    return [group for _, group in sorted(found.items())]


def _overlap(a: Segment, b: Segment) -> bool:
    """Whether two pieces run along each other for more than SAME_PLACE."""
    if isinstance(a, Line) and isinstance(b, Line):
        if a.length < b.length:
            a, b = b, a
        along = a.end.minus(a.start)
        length = along.norm()
        if any(abs(along.cross(p.minus(a.start))) > NEAR * length for p in (b.start, b.end)):
            return False
        low, high = sorted(along.dot(p.minus(a.start)) / length for p in (b.start, b.end))
        return min(high, length) - max(low, 0.0) > SAME_PLACE
    if isinstance(a, Arc) and isinstance(b, Arc):
        if a.centre.distance(b.centre) > NEAR or abs(a.radius - b.radius) > NEAR:
            return False
        return any(
            min(h, high) - max(s, low) > SAME_PLACE / a.radius
            for low, high in _spans(a)
            for s, h in _spans(b)
        )
    return False


def _spans(arc: Arc) -> list[tuple[float, float]]:
    """The angles it covers within 0..2 pi, as one or two spans."""
    start = (arc.start_angle if arc.ccw else arc.start_angle + arc.sweep) % TAU
    end = start + abs(arc.sweep)
    return [(start, end)] if end <= TAU else [(start, TAU), (0.0, end - TAU)]


def _once(group: Sequence[Drawn]) -> list[list[Drawn]]:
    """For each of the group the parts of it that none before it covers."""
    first = max(group, key=lambda d: d.segment.length).segment
    stops: list[float] = []
    ranges: list[list[tuple[float, float]]] = []
    for item in group:
        spans = _along(first, item.segment)
        ranges.append(spans)
        stops += [stop for span in spans for stop in span]
    step = SAME_PLACE / first.radius if isinstance(first, Arc) else SAME_PLACE
    marks = _apart(sorted(stops), step)
    cells = list(itertools.pairwise(marks))
    covered: set[int] = set()
    result: list[list[Drawn]] = []
    for item, spans in zip(group, ranges, strict=True):
        own = [
            k
            for k, (low, high) in enumerate(cells)
            if any(s <= (low + high) / 2 <= e for s, e in spans)
        ]
        parts = [_stretch(first, *cells[k]) for k in own if k not in covered]
        if len(parts) == len(own) == 1:
            parts = [item.segment]  # nothing was cut: as it was drawn
        covered.update(own)
        result.append([replace(item, segment=part) for part in parts])
    return result


def _apart(values: Sequence[float], step: float) -> list[float]:
    kept: list[float] = []
    for value in values:
        if not kept or value - kept[-1] > step:
            kept.append(value)
    return kept


def _along(carrier: Segment, piece: Segment) -> list[tuple[float, float]]:
    """The stretch of the carrier that a piece covers: mm along a line, angles round a circle."""
    if isinstance(carrier, Arc) and isinstance(piece, Arc):
        return _spans(piece)
    along = carrier.tangent(0.0)
    low, high = sorted(along.dot(p.minus(carrier.start)) for p in (piece.start, piece.end))
    return [(low, high)]


def _stretch(carrier: Segment, low: float, high: float) -> Segment:
    if isinstance(carrier, Arc):
        return Arc(_round(carrier, low), _round(carrier, high), carrier.centre, True)
    along = carrier.tangent(0.0)
    return Line(carrier.start.plus(along, low), carrier.start.plus(along, high))


def _round(arc: Arc, angle: float) -> Point:
    return Point(
        arc.centre.x + arc.radius * math.cos(angle), arc.centre.y + arc.radius * math.sin(angle)
    )
