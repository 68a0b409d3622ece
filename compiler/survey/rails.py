"""Open lines that run right across the stock: which of them fence off something that stands.

a line from edge to edge, loops on one side  ──►  a rail: the side without loops stands
a line that ends inside, or meets a loop     ──►  left out, and why

The stock ends where such a line does, so that what is beyond it is cut off nowhere in between.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

from compiler.drawing.model import overall
from compiler.geometry import Chain, Point, Region
from compiler.geometry.across import AT_EDGE, side_of_chain
from compiler.geometry.build import rectangle
from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import InsideTest
from compiler.geometry.intersect import meetings
from compiler.geometry.near import Box, overlap
from compiler.geometry.segment import Segment
from compiler.survey.model import ShapeRow

Side = Literal[
    "left", "right", "front", "back"
]  # of the stock, seen from where the operator stands


@dataclass(frozen=True, slots=True)
class OpenLine:
    """An open line of a drawing: a rail where `stands` names a side, else left out for `why`.

    `leaves` are the sides of the stock at which a rail's two ends lie.
    """

    chain: Chain
    layers: tuple[str, ...]
    stands: Literal["left", "right"] | None = None
    leaves: tuple[Side, ...] = ()
    why: str = ""


def open_lines(
    runs: Sequence[tuple[Chain, tuple[str, ...]]], standing: Sequence[ShapeRow]
) -> tuple[tuple[OpenLine, ...], Box | None]:
    """Every open line, told apart, and the box round the standing shapes and the rails, mm."""
    loops = [s for row in standing for s in row.region.segments()]
    told = {
        i: "it meets a closed loop" for i, (chain, _) in enumerate(runs) if _meets(chain, loops)
    }
    while True:
        there = [i for i in range(len(runs)) if i not in told]
        box = overall([*loops, *(s for i in there for s in runs[i][0].segments)])
        short = [i for i in there if box is not None and len(_leaving(runs[i][0], box)) < 2]
        if not short:
            break
        told |= dict.fromkeys(short, "it does not run from edge to edge of the stock")
    lines = []
    for i, (chain, layers) in enumerate(runs):
        if i in told or box is None:
            lines.append(OpenLine(chain, layers, why=told.get(i, "there is nothing to part")))
            continue
        leaves = _leaving(chain, box)
        stands, why = _standing_side(chain, stock_round(box, leaves, 1.0), standing)
        lines.append(OpenLine(chain, layers, stands, leaves if stands else (), why))
    rails = [s for line in lines if line.stands for s in line.chain.segments]
    return tuple(lines), overall([*loops, *rails])


def stock_round(box: Box, without: Collection[Side], margin: float) -> Box:
    """The box with a margin on every side but those where rails end."""
    left, front, right, back = (
        0.0 if side in without else margin for side in ("left", "front", "right", "back")
    )
    return (box[0] - left, box[1] - front, box[2] + right, box[3] + back)


def _standing_side(
    chain: Chain, box: Box, standing: Sequence[ShapeRow]
) -> tuple[Literal["left", "right"] | None, str]:
    """The side without loops; None and a reason where that cannot be told."""
    if not standing:
        return None, "there is no closed loop to tell its standing side by"
    stock = Region((rectangle(Point(box[0], box[1]), Point(box[2], box[3])),))
    try:
        left = side_of_chain(chain, "left", stock, 1.0)
    except GeometryError as error:
        return None, f"it cannot part the stock: {error.message}"
    test = InsideTest(left.segments())
    on_left = {test.contains(row.inside) for row in standing}
    if len(on_left) > 1:
        return None, "there are closed loops on both sides of it"
    return ("right" if on_left == {True} else "left"), ""


def _meets(chain: Chain, loops: Sequence[Segment]) -> bool:
    return any(
        overlap(one.bounds, other.bounds, AT_EDGE) and meetings(one, other)
        for one in chain.segments
        for other in loops
    )


def _leaving(chain: Chain, box: Box) -> tuple[Side, ...]:
    """The sides of the box at which the chain's ends lie and go out; fewer than two where one
    stays within."""
    first, last = chain.segments[0], chain.segments[-1]
    ends = ((chain.start, first.tangent(0.0).times(-1)), (chain.end, last.tangent(1.0)))
    sides = (_side_at(place, out, box) for place, out in ends)
    return tuple(side for side in sides if side is not None)


def _side_at(place: Point, out: Point, box: Box) -> Side | None:
    reached: list[tuple[float, Side]] = []
    if place.x <= box[0] + AT_EDGE:
        reached.append((-out.x, "left"))
    if place.x >= box[2] - AT_EDGE:
        reached.append((out.x, "right"))
    if place.y <= box[1] + AT_EDGE:
        reached.append((-out.y, "front"))
    if place.y >= box[3] - AT_EDGE:
        reached.append((out.y, "back"))
    going = [each for each in reached if each[0] > 1e-6]
    return max(going)[1] if going else None
