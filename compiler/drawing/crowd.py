"""Pairs of neighbours in a drawing, quick however it lies, and bounded however crowded it is."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from compiler.geometry.near import Box, near_pairs

MOST_PAIRS = 3_000_000
"""More pairs of lines that come near each other than any drawing of a part has."""


class CrowdedError(Exception):
    """So much lies on top of one another that looking at it all would take too long."""


def pairs_of(boxes: Sequence[Box], margin: float) -> Iterator[tuple[int, int]]:
    """Every pair i < j of boxes that come within `margin`. Raises CrowdedError for too many.

    Swept along the axis on which the boxes are the shorter for the whole: ten thousand lines one
    above the other are no slower than side by side.
    """
    if not boxes:
        return
    if _share(boxes, 0) > _share(boxes, 1):
        boxes = [(b[1], b[0], b[3], b[2]) for b in boxes]
    for count, pair in enumerate(near_pairs(boxes, margin)):
        if count > MOST_PAIRS:
            raise CrowdedError
        yield pair


def _share(boxes: Sequence[Box], axis: int) -> float:
    """How much of the whole's extent along an axis a box takes up on average, summed."""
    whole = max(b[axis + 2] for b in boxes) - min(b[axis] for b in boxes)
    return sum(b[axis + 2] - b[axis] for b in boxes) / whole if whole > 0 else float(len(boxes))
