"""Regions from loose outlines: nesting sorted out, senses set right, crossings refused."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import InsideTest
from compiler.geometry.intersect import meetings
from compiler.geometry.near import near_pairs, overlap
from compiler.geometry.outline import Outline, Region
from compiler.geometry.point import Point
from compiler.geometry.split import bundles, split
from compiler.geometry.tolerance import TOUCH
from compiler.geometry.trace import in_order

SHARED_END = 1e-4
"""Neighbouring segments share an end; what they have in common this near to it is that end, mm."""


def make(outlines: Sequence[Outline]) -> Region:
    """The region bounded by these outlines, of any sense and in any order, nesting respected.

    An outline within an odd number of others is a hole. Canonical: the same outlines give the same
    region. Raises GeometryError where one crosses itself (E306) or another (E307), or runs along
    another (E307); `index` is the outline, `place` says where. Touching at a point is allowed.
    """
    for i, outline in enumerate(outlines):
        contact = self_contact(outline)
        if contact is not None:
            raise GeometryError(
                "E306",
                "the outline crosses or touches itself at {at}",
                help="let it go round once without meeting itself",
                index=i,
                place=contact[0],
                at=contact[0],
            )
    depth = [0] * len(outlines)
    if len(outlines) > 1:
        for inner, _ in _nested(outlines):
            depth[inner] += 1
    return in_order(
        [
            outline if (outline.area > 0) == (depth[i] % 2 == 0) else outline.reversed()
            for i, outline in enumerate(outlines)
        ]
    )


def of(outline: Outline) -> Region:
    """The region inside one outline that is known to be sound."""
    return in_order([outline if outline.area > 0 else outline.reversed()])


def self_contact(outline: Outline) -> tuple[Point, int] | None:
    """Where an outline meets itself, and the later of the two segments there; None where sound."""
    segments = outline.segments
    count = len(segments)
    for i, j in sorted(near_pairs([s.bounds for s in segments], TOUCH)):
        first, second = segments[i], segments[j]
        shared = []
        if j == i + 1:
            shared.append(first.end)
        if (j + 1) % count == i:
            shared.append(second.end)
        for met in meetings(first, second):
            if all(met.at.distance(end) > SHARED_END for end in shared):
                return met.at, j
    return None


def _nested(outlines: Sequence[Outline]) -> list[tuple[int, int]]:
    """Pairs (inner, outer). Raises GeometryError for outlines that cross or share a length."""
    owners = [i for i, outline in enumerate(outlines) for _ in outline.segments]
    pieces, _ = split([s for outline in outlines for s in outline.segments])
    for bundle in bundles(pieces):
        if len(bundle) > 1:
            one, two = (owners[pieces[i].source] for i in bundle[:2])
            raise _meet(one, two, pieces[bundle[0]].middle, "run along each other")
    tests = [InsideTest(outline.segments) for outline in outlines]
    boxes = [outline.bounds for outline in outlines]
    mine: list[list[int]] = [[] for _ in outlines]
    for i, piece in enumerate(pieces):
        mine[owners[piece.source]].append(i)
    pairs = []
    for inner in range(len(outlines)):
        for outer in range(len(outlines)):
            if inner == outer or not overlap(boxes[inner], boxes[outer]):
                continue
            within = [tests[outer].contains(pieces[i].middle) for i in mine[inner]]
            if all(within):
                pairs.append((inner, outer))
            elif any(within):
                change = within.index(not within[0])
                place = pieces[mine[inner][change]].segment.start
                raise _meet(min(inner, outer), max(inner, outer), place, "cross")
    return pairs


def _meet(one: int, two: int, place: Point, how: str) -> GeometryError:
    return GeometryError(
        "E307",
        f"outlines {one + 1} and {two + 1} {how} at {{at}}",
        help="join them with `any_of`, or draw them apart",
        index=two,
        place=place,
        at=place,
    )
