"""Switching the control's compensation on before a wall and off after it, on straight moves.

The first move under G41 or G42 must be straight and longer than the offset (NISTIR 6556 appendix
B), the arc on to the wall and every inner arc wider than it, or the control can't roll in them.
The wear offset is nominally zero, so the path as written is that of the tool's own centre.
"""

from __future__ import annotations

from collections.abc import Sequence

from compiler.geometry import Line, Region, Segment
from compiler.geometry.offset import grow
from compiler.motion import Role, Side
from compiler.paths.approach import Scene
from compiler.paths.stroke import Piece

LENGTHS = (1.0, 0.6, 0.35, 0.2, 0.1)  # of the radius: straight moves tried, longest first
LONGER = 1.5  # times the wear range, at least, for the straight move and the arcs


def rounded(forbidden: Region, wear: float) -> Region:
    """The forbidden set with its inner corners rounded so that any offset in the range can roll."""
    roll = LONGER * wear
    return grow(grow(forbidden, roll), -roll)


def side_of(climbing: bool) -> Side:
    """Where the tool runs as seen along its travel: climbing, the wall is on the right."""
    return "left" if climbing else "right"


def switched(
    scene: Scene, on_to: Segment, off_from: Segment, wear: float
) -> tuple[Piece, Piece] | None:
    """Straight moves that lead on to the first segment of a run and off its last, tangent to them.

    None where there is no room in cleared area for either.
    """
    before = _straight(scene, on_to, wear, coming=True)
    after = _straight(scene, off_from, wear, coming=False)
    return None if before is None or after is None else (before, after)


def _straight(scene: Scene, segment: Segment, wear: float, *, coming: bool) -> Piece | None:
    at, along = (segment.start, segment.tangent(0.0)) if coming else (segment.end, None)
    along = segment.tangent(1.0) if along is None else along
    for length in _lengths(scene.task.radius, wear):
        far = at.plus(along, -length if coming else length)
        line = Line(far, at) if coming else Line(at, far)
        if scene.lets_through([line]):
            return Piece(line, Role.LEAD)
    return None


def _lengths(radius: float, wear: float) -> Sequence[float]:
    least = LONGER * wear
    return [part * radius for part in LENGTHS if part * radius > least] or [least]
