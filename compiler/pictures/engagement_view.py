"""How far the cutter is engaged along one operation's path, as measured on the program's text.

The further, the wider and blacker the line: five classes, told apart without colour. The greatest
angle is marked with its program line.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from compiler.geometry import Line, Point, Region, Segment
from compiler.judge.case import Case
from compiler.pictures import marks
from compiler.pictures.display import Item, Pen, Picture, Run, Words, text_width
from compiler.pictures.frame import Frame, box_region, joined, scale_for, shown
from compiler.pictures.path_notes import BACKGROUND, HELD
from compiler.plan.model import Operation
from compiler.read import Motion

# up to so many degrees, and the pen
CLASSES: tuple[tuple[float, Pen], ...] = (
    (30.0, Pen(0.12, grey=0.62)),
    (60.0, Pen(0.22, grey=0.48)),
    (90.0, Pen(0.36, grey=0.32)),
    (135.0, Pen(0.58, grey=0.15)),
    (180.0, Pen(0.9, grey=0.0)),
)
STANDS = 0.93
TITLE, FOOT, ROW = 14.0, 12.0, 4.6  # mm on paper
_IN_AIR = 0.01  # rad
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


def engagement_drawing(case: Case, operation: Operation, room: Point) -> Picture | None:
    """One operation's engaged angle along its path; None where none was measured."""
    at = _samples(case, operation)
    if not at.size:
        return None
    samples = case.cut.samples
    view = joined(
        [
            case.part.stock.bounds,
            (
                float(samples.x[at].min()),
                float(samples.y[at].min()),
                float(samples.x[at].max()),
                float(samples.y[at].max()),
            ),
        ]
    )
    low_x, low_y, high_x, high_y = view
    wide, tall = high_x - low_x, high_y - low_y
    name, scale = scale_for(wide, tall, Point(room.x - 2, room.y - TITLE - FOOT - 2))
    number = case.job.tool(operation.tool).number
    title = f"{operation.id}, T{number}: engagement along the path, scale {name}"
    width = max(wide * scale + 2, 130.0, marks.head_width(title))
    height = tall * scale + TITLE + FOOT + 2
    frame = Frame(name, scale, Point(low_x - 1 / scale, low_y - (FOOT + 1) / scale))
    items = _background(case, frame, box_region(view))
    items += _lines(case, at, frame)
    items += _peak(case, at, frame, width)
    items += _legend()
    items += marks.head(title, height, scale, case.job.units)
    items.append(Words(Point(0, height - 8.5), _promise(case, operation, at)))
    return Picture(width, height, tuple(items), scale)


def _samples(case: Case, operation: Operation) -> Ints:
    """The measured places of an operation where it cuts."""
    samples = case.cut.samples
    if not samples.motion.size:
        return np.zeros(0, dtype=np.int64)
    own = np.array([case.owner(m.line) == operation.id for m in case.motions])
    return np.flatnonzero(own[samples.motion] & (samples.angle > _IN_AIR))


def _background(case: Case, frame: Frame, view: Region) -> list[Item]:
    def outlines(region: Region) -> tuple[tuple[Segment, ...], ...]:
        return tuple(outline.segments for outline in frame.region(shown(region, view)).outlines)

    part = case.part
    items: list[Item] = [Run(outlines(part.stock), BACKGROUND, closed=True)]
    items += [Run(outlines(o.region), BACKGROUND, HELD, True) for o in part.obstacles]
    items += [Run(outlines(s.region), BACKGROUND, STANDS, True) for s in part.visible]
    return items


def _lines(case: Case, at: Ints, frame: Frame) -> list[Item]:
    """The stretches of path by class, the widest last."""
    angle = np.degrees(case.cut.samples.angle[at])
    kind = np.searchsorted([limit for limit, _ in CLASSES[:-1]], angle)
    corner = np.array([frame.corner.x, frame.corner.y] * 2)
    paper = (_stretches(case, at) - corner) * frame.scale
    items: list[Item] = []
    for k, (_, pen) in enumerate(CLASSES):
        own = paper[kind == k]
        own = own[np.hypot(own[:, 2] - own[:, 0], own[:, 3] - own[:, 1]) >= 0.01]
        if not len(own):
            continue
        apart = np.hypot(own[1:, 0] - own[:-1, 2], own[1:, 1] - own[:-1, 3]) >= 0.02
        items.append(
            Run(tuple(_joined(run) for run in np.split(own, np.flatnonzero(apart) + 1)), pen)
        )
    return items


def _stretches(case: Case, at: Ints) -> Floats:
    """The stretch of path that each sample stands for, as x, y, x, y: it is measured at its end."""
    samples = case.cut.samples
    moves, own = np.unique(samples.motion[at], return_inverse=True)
    ways = np.array([_way(case.motions[int(move)]) for move in moves])[own]
    way, centre, bend = ways[:, 0:2], ways[:, 2:4], ways[:, 4]
    end = np.column_stack([samples.x[at], samples.y[at]]).astype(float)
    long = samples.length[at].astype(float)
    cos, sin, arm = np.cos(-long * bend), np.sin(-long * bend), end - centre
    turned = centre + np.column_stack(
        [arm[:, 0] * cos - arm[:, 1] * sin, arm[:, 0] * sin + arm[:, 1] * cos]
    )
    start = np.where(bend[:, None] == 0.0, end - long[:, None] * way, turned)
    return np.hstack([start, end])


def _way(motion: Motion) -> tuple[float, float, float, float, float]:
    """A line's direction; an arc's centre, and its bend: 1/radius, positive counter-clockwise."""
    if motion.centre is None:
        along = motion.end.xy.minus(motion.start.xy)
        way = along.unit() if any(along) else along  # straight down there is none
        return way.x, way.y, 0.0, 0.0, 0.0
    bend = (1.0 if motion.ccw else -1.0) / motion.radius
    return 0.0, 0.0, motion.centre.x, motion.centre.y, bend


def _joined(stretches: Floats) -> tuple[Segment, ...]:
    """A run of stretches as lines; those that go on in one direction are one.

    That makes a file of a third the size.
    """
    rows = stretches.tolist()
    places = [(rows[0][0], rows[0][1])]
    for _, _, x, y in rows:
        if len(places) > 1:
            (ax, ay), (bx, by) = places[-2], places[-1]
            off = abs((bx - ax) * (y - by) - (by - ay) * (x - bx))
            if off < 0.005 * math.hypot(x - ax, y - ay):
                places[-1] = (x, y)
                continue
        places.append((x, y))
    return tuple(Line(Point(*a), Point(*b)) for a, b in pairwise(places))


def _peak(case: Case, at: Ints, frame: Frame, width: float) -> list[Item]:
    """Where the engaged angle is greatest, on which line."""
    samples = case.cut.samples
    worst = int(at[int(np.argmax(samples.angle[at]))])
    place = frame.point(Point(float(samples.x[worst]), float(samples.y[worst])))
    line = case.motions[int(samples.motion[worst])].line
    text = f"{math.degrees(float(samples.angle[worst])):.1f} deg, line {line}"
    wide = text_width(text, 2.6)
    anchor_x = min(max(place.x + 3.0, 0.0), width - wide - 1)
    word = Point(anchor_x, place.y + 4.0)
    return [
        marks.circle(place, 1.6, Pen(0.3)),
        marks.line(Point(place.x, place.y + 1.6), Point(word.x, word.y - 0.4)),
        Words(word, text, 2.6, bold=True, halo=True),
    ]


def _legend() -> list[Item]:
    items: list[Item] = [Words(Point(0, FOOT - 5.0), "engaged angle, degrees:")]
    x, low = 0.0, 0.0
    for limit, pen in CLASSES:
        text = f"{low:.0f} to {limit:.0f}"
        items.append(marks.line(Point(x, 2.9), Point(x + 9, 2.9), pen))
        items.append(Words(Point(x + 10.5, 2.0), text))
        x += 10.5 + text_width(text, 2.6) + 3.0
        low = limit
    return items


def _promise(case: Case, operation: Operation, at: Ints) -> str:
    """What the pattern promises of the engaged angle, and how much of the cut is above."""
    if operation.engagement_deg is None:
        return "no limit promised by this pattern; full slots are slowed"
    length = case.cut.samples.length[at]
    limit = math.radians(operation.engagement_deg)
    over = float(length[case.cut.samples.angle[at] > limit].sum() / length.sum())
    return f"limit {operation.engagement_deg:.0f} deg; {100 * over:.2f} % of the cut above"
