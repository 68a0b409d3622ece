"""What is written on an operation's picture: where it starts, and what lines and greys mean."""

import math
from dataclasses import dataclass

from compiler.geometry import Arc, Line, Point, Region, Segment
from compiler.geometry.build import rectangle
from compiler.motion import OperationPath, Point3, Role, Straight, Turn
from compiler.pictures import marks
from compiler.pictures.display import HATCH, Item, Pen, Run, Words, text_width
from compiler.pictures.frame import Box, Frame
from compiler.pictures.hatch import hatch

Kind = Role | None  # None: a rapid

# Told apart by line, not by colour: whole, dashes of several lengths, dots; wide ones go down.
PENS: tuple[tuple[Kind, str, Pen], ...] = (
    (Role.CUT, "cut", Pen(0.2)),
    (Role.LEAD, "run on or off", Pen(0.2, (0.9, 0.5), 0.0)),
    (Role.LINK, "link at depth", Pen(0.2, (3.0, 1.0))),
    (Role.RAMP, "ramp or helix down", Pen(0.45, (2.2, 0.7, 0.4, 0.7))),
    (None, "rapid at clearance", Pen(0.25, (0.2, 1.1))),
)
BACKGROUND = Pen(0.13, grey=0.45)
SWEPT, HELD = 0.87, 0.7  # greys: what the cutter goes over, what holds the work
LEGEND = 4.4  # mm a row
WORD_REACH = 34.0  # mm: no further from its tool does the word `start` reach
START_ROOM = 4.5  # mm between drawing and legend, where the word `start` may stand


def descents(path: OperationPath) -> tuple[Point, ...]:
    """Where the tool goes straight down in air, in order, each place once; work coordinates."""
    places: list[Point] = []
    before: Point3 | None = None
    for move in path.moves:
        if before is not None and isinstance(move, Straight):
            upright = before.xy.distance(move.to.xy) < 1e-6
            if upright and move.to.z < before.z - 1e-6:
                places.append(move.to.xy)
        before = move.to
    return tuple(dict.fromkeys(places))


def ends(path: OperationPath, frame: Frame, radius: float, room: Box) -> list[Item]:
    """Where the tool first goes down, drawn to size, and where each later descent is."""
    items: list[Item] = []
    for index, place in enumerate(descents(path)):
        at = frame.point(place)
        items.append(marks.circle(at, 0.7, pen=None, fill=0.0))
        if index == 0:
            items.append(marks.circle(at, radius, Pen(0.25)))
            items += _start(at, radius, _drawn(path, frame, at, radius + WORD_REACH), room)
    return items


def _drawn(path: OperationPath, frame: Frame, at: Point, reach: float) -> set[tuple[int, int]]:
    """The squares of a millimetre of paper near a place that the path runs through."""
    found: set[tuple[int, int]] = set()
    before: Point3 | None = None
    for move in path.moves:
        if before is not None:
            segment: Segment = Line(before.xy, move.to.xy)
            if isinstance(move, Turn):
                segment = Arc(before.xy, move.to.xy, move.centre, move.ccw)
            x0, y0, x1, y1 = (c * frame.scale for c in segment.bounds)
            x, y = at.x + frame.corner.x * frame.scale, at.y + frame.corner.y * frame.scale
            if x0 < x + reach and x - reach < x1 and y0 < y + reach and y - reach < y1:
                found |= _along(frame.segment(segment))
        before = move.to
    return found


def _along(segment: Segment) -> set[tuple[int, int]]:
    """The squares of a millimetre of paper that a line or an arc runs through."""
    count = max(1, math.ceil(segment.length * 1.5))
    places = (segment.at(k / count) for k in range(count + 1))
    return {(math.floor(p.x), math.floor(p.y)) for p in places}


def _start(at: Point, radius: float, drawn: set[tuple[int, int]], room: Box) -> list[Item]:
    """The word `start` where it covers least of the path, on a leader if that is further off."""
    wide, tall = text_width("start", 2.6), 2.6
    best: tuple[int, float, Point] | None = None
    for off in (1.0, 3.0, 6.0, 10.0, 15.0, 22.0):
        for step in range(16):
            way = Point(math.cos(step * math.pi / 8), math.sin(step * math.pi / 8))
            middle = at.plus(Point(way.x * (wide / 2 + radius + off), way.y * (radius + off + 1)))
            box = (middle.x - wide / 2, middle.y - 1.3, middle.x + wide / 2, middle.y + 1.3)
            if not (room[0] <= box[0] and room[1] <= box[1] and box[2] <= room[2]):
                continue
            if box[3] > room[3]:
                continue
            over = sum(
                (x, y) in drawn
                for x in range(math.floor(box[0]), math.floor(box[2]) + 1)
                for y in range(math.floor(box[1]), math.floor(box[3]) + 1)
            )
            if best is None or (over, off) < best[:2]:
                best = (over, off, middle)
        if best is not None and best[0] == 0:
            break
    middle = best[2] if best is not None else at.plus(Point(radius + wide / 2 + 1, 0))
    word = Words(middle.plus(Point(0, -0.35 * tall)), "start", 2.6, "middle", bold=True, halo=True)
    if best is None or best[1] <= 1.0:
        return [word]
    ahead = middle.minus(at).unit()
    return [marks.line(at.plus(ahead, radius), middle.plus(ahead, -min(wide, 3.0))), word]


@dataclass(frozen=True, slots=True)
class Entry:
    """A sign of the legend: a pen, a grey, the dot (no pen, no grey) or, with grey 1, a hatch."""

    words: str
    pen: Pen | None = None
    grey: float | None = None

    @property
    def mark(self) -> float:
        """How wide its sign is, mm."""
        return 10.0 if self.pen is not None else 5.0 if self.grey is not None else 2.0

    @property
    def width(self) -> float:
        """How wide it is with its words, mm."""
        return self.mark + 1.5 + text_width(self.words, 2.6)


def legend_rows(kinds: set[Kind], width: float, *, held: bool) -> list[list[Entry]]:
    """What each line and each grey means, in rows that fit the width; only what occurs."""
    entries = [Entry(words, pen) for kind, words, pen in PENS if kind in kinds]
    entries += [Entry("down in air"), Entry("cut over", grey=SWEPT), Entry("stands", grey=1.0)]
    entries += [Entry("holds the work", grey=HELD)] if held else []
    rows: list[list[Entry]] = []
    x = 0.0
    for entry in entries:
        if not rows or x + entry.width > width:
            rows.append([])
            x = 0.0
        rows[-1].append(entry)
        x += entry.width + 3.5
    return rows


def legend(rows: list[list[Entry]], top: float) -> list[Item]:
    """The rows below a height, mm on paper."""
    items: list[Item] = []
    for number, row in enumerate(rows, start=1):
        x, y = 0.0, top - LEGEND * number
        for entry in row:
            items += _sign(entry, x, y)
            items.append(Words(Point(x + entry.mark + 1.5, y), entry.words))
            x += entry.width + 3.5
    return items


def _sign(entry: Entry, x: float, y: float) -> list[Item]:
    if entry.pen is not None:
        return [marks.line(Point(x, y + 0.9), Point(x + 10, y + 0.9), entry.pen)]
    if entry.grey is None:
        return [marks.circle(Point(x + 1.0, y + 0.9), 0.7, pen=None, fill=0.0)]
    low, high = Point(x, y - 0.3), Point(x + 5, y + 2.1)
    area = rectangle(low, high)
    corners = (low, Point(high.x, low.y), high, Point(low.x, high.y))
    items: list[Item] = [marks.polygon(corners, fill=entry.grey, pen=BACKGROUND)]
    if entry.grey == 1.0:
        rows = hatch(Region((area,)), 0.9, math.pi / 4)
        items.append(Run(tuple((row,) for row in rows), HATCH))
    return items
