"""Union, difference and intersection of regions, exact: arcs stay arcs, a circle stays a circle."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from compiler.geometry.errors import GeometryError, too_far
from compiler.geometry.inside import InsideTest
from compiler.geometry.near import BoxGrid
from compiler.geometry.outline import EMPTY, Region
from compiler.geometry.segment import Segment
from compiler.geometry.split import Piece, bundles, split
from compiler.geometry.tolerance import FAR, TOUCH
from compiler.geometry.trace import region_of, trace

Member = Callable[[Sequence[bool]], bool]


def union(*regions: Region) -> Region:
    """Everything that is in any of the regions. Edges shared by neighbours vanish."""
    return boolean(regions, any)


def intersection(*regions: Region) -> Region:
    """What is in all of the regions. Areas that only touch have none."""
    return boolean(regions, all) if regions else EMPTY


def difference(region: Region, *others: Region) -> Region:
    """What is in the first region and in none of the others."""
    return boolean((region, *others), lambda member: member[0] and not any(member[1:]))


def boolean(operands: Sequence[Region], member: Member) -> Region:
    """The area where `member` holds, given for each operand whether a point is in it.

    `member` must be false where no operand has the point. Outlines are cut where they meet; a
    piece is kept where membership differs between its two sides, with the inside on its left.
    """
    segments = [s for region in operands for s in region.segments()]
    owners = [i for i, region in enumerate(operands) for _ in region.segments()]
    tests = [InsideTest(region.segments()) for region in operands]
    there = [i for i, region in enumerate(operands) if region.outlines]
    boxes = [operands[i].bounds for i in there]
    grid = BoxGrid(boxes)

    def sides(pieces: Sequence[Piece], bundle: Sequence[int]) -> tuple[bool, bool]:
        """Membership on the left and on the right of the first piece of the bundle."""
        first = pieces[bundle[0]]
        x, y = first.middle
        left = [False] * len(operands)
        for i in grid.around(first.middle):
            box = boxes[i]
            if box[0] <= x <= box[2] and box[1] <= y <= box[3]:
                left[there[i]] = tests[there[i]].contains(first.middle)
        right = list(left)
        mine: dict[int, int] = {}
        for i in bundle:
            sign = 1 if pieces[i].start == first.start else -1
            owner = owners[pieces[i].source]
            mine[owner] = mine.get(owner, 0) + sign
        for owner, sign in mine.items():
            left[owner], right[owner] = sign > 0, sign < 0
            if sign == 0:  # the operand touches itself here: it lies on both sides
                left[owner] = right[owner] = True
        return member(left), member(right)

    return arranged(segments, sides)


Sides = Callable[[Sequence[Piece], Sequence[int]], tuple[bool, bool]]


def arranged(segments: Sequence[Segment], sides: Sides) -> Region:
    """The region bounded by those stretches of the segments whose two sides differ.

    `sides(pieces, bundle)` says of a bundle of coinciding pieces whether the area lies on the left
    and on the right of its first piece. Should rounding leave pieces that close no loop, the
    arrangement is made again with ends snapped more widely, at most at 0.01 micrometres.
    """
    if not segments:
        return EMPTY
    far = next((s.start for s in segments if max(map(abs, s.start)) > FAR), None)
    if far is not None:
        raise too_far(far)
    lost = 0.0
    for widening in (1, 10, 100):
        tolerance = TOUCH * widening
        pieces, _ = split(segments, tolerance)
        kept: list[Piece] = []
        for bundle in bundles(pieces, tolerance):
            left, right = sides(pieces, bundle)
            if left != right:
                first = pieces[bundle[0]]
                kept.append(first if left else _reversed(first))
        loops, lost = trace(kept)
        if lost <= 100 * tolerance:
            return region_of(loops)
    raise GeometryError(
        "E309",
        "the outlines meet so closely that {lost} of them could not be joined",
        help="move one of the shapes by {step}, or draw what they share once",
        lost=lost,
        step=0.01,
    )


def _reversed(piece: Piece) -> Piece:
    return Piece(piece.segment.reversed(), piece.end, piece.start, piece.middle, piece.source)
