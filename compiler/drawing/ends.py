"""Which ends of the line work are one: those that meet, and pairs of open ones across a gap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from compiler.drawing.model import SAME_PLACE, Drawn, Gap
from compiler.geometry import Point
from compiler.geometry.split import Nodes


@dataclass(slots=True)
class Ends:
    """Every piece's two ends as numbers of nodes.

    Attributes:
        nodes: For each piece its start's node and its end's.
        at: Where each node is.
        meeting: For each node the pieces that end there, twice where both ends do.
        gaps: Gaps that were closed to make one node of two.
        crowded: Nodes left open because their neighbour across the gap was nearer to another.
    """

    nodes: list[tuple[int, int]]
    at: list[Point]
    meeting: dict[int, list[int]]
    gaps: list[Gap] = field(default_factory=list)
    crowded: list[int] = field(default_factory=list)


def find_ends(drawn: Sequence[Drawn], gap: float) -> Ends:
    """The nodes of the line work. Open ends within `gap` mm become one, the nearest pairs first."""
    register = Nodes(SAME_PLACE)
    nodes = [(register.at(d.segment.start), register.at(d.segment.end)) for d in drawn]
    found = Ends(nodes, register.points, _meeting(nodes))
    if gap > SAME_PLACE:
        _close_gaps(found, drawn, gap)
    return found


def _meeting(nodes: Sequence[tuple[int, int]]) -> dict[int, list[int]]:
    meeting: dict[int, list[int]] = {}
    for piece, ends in enumerate(nodes):
        for node in ends:
            meeting.setdefault(node, []).append(piece)
    return meeting


def _close_gaps(found: Ends, drawn: Sequence[Drawn], gap: float) -> None:
    lone = [node for node, pieces in found.meeting.items() if len(pieces) == 1]
    pairs = sorted(
        (found.at[a].distance(found.at[b]), a, b)
        for a, b in _within(lone, found.at, gap)
        # a short piece's own two ends are no gap
        if found.meeting[a] != found.meeting[b]
        or drawn[found.meeting[a][0]].segment.length > 4 * gap
    )
    taken: dict[int, int] = {}
    for width, a, b in pairs:
        if a in taken or b in taken:
            continue
        taken[a] = taken[b] = min(a, b)
        found.gaps.append(Gap(_middle(found.at[a], found.at[b]), width))
    found.crowded += sorted({n for _, a, b in pairs for n in (a, b) if n not in taken})
    found.nodes = [(taken.get(a, a), taken.get(b, b)) for a, b in found.nodes]
    found.meeting = _meeting(found.nodes)
    found.gaps.sort(key=lambda g: (-g.width, g.at))


def _within(lone: Sequence[int], at: Sequence[Point], gap: float) -> list[tuple[int, int]]:
    """Pairs of nodes no further apart than the gap."""
    cells: dict[tuple[int, int], list[int]] = {}
    pairs = []
    for node in lone:
        x, y = int(at[node].x // gap), int(at[node].y // gap)
        for near_x in (x - 1, x, x + 1):
            for near_y in (y - 1, y, y + 1):
                for other in cells.get((near_x, near_y), ()):
                    if at[other].distance(at[node]) <= gap:
                        pairs.append((other, node))
        cells.setdefault((x, y), []).append(node)
    return pairs


def _middle(a: Point, b: Point) -> Point:
    return Point((a.x + b.x) / 2, (a.y + b.y) / 2)
