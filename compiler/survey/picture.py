"""A survey drawn: loops with their numbers, open lines dashed with their letters, tight places.

Numbers and letters are those of the text that `measure` prints.
"""

from __future__ import annotations

from compiler.geometry import Point
from compiler.geometry.build import circle
from compiler.geometry.near import overlap
from compiler.pictures.display import HIDDEN, NARROW, OUTSIDE, WIDE, Item, Picture, Run, Words
from compiler.pictures.frame import Box, Frame, box_region, scale_for
from compiler.pictures.labels import SIZE, Label, place
from compiler.pictures.marks import arrow, head, head_width, line
from compiler.pictures.ordinates import overall
from compiler.survey.model import Survey
from compiler.survey.words import letter
from compiler.units.number import in_units, length, short

ROOM = Point(180.0, 180.0)  # mm of paper for what is drawn
LEFT, BELOW, RIGHT, ABOVE = 16.0, 14.0, 14.0, 14.0  # mm of paper round it
SHADES = (0.85, 1.0)  # outlines and holes
OFF = 8.0  # mm from what is drawn to the lines of the overall sizes
MOST_LABELS = 200
MOST_SEGMENTS = 400  # of an outline that a good place for its number is looked for in
HEAD = 1.8  # mm: arrow heads


def picture(survey: Survey) -> Picture:
    """The survey as a drawing; one that says so where there is nothing."""
    if survey.box is None:
        return Picture(60, 10, (Words(Point(2, 4), "nothing to cut"),), 1.0)
    x0, y0, x1, y1 = survey.box
    name, scale = scale_for(max(x1 - x0, 1e-3), max(y1 - y0, 1e-3), ROOM)
    frame = Frame(name, scale, Point(x0 - LEFT / scale, y0 - BELOW / scale))
    wide = (x1 - x0) * scale + LEFT + RIGHT
    tall = (y1 - y0) * scale + BELOW + ABOVE
    low, high = frame.point(Point(x0, y0)), frame.point(Point(x1, y1))
    items: list[Item] = []
    if survey.kind == "model":
        around = frame.region(box_region(survey.box))
        items.append(Run(tuple(o.segments for o in around.outlines), OUTSIDE, closed=True))
    labels: list[Label] = []
    plain: list[Item] = []
    rows = sorted(enumerate(survey.shapes), key=lambda r: (r[1].top or 0.0, r[1].depth))
    for index, row in rows:
        if row.role == "frame" or not overlap(row.region.bounds, survey.box, 0.0):
            continue
        region = frame.region(row.region)
        outlines = region.outlines if survey.kind == "model" else region.outlines[:1]
        items.append(
            Run(
                tuple(o.segments for o in outlines), WIDE, SHADES[row.role != "stands"], closed=True
            )
        )
        if sum(len(o.segments) for o in region.outlines) <= MOST_SEGMENTS:
            labels.append(Label(region, (str(index + 1),), index + 1))
        else:
            plain.append(Words(frame.point(row.inside), str(index + 1), halo=True))
    tight, taken = _tight(survey, frame)
    items += [*plain, *tight, *_open(survey, frame, taken)]
    if high.x > low.x:
        items += overall(low, Point(high.x, low.y), _number(x1 - x0, survey), -OFF)
    if high.y > low.y:
        items += overall(low, Point(low.x, high.y), _number(y1 - y0, survey), OFF)
    room = (1.0, 1.0, wide - 1.0, tall - 6.0)
    items += place(tuple(labels[:MOST_LABELS]), taken, room)
    title = f"{survey.file}, scale {name}"
    items += head(title, tall, scale, survey.show)
    return Picture(max(wide, head_width(title)), tall, tuple(items), scale)


def _open(survey: Survey, frame: Frame, taken: list[Box]) -> list[Item]:
    """Open lines dashed, each with its letter on it, a quarter of the way along."""
    items: list[Item] = []
    for index, (chain, _) in enumerate(survey.runs):
        items.append(Run((tuple(frame.segment(s) for s in chain.segments),), HIDDEN))
        if index < MOST_LABELS:
            at = frame.point(chain.segments[len(chain.segments) // 4].at(0.25))
            items += _words(at.plus(Point(-0.8, -0.9)), letter(index), taken, bold=True)
    return items


def _tight(survey: Survey, frame: Frame) -> tuple[list[Item], list[Box]]:
    """The smallest inside corner ringed, the narrowest channel between arrows; and their words."""
    items: list[Item] = []
    taken: list[Box] = []
    corner, channel = survey.tight.corner, survey.tight.channel
    if corner is not None:
        at = frame.point(corner.at)
        items.append(Run((circle(at, 1.5).segments,), NARROW, closed=True))
        radius = f"R {length(corner.radius, survey.show)}" if corner.radius else "sharp"
        items += _words(at.plus(Point(2.0, -3.4)), radius, taken)
    if channel is not None:
        first, second = frame.point(channel.first), frame.point(channel.second)
        angle = second.minus(first).angle()
        items.append(line(first, second))
        xs, ys = sorted((first.x, second.x)), sorted((first.y, second.y))
        taken.append((xs[0] - 0.5, ys[0] - 0.5, xs[1] + 0.5, ys[1] + 0.5))
        if first.distance(second) > 3 * HEAD:
            items += [arrow(first, angle + 3.141592653589793, HEAD), arrow(second, angle, HEAD)]
        at = first.plus(second.minus(first), 0.5).plus(Point(2.2, 1.0))
        items += _words(at, length(channel.width, survey.show), taken)
    return items, taken


def _words(at: Point, text: str, taken: list[Box], *, bold: bool = False) -> list[Item]:
    wide = 0.62 * SIZE * len(text)
    clash = any(at.x < b[2] and b[0] < at.x + wide and abs(at.y - b[1]) < SIZE for b in taken)
    spot = at.plus(Point(0.0, 2 * SIZE)) if clash else at
    taken.append((spot.x, spot.y - 0.6, spot.x + wide, spot.y + SIZE))
    return [Words(spot, text, bold=bold, halo=True)]


def _number(mm: float, survey: Survey) -> str:
    return short(in_units(mm, survey.show), 4)
