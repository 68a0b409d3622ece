"""Where an arc's centre is: by I and J, or by R (NISTIR 6556 sec. 3.5.3). XY plane, mm."""

import math
from collections.abc import Mapping

from compiler.geometry import Point
from compiler.read.far import check_radius
from compiler.read.refusal import RefusalError

# How far the radii at both ends may differ: 0.002 mm or 0.0002 in, by the text's units.
RADIUS_RULE = {"mm": 0.002, "inch": 0.0002 * 25.4}
_CHORD_RULE = 1e-12  # of half-chord / radius beyond 1: the R format has no length tolerance


def arc_centre(
    start: Point, end: Point, words: Mapping[str, float], *, ccw: bool, units: str, scale: float
) -> Point:
    """The centre of the arc from `start` to `end`. Raises RefusalError with the reason.

    `words` are the block's, as written; `scale` is mm per unit of the text.
    """
    if "K" in words:
        raise RefusalError("`K` does not belong to an arc in the XY plane")
    if "X" not in words and "Y" not in words:
        raise RefusalError("an arc in the XY plane needs `X` or `Y`")
    offsets = "I" in words or "J" in words
    if "R" in words:
        if offsets:
            raise RefusalError("`R` and `I`/`J` both tell the arc's centre")
        check_radius(words["R"] * scale)
        return _by_radius(start, end, words["R"] * scale, ccw, scale)
    if not offsets:
        raise RefusalError("an arc needs `I` or `J`, or `R`")
    i, j = words.get("I", 0.0) * scale, words.get("J", 0.0) * scale
    return by_offsets(start, end, i, j, units=units, scale=scale)


def by_offsets(start: Point, end: Point, i: float, j: float, *, units: str, scale: float) -> Point:
    """The centre that lies i and j, mm, from the start. Raises RefusalError."""
    centre = Point(start.x + i, start.y + j)
    check_radius(i)
    check_radius(j)
    first, last = start.distance(centre), end.distance(centre)
    if first < 1e-9 or last < 1e-9:
        raise RefusalError("the arc's radius is zero")
    if abs(first - last) > RADIUS_RULE[units] * (1 + 1e-9):
        allowed = RADIUS_RULE[units] / scale
        raise RefusalError(
            f"the arc's radii at start and end differ by {abs(first - last) / scale:.4f}, "
            f"{allowed:.4f} is allowed",
            "give the arc's ends and centre with one more decimal",
        )
    return centre


def _by_radius(start: Point, end: Point, radius: float, ccw: bool, scale: float) -> Point:
    """Centre by R: at most half a turn where positive, more where negative."""
    chord = start.distance(end)
    if chord < 1e-9:
        raise RefusalError("an arc by `R` must end elsewhere than it starts")
    if radius == 0:
        raise RefusalError("the arc's radius is zero")
    ratio = chord / 2 / abs(radius)
    if ratio > 1 + _CHORD_RULE:
        raise RefusalError(
            f"the radius {abs(radius) / scale:.6g} is too small for the chord of "
            f"{chord / scale:.6g}, in the program's units"
        )
    rise = abs(radius) * math.sqrt(max(0.0, 1 - ratio * ratio))
    along = end.minus(start).unit()
    # the shorter arc to the left (ccw) has its centre left of the chord
    side = 1.0 if ccw == (radius > 0) else -1.0
    middle = start.plus(end.minus(start), 0.5)
    return middle.plus(along.left(), side * rise)
