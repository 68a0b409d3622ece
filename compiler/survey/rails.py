"""Open lines that run right across the stock: which of them fence off something that stands.

a line from edge to edge, loops on one side  ──►  a rail: the side without loops stands
a line that ends inside, or meets a loop     ──►  left out, and why

Where the drawing has the blank, the edges are its own. Else the stock ends where such a line does,
so that what is beyond it is cut off nowhere in between.
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
from compiler.units.number import Units

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
    runs: Sequence[tuple[Chain, tuple[str, ...]]],
    standing: Sequence[ShapeRow],
    blank: Region | None = None,
    units: Units = "mm",
) -> tuple[tuple[OpenLine, ...], Box | None]:
    """Every open line, told apart, and the box that the stock goes round, mm.

    With a `blank` drawn a rail runs from edge to edge of it; without one the stock goes round the
    standing shapes and the rails, and ends where rails do.
    """
    loops = [s for row in standing for s in row.region.segments()]
    told = {
        i: "it meets a closed loop" for i, (chain, _) in enumerate(runs) if _meets(chain, loops)
    }
    if blank is not None:
        lines = [
            OpenLine(chain, layers, why=told[i])
            if i in told
            else _in_blank(chain, layers, blank, standing, units)
            for i, (chain, layers) in enumerate(runs)
        ]
        return tuple(lines), blank.bounds
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
        stock = rectangle_of(stock_round(box, leaves, 1.0))
        stands, why = _standing_side(chain, stock, standing, units)
        lines.append(OpenLine(chain, layers, stands, leaves if stands else (), why))
    rails = [s for line in lines if line.stands for s in line.chain.segments]
    return tuple(lines), overall([*loops, *rails])


def _in_blank(
    chain: Chain,
    layers: tuple[str, ...],
    blank: Region,
    standing: Sequence[ShapeRow],
    units: Units,
) -> OpenLine:
    """A line that may run from edge to edge of a drawn blank."""
    stands, why = _standing_side(chain, blank, standing, units)
    leaves = _leaving(chain, blank.bounds) if stands else ()
    return OpenLine(chain, layers, stands, leaves, why)


def stock_round(
    box: Box,
    without: Collection[Side],
    margin: float,
    alongside: Collection[Side] = (),
    room: float = 0.0,
) -> Box:
    """The box with a margin on every side but those where rails end; `alongside` with `room` at
    the least."""
    left, front, right, back = (
        0.0 if side in without else max(margin, room) if side in alongside else margin
        for side in ("left", "front", "right", "back")
    )
    return (box[0] - left, box[1] - front, box[2] + right, box[3] + back)


def sides_alongside(lines: Sequence[OpenLine], box: Box) -> list[Side]:
    """The sides of the box that a rail comes up to but does not end at: what stands is beyond."""
    rails = [line for line in lines if line.stands]
    ends = {side for line in rails for side in line.leaves}
    found: list[Side] = []
    for line in rails:
        x0, y0, x1, y1 = overall(list(line.chain.segments)) or box
        near: tuple[tuple[Side, bool], ...] = (
            ("left", x0 <= box[0] + AT_EDGE),
            ("right", x1 >= box[2] - AT_EDGE),
            ("front", y0 <= box[1] + AT_EDGE),
            ("back", y1 >= box[3] - AT_EDGE),
        )
        found += [side for side, there in near if there and side not in ends]
    return sorted(set(found))


def rectangle_of(box: Box) -> Region:
    """A box as a region."""
    return Region((rectangle(Point(box[0], box[1]), Point(box[2], box[3])),))


def _standing_side(
    chain: Chain, stock: Region, standing: Sequence[ShapeRow], units: Units
) -> tuple[Literal["left", "right"] | None, str]:
    """The side without loops; None and a reason where that cannot be told."""
    if not standing:
        return None, "there is no closed loop to tell its standing side by"
    try:
        left = side_of_chain(chain, "left", stock, 1.0)
    except GeometryError as error:
        return None, f"it cannot part the stock: {error.worded(units)[0]}"
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
