"""Dimensions in the manner of ISO 129-1 (from memory): running values from the datum, and overall.

Running values share one dimension line, which begins in a small circle at the datum; each stands
at the end of its extension line. Where values come too close the line is kinked, so that no two
overlap and the order is kept, and an oblique stroke stands for the arrow head.
"""

import math
from collections.abc import Callable, Sequence

from compiler.geometry import Point
from compiler.pictures.display import Item, Words
from compiler.pictures.marks import arrow, circle, line

PITCH = 3.3  # the least distance between values, mm on paper
GAP = 1.0  # between the outline and its extension line
REACH = 4.0  # straight out, then 3 mm for the kink
KINK = 3.0
HEAD, ROOM_FOR_HEAD, STROKE = 1.8, 3.2, 0.9  # mm: arrow heads, and what takes their place

Mark = tuple[float, str]  # place along the edge in mm on paper, its value


def spread(places: Sequence[float], pitch: float) -> list[float]:
    """The places moved apart to at least `pitch`, each as little as may be (least squares).

    Args:
        places: Rising.
        pitch: The least distance.
    """
    blocks: list[list[float]] = []  # mean of place less its share of the pitch, count
    for index, place in enumerate(places):
        blocks.append([place - index * pitch, 1.0])
        while len(blocks) > 1 and blocks[-2][0] > blocks[-1][0]:
            mean, count = blocks.pop()
            before, many = blocks[-1]
            blocks[-1] = [(mean * count + before * many) / (count + many), count + many]
    means = [mean for mean, count in blocks for _ in range(int(count))]
    return [mean + index * pitch for index, mean in enumerate(means)]


def thinned(marks: Sequence[Mark], most: int) -> list[Mark]:
    """The marks in order, equal values once, and no more than `most`: the ends always stay."""
    unique = {value: place for place, value in marks}
    rising = sorted((place, value) for value, place in unique.items())
    if len(rising) <= most:
        return rising
    step = (len(rising) - 1) / (most - 1)
    return [rising[round(i * step)] for i in range(most)]


def below(
    marks: Sequence[Mark], edge: float, reach: float = REACH, origin: float | None = None
) -> tuple[Item, ...]:
    """Values under a level edge at height `edge`, read from the right; `origin` is the datum's."""
    items: list[Item] = []
    for (place, value), at in zip(marks, spread([m[0] for m in marks], PITCH), strict=True):
        knee = Point(place, edge - GAP - reach)
        end = Point(at, knee.y - KINK)
        items += [line(Point(place, edge - GAP), knee), line(knee, end)]
        # letters stand left of a line read upwards, so the middle of their height is on the line
        items.append(Words(Point(at + 0.9, end.y - 0.8), value, anchor="end", angle=math.pi / 2))
    if origin is not None:
        y = edge - GAP - reach / 2
        items += _running([m[0] for m in marks], origin, lambda along: Point(along, y), 0.0)
    return tuple(items)


def beside(
    marks: Sequence[Mark],
    edge: float,
    *,
    left: bool,
    reach: float = REACH,
    origin: float | None = None,
) -> tuple[Item, ...]:
    """Values beside an upright edge at `edge`, to its left or right; `origin` is the datum's."""
    way = -1.0 if left else 1.0
    items: list[Item] = []
    for (place, value), at in zip(marks, spread([m[0] for m in marks], PITCH), strict=True):
        knee = Point(edge + way * (GAP + reach), place)
        end = Point(knee.x + way * KINK, at)
        items += [line(Point(edge + way * GAP, place), knee), line(knee, end)]
        text = Point(end.x + way * 0.8, at - 0.9)
        items.append(Words(text, value, anchor="end" if left else "start"))
    if origin is not None:
        x = edge + way * (GAP + reach / 2)
        places = [m[0] for m in marks]
        items += _running(places, origin, lambda along: Point(x, along), math.pi / 2)
    return tuple(items)


def _running(
    places: Sequence[float], origin: float, at: Callable[[float], Point], angle: float
) -> list[Item]:
    """The dimension line through all places: a circle at the datum, a head at every other one."""
    ends = sorted({*places, origin})
    items: list[Item] = [line(at(ends[0]), at(ends[-1]))]
    for index, place in enumerate(ends):
        if abs(place - origin) < 1e-6:
            items.append(circle(at(place), 0.9, fill=1.0))
            continue
        onward = place > origin
        room = place - ends[index - 1] if onward else ends[index + 1] - place
        if room >= ROOM_FOR_HEAD:
            items.append(arrow(at(place), angle if onward else angle + math.pi, HEAD))
        else:
            slant = Point(math.cos(angle + math.pi / 4), math.sin(angle + math.pi / 4))
            items.append(line(at(place).plus(slant, -STROKE), at(place).plus(slant, STROKE)))
    return items


def overall(a: Point, b: Point, value: str, off: float) -> tuple[Item, ...]:
    """The distance from `a` to `b`, its dimension line `off` mm to the left of the way there.

    The value stands on the line, in its middle; it is read from below or from the right.
    """
    along = b.minus(a).unit()
    side = along.left()
    start, end = a.plus(side, off), b.plus(side, off)
    angle = along.angle()
    upward = angle > math.pi / 2 - 1e-9 or angle <= -math.pi / 2 + 1e-9
    over = side if not upward else side.times(-1.0)
    turn = angle if not upward else angle + math.pi
    if abs(along.x) < 1e-9:  # upright lines are read from the right
        over, turn = Point(-1.0, 0.0), math.pi / 2
    middle = start.plus(end.minus(start), 0.5).plus(over, 0.7)
    return (
        line(a.plus(side, GAP), start.plus(side, 1.0)),
        line(b.plus(side, GAP), end.plus(side, 1.0)),
        line(start, end),
        arrow(start, angle + math.pi, HEAD),
        arrow(end, angle, HEAD),
        Words(middle, value, anchor="middle", angle=turn, halo=True),
    )
