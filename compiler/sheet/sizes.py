"""The sizes of a part that a gauge can be put to: diameters, widths between faces, depths.

A width is taken between two outermost faces only: a wall square to the axis, or the bulge of an
arc that is more than a corner's round. From corner to corner nothing is measured. A circle that is
broken, as a clamp ring's by its gap, has its diameter as long as a gauge finds faces across it.
"""

import math
from dataclasses import dataclass

from compiler.geometry import Arc, Outline, Segment
from compiler.part.model import Part, Standing
from compiler.pictures.circles import circle_of

_FINE = 1e-6
_ACROSS = math.radians(200)  # of a circle: then there is wall on both sides of its middle
_MORE_THAN_A_CORNER = math.radians(150)  # of an arc: a sharp corner's round turns less


@dataclass(frozen=True, slots=True)
class Size:
    """One size, mm, of all that share it.

    `tolerance` is how far each wall may lie off, None where the regions carry none.
    """

    of: tuple[str, ...]  # names of regions; none for the floor
    what: str
    nominal: float
    tolerance: float | None
    count: int


def sizes(part: Part, floor: float) -> tuple[Size, ...]:
    """Sizes of all closed regions, then depths; equal ones in one row.

    Args:
        part: What stands.
        floor: Z of the deepest floor.
    """
    found: dict[tuple[str, float, float | None], list[str]] = {}
    for region in part.own:
        for what, nominal in _walls(region):
            found.setdefault((what, round(nominal, 6), region.tolerance), []).append(region.name)
    rows = [
        Size(tuple(dict.fromkeys(names)), what, nominal, tolerance, len(names))
        for (what, nominal, tolerance), names in found.items()
    ]
    return (*rows, *_depths(part, floor))


def _walls(region: Standing) -> list[tuple[str, float]]:
    if region.is_open:
        return []
    found = []
    for outline in region.region.outlines:
        arc = circle_of(outline)
        bore = outline.area < 0
        if arc is not None:
            found.append(("bore" if bore else "diameter", 2 * arc.radius))
            continue
        broken = _circles(outline)
        found += [("diameter" if arc.ccw else "bore", 2 * arc.radius) for arc in broken]
        inside = "opening, along" if bore else "along"
        low_high = (outline.bounds[:2], outline.bounds[2:])
        for axis, name in enumerate("XY"):
            low, high = (ends[axis] for ends in low_high)
            round_there = any(_is_width_of(arc, axis, low, high) for arc in broken)
            if not round_there and _face(outline, axis, low) and _face(outline, axis, high):
                found.append((f"{inside} {name}", high - low))
    return found


def _circles(outline: Outline) -> list[Arc]:
    """An arc of each circle that the outline follows far enough to be measured across.

    An arc that turns counter-clockwise has the part within it, one that turns clockwise the air.
    """
    swept: list[tuple[Arc, float]] = []
    for arc in outline.segments:
        if not isinstance(arc, Arc):
            continue
        for i, (first, so_far) in enumerate(swept):
            if _same_circle(first, arc):
                swept[i] = (first, so_far + abs(arc.sweep))
                break
        else:
            swept.append((arc, abs(arc.sweep)))
    return [arc for arc, sweep in swept if sweep >= _ACROSS]


def _same_circle(a: Arc, b: Arc) -> bool:
    near = a.centre.distance(b.centre) < _FINE and abs(a.radius - b.radius) < _FINE
    return near and a.ccw == b.ccw


def _is_width_of(arc: Arc, axis: int, low: float, high: float) -> bool:
    middle = arc.centre[axis]
    return abs(middle - arc.radius - low) < _FINE and abs(middle + arc.radius - high) < _FINE


def _depths(part: Part, floor: float) -> list[Size]:
    """Below the stock's upper face: tops that lie lower, and the floor."""
    names: dict[float, list[str]] = {}
    for region in part.own:
        depth = round(part.stock_top - region.top, 6)
        if depth > _FINE:
            names.setdefault(depth, []).append(region.name)
    rows = [
        Size(tuple(of), "top below the stock's upper face", depth, None, len(of))
        for depth, of in sorted(names.items())
    ]
    depth = part.stock_top - floor
    if depth > _FINE:
        rows.append(Size((), "floor below the stock's upper face", depth, None, 1))
    return rows


def _face(outline: Outline, axis: int, at: float) -> bool:
    """Whether the outline reaches its outermost place with a face, not with a corner alone."""
    box = outline.bounds
    across = box[3 - axis] - box[1 - axis]
    return any(_touches(segment, axis, at, across) for segment in outline.segments)


def _touches(segment: Segment, axis: int, at: float, across: float) -> bool:
    a, b = segment.start[axis], segment.end[axis]
    if not isinstance(segment, Arc):
        return abs(a - at) < _FINE and abs(b - at) < _FINE
    way = math.copysign(1.0, at - segment.centre[axis])
    bulge = segment.centre[axis] + way * segment.radius
    reach = segment.bounds[axis + 2 if way > 0 else axis]
    broad = abs(segment.sweep) >= _MORE_THAN_A_CORNER or segment.length >= across / 2
    return broad and abs(bulge - at) < _FINE and abs(reach - at) < _FINE
