"""Loose lines and arcs put together: loops, what closes nothing, and places of doubt.

15 entities in any order and direction  ──►  one loop
a dimension line left on the layer      ──►  a run, to be reported
two loops with a side in common         ──►  two faces, and two junctions
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from compiler.drawing.bridges import bridges
from compiler.drawing.corner import meeting_ends
from compiler.drawing.ends import Ends, find_ends
from compiler.drawing.faces import Half, faces_of
from compiler.drawing.model import (
    JOIN_GAP,
    Drawn,
    Joined,
    Junction,
    Loop,
    Run,
)
from compiler.drawing.overlaps import taken_once
from compiler.drawing.recognise import with_arcs
from compiler.geometry import Chain
from compiler.geometry.segment import Segment
from compiler.geometry.trace import joined, tidy


def join(
    drawn: Sequence[Drawn], *, gap: float = JOIN_GAP, arcs_within: float | None = None
) -> Joined:
    """The line work put together.

    Args:
        drawn: Pieces of the layers that count, in the order of the drawing.
        gap: Open ends no further apart are joined, mm.
        arcs_within: Runs of short chords within this of an arc become it, mm; None leaves them.
    """
    once, repeats = taken_once(drawn)
    ends = find_ends(once, gap)
    makers = _Makers(once, arcs_within)
    tails = sorted(bridges(ends))
    loose = set(tails)
    ring = [i for i in range(len(once)) if i not in loose]
    rings, webs = _components(ends, ring)
    loops = [made for r in rings if (made := makers.loop(_round(ends, r))) is not None]
    faces = [
        made
        for web in webs
        for face in faces_of(once, ends, web)
        if (made := makers.loop(face)) is not None
    ]
    runs = [makers.run(way) for way in _ways(ends, tails)]
    in_doubt = {node for web in webs for piece in web for node in ends.nodes[piece]}
    return Joined(
        loops=tuple(loops),
        faces=tuple(faces),
        runs=tuple(runs),
        junctions=tuple(_junctions(once, ends, ring, in_doubt)),
        gaps=tuple(ends.gaps),
        repeats=repeats,
    )


class _Makers:
    """Outlines and chains from pieces walked in order."""

    def __init__(self, drawn: Sequence[Drawn], arcs_within: float | None) -> None:
        self._drawn = drawn
        self._arcs_within = arcs_within

    def _walked(self, way: Sequence[Half], *, closed: bool) -> list[Segment]:
        pieces = [
            self._drawn[i].segment if ahead else self._drawn[i].segment.reversed()
            for i, ahead in way
        ]
        met = meeting_ends(pieces, closed=closed)
        if self._arcs_within is not None:
            met = with_arcs(joined(met, closed=closed), self._arcs_within, closed=closed)
        return met

    def _layers(self, way: Sequence[Half]) -> tuple[str, ...]:
        return tuple(sorted({self._drawn[i].layer for i, _ in way}))

    def loop(self, way: Sequence[Half]) -> Loop | None:
        """The way as a loop; None where it encloses nothing."""
        outline = tidy(self._walked(way, closed=True))
        if outline is None or outline.area == 0.0:
            return None
        if outline.area < 0:
            outline = outline.reversed()
        return Loop(outline, self._layers(way), len(way))

    def run(self, way: Sequence[Half]) -> Run:
        """The way as an open chain, from its leftmost end."""
        chain = Chain(tuple(joined(self._walked(way, closed=False), closed=False)))
        if _rounded(chain.end) < _rounded(chain.start):
            chain = chain.reversed()
        return Run(chain, self._layers(way), len(way))


def _rounded(point: Sequence[float]) -> tuple[float, ...]:
    return tuple(round(c, 4) for c in point)


def _components(ends: Ends, pieces: Sequence[int]) -> tuple[list[list[int]], list[list[int]]]:
    """Connected sets of pieces: plain rings, and webs that have junctions."""
    meeting = _among(ends, pieces)
    rings: list[list[int]] = []
    webs: list[list[int]] = []
    seen: set[int] = set()
    for first in pieces:
        if first in seen:
            continue
        seen.add(first)
        group, todo = [], [first]
        while todo:
            piece = todo.pop()
            group.append(piece)
            for node in ends.nodes[piece]:
                for other in meeting[node]:
                    if other not in seen:
                        seen.add(other)
                        todo.append(other)
        plain = all(len(meeting[n]) == 2 for p in group for n in ends.nodes[p])
        (rings if plain else webs).append(sorted(group))
    return rings, webs


def _among(ends: Ends, pieces: Iterable[int]) -> dict[int, list[int]]:
    """What meets at each node, of these pieces alone."""
    meeting: dict[int, list[int]] = {}
    for piece in pieces:
        for node in ends.nodes[piece]:
            meeting.setdefault(node, []).append(piece)
    return meeting


def _round(ends: Ends, ring: Sequence[int]) -> list[Half]:
    """The pieces of a plain ring in walking order, from its first."""
    meeting = _among(ends, ring)
    start, node = ends.nodes[ring[0]]
    way: list[Half] = [(ring[0], True)]
    while node != start or len(way) < len(ring):
        a, b = meeting[node]
        piece = b if a == way[-1][0] else a
        ahead = ends.nodes[piece][0] == node
        way.append((piece, ahead))
        node = ends.nodes[piece][1 if ahead else 0]
    return way


def _ways(ends: Ends, tails: Sequence[int]) -> list[list[Half]]:
    """Pieces of no loop as chains, cut wherever anything else joins."""
    meeting = _among(ends, tails)
    plain = {
        node
        for node, pieces in meeting.items()
        if len(pieces) == 2 and len(ends.meeting[node]) == 2
    }
    seen: set[int] = set()
    ways = []
    for first in tails:
        if first in seen:
            continue
        seen.add(first)
        start, end = ends.nodes[first]
        ahead = _onward(ends, meeting, plain, first, end, seen)
        back = _onward(ends, meeting, plain, first, start, seen)
        ways.append([*((p, not a) for p, a in reversed(back)), (first, True), *ahead])
    return ways


def _onward(
    ends: Ends,
    meeting: dict[int, list[int]],
    plain: set[int],
    piece: int,
    node: int,
    seen: set[int],
) -> list[Half]:
    way: list[Half] = []
    while node in plain:
        a, b = meeting[node]
        piece = b if a == piece else a
        if piece in seen:
            break
        seen.add(piece)
        ahead = ends.nodes[piece][0] == node
        way.append((piece, ahead))
        node = ends.nodes[piece][1 if ahead else 0]
    return way


def _junctions(
    drawn: Sequence[Drawn], ends: Ends, ring: Sequence[int], in_doubt: set[int]
) -> list[Junction]:
    left = _among(ends, ring)
    found = []
    for node in sorted(set(ends.crowded) | {n for n, m in ends.meeting.items() if len(m) > 2}):
        pieces = ends.meeting[node]
        found.append(
            Junction(
                ends.at[node],
                len(pieces),
                tuple(sorted({drawn[i].layer for i in pieces})),
                doubtful=node in in_doubt and len(left.get(node, ())) > 2,
            )
        )
    return sorted(found, key=lambda j: j.at)
