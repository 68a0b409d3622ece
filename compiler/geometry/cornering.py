"""Put the rounds and chamfers of a walked path into it."""

from __future__ import annotations

from collections.abc import Sequence

from compiler.geometry.arcs import sound
from compiler.geometry.corners import Cut, chamfered, fit_error, is_smooth, largest, rounded
from compiler.geometry.errors import GeometryError
from compiler.geometry.segment import Arc, Line, Segment
from compiler.geometry.steps import Walked, size
from compiler.geometry.tolerance import CLOSED

Numbered = list[tuple[Segment, int]]
"""Segments, each with the number of the step or point that made it."""


def cornered(path: Sequence[Walked], *, closed: bool) -> Numbered:
    """The path with the corner after each segment rounded or chamfered as asked, end to end.

    Raises GeometryError (E303) where one does not fit, with the largest that does.
    """
    count = len(path)
    cuts = [_cut(path, i) if closed or i + 1 < count else None for i in range(count)]
    made: Numbered = []
    for i, walked in enumerate(path):
        into, out = cuts[i - 1], cuts[i]
        t0 = into.from_t if into else 0.0
        t1 = out.until_t if out else 1.0
        room = (t1 - t0) * walked.segment.length
        if room < -CLOSED:
            raise _crowded(path, i if out else i - 1, closed)
        if room > CLOSED:
            made.append((walked.segment.part(t0, t1), walked.index))
        if out:
            made.append((out.piece, walked.index))
    return _end_to_end(made, closed)


def _end_to_end(made: Numbered, closed: bool) -> Numbered:
    """The segments with each start made the very end of the one before."""
    result: Numbered = []
    for i, (segment, index) in enumerate(made):
        start = made[i - 1][0].end if i or closed else segment.start
        if isinstance(segment, Line):
            result.append((Line(start, segment.end), index))
        elif segment.start == start:
            result.append((segment, index))
        else:
            moved = Arc(start, segment.end, segment.centre, segment.ccw)
            result += [(part, index) for part in sound(moved)]
    return result


def _cut(path: Sequence[Walked], i: int) -> Cut | None:
    """What the corner at the end of segment i takes off, if one is asked for."""
    corner, index = path[i].corner, path[i].index
    asked = corner.round or corner.chamfer
    if not asked:
        return None
    what = "round" if corner.round else "chamfer"
    before, after = path[i].segment, path[(i + 1) % len(path)].segment
    if corner.round and corner.chamfer:
        raise GeometryError(
            "E303",
            "a corner can't have a round and a chamfer",
            help="leave one of them out",
            index=index,
            place=before.end,
        )
    try:
        size(what, asked)
    except GeometryError as error:
        raise error.at_index(index) from None
    if is_smooth(before, after):
        raise GeometryError(
            "E303",
            "there is no corner at {at}: the outline goes straight on",
            help="leave out `{what}`",
            index=index,
            place=before.end,
            at=before.end,
            what=what,
        )
    make = rounded if corner.round else chamfered
    made = make(before, after, asked)
    if made is None:
        most = largest(lambda s: make(before, after, s) is not None, asked)
        raise fit_error(what, asked, before.end, most, index)
    return made


def _crowded(path: Sequence[Walked], at: int, closed: bool) -> GeometryError:
    """The finding for two corners that take more of a side than there is.

    The largest that fits is meant for all corners of the path scaled alike.
    """

    def fits(scale: float) -> bool:
        taken = [[0.0, 1.0] for _ in path]
        for i, walked in enumerate(path):
            asked = walked.corner.round or walked.corner.chamfer
            if not asked or (i + 1 == len(path) and not closed):
                continue
            make = rounded if walked.corner.round else chamfered
            after = (i + 1) % len(path)
            cut = make(walked.segment, path[after].segment, asked * scale)
            if cut is None:
                return False
            taken[i][1], taken[after][0] = cut.until_t, cut.from_t
        return all(t0 <= t1 for t0, t1 in taken)

    corner = path[at].corner
    asked = corner.round or corner.chamfer
    return fit_error(
        "round" if corner.round else "chamfer",
        asked,
        path[at].segment.end,
        asked * largest(fits, 1.0),
        path[at].index,
    )
