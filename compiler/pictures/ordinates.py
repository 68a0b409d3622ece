"""Dimensions as running values from the datum, in the manner of ISO 129-1 (from memory).

Each value stands at the end of a narrow extension line; where values come too close the line is
kinked, so that no two overlap and the order is kept.
"""

import math
from collections.abc import Sequence

from compiler.geometry import Point
from compiler.pictures.display import Item, Words
from compiler.pictures.marks import line

PITCH = 3.3  # the least distance between values, mm on paper
GAP = 1.0  # between the outline and its extension line
REACH = 4.0  # straight out, then 3 mm for the kink
KINK = 3.0

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


def below(marks: Sequence[Mark], edge: float, reach: float = REACH) -> tuple[Item, ...]:
    """Values under a level edge at height `edge`, read from the right."""
    items: list[Item] = []
    for (place, value), at in zip(marks, spread([m[0] for m in marks], PITCH), strict=True):
        knee = Point(place, edge - GAP - reach)
        end = Point(at, knee.y - KINK)
        items += [line(Point(place, edge - GAP), knee), line(knee, end)]
        # letters stand left of a line read upwards, so the middle of their height is on the line
        items.append(Words(Point(at + 0.9, end.y - 0.8), value, anchor="end", angle=math.pi / 2))
    return tuple(items)


def beside(
    marks: Sequence[Mark], edge: float, *, left: bool, reach: float = REACH
) -> tuple[Item, ...]:
    """Values beside an upright edge at `edge`, to its left or right."""
    way = -1.0 if left else 1.0
    items: list[Item] = []
    for (place, value), at in zip(marks, spread([m[0] for m in marks], PITCH), strict=True):
        knee = Point(edge + way * (GAP + reach), place)
        end = Point(knee.x + way * KINK, at)
        items += [line(Point(edge + way * GAP, place), knee), line(knee, end)]
        text = Point(end.x + way * 0.8, at - 0.9)
        items.append(Words(text, value, anchor="end" if left else "start"))
    return tuple(items)
