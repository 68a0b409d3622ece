"""Shapes to exact regions: each kind built, then the modifiers in their order."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from compiler.geometry import Chain, Point, Region
from compiler.geometry.errors import GeometryError
from compiler.spec.copies import centre_of, repeated, united
from compiler.spec.models.shapes import (
    KeepRegion,
    Mirror,
    OpenChain,
    Rectangle,
    Shape,
    Step,
)
from compiler.spec.models.shapes import Path as Walk
from compiler.spec.place import Place
from compiler.units import number
from compiler.units.number import Units

if TYPE_CHECKING:
    from compiler.geometry.build import ArcTo, LineTo

Pair = tuple[float, float]

_LENGTH = re.compile(r"(-?[0-9.]+(?:e[-+]?[0-9]+)?) mm\b")
_SPOT = re.compile(r"\((-?[0-9.]+(?:e[-+]?[0-9]+)?), (-?[0-9.]+(?:e[-+]?[0-9]+)?)\)")


def point(pair: Pair) -> Point:
    """A point of the model as one of the geometry."""
    return Point(float(pair[0]), float(pair[1]))


def region_of(shape: Shape, place: Place) -> Region | None:
    """The region that a shape is; None where it can't be made, which is then reported."""
    from compiler.geometry import combine, offset, snap, transform

    region = _base(shape, place)
    away = [region_of(other, place / "minus" / i) for i, other in enumerate(shape.minus or ())]
    if region is None or None in away:
        return None
    step = place
    try:
        if away:
            step = place / "minus"
            region = combine.difference(region, *(other for other in away if other is not None))
        if shape.grow is not None:
            step = place / "grow"
            region = offset.grow(region, float(shape.grow))
        if region.is_empty:
            step.report("E308", "nothing is left of the shape", "take less away, or shrink it less")
            return None
        if shape.move is not None:
            region = transform.moved(region, point(shape.move))
        if shape.turn is not None:
            region = transform.turned(region, float(shape.turn), _turn_centre(shape, region))
        if shape.mirror is not None:
            region = _mirrored(region, shape.mirror)
        if shape.repeat is not None:
            step = place / "repeat"
            region = repeated(region, shape.repeat)
    except GeometryError as error:
        report(error, step)
        return None
    return snap.snapped(region)


def chain_of(open_chain: OpenChain, place: Place) -> Chain | None:
    """The chain of an open keep region; None where it can't be made, which is then reported."""
    from compiler.geometry import build, snap

    path = open_chain.path
    if path is None:
        assert open_chain.drawing is not None and place.linked is not None
        chain = place.linked.chain(open_chain.drawing, place / "drawing")
        return None if chain is None else snap.snapped_chain(chain)
    try:
        return snap.snapped_chain(build.chain(point(path.start), _steps(path)))
    except GeometryError as error:
        report(error, place / "path", "steps")
        return None


def report(error: GeometryError, place: Place, items: str = "") -> None:
    """A shape that can't be made, located at the point or step at fault, in the job's units."""
    if error.index is not None and items and (place / items / error.index).exists:
        place = place / items / error.index
    message, help = in_units(error.message, place.units), in_units(error.help, place.units)
    place.report(error.code, message, help or "change the shape", span=place.span)


def in_units(text: str, units: Units) -> str:
    """Words about geometry, which are in mm, in the job's units."""

    def length(found: re.Match[str]) -> str:
        return number.length(float(found[1]), units)

    def spot(found: re.Match[str]) -> str:
        x, y = (number.length(float(value), units).split()[0] for value in found.groups())
        return f"({x}, {y})"

    return _SPOT.sub(spot, _LENGTH.sub(length, text))


def _base(shape: Shape, place: Place) -> Region | None:
    """The kind of shape alone, without modifiers."""
    from compiler.geometry import build
    from compiler.geometry.region import make

    kind = shape.kind
    here = place / kind
    items = {"polygon": "points", "outline": "steps"}.get(kind, "")
    try:
        if shape.circle is not None:
            circle = shape.circle
            radius = circle.radius if circle.radius is not None else (circle.diameter or 0) / 2
            return make([build.circle(point(circle.centre), float(radius))])
        if shape.rectangle is not None:
            low, high = corners(shape.rectangle)
            return make([build.rectangle(low, high, float(shape.rectangle.corner_radius))])
        if shape.slot is not None:
            slot = shape.slot
            return make([build.slot(point(slot.from_), point(slot.to), float(slot.width))])
        if shape.polygon is not None:
            points = [point(pair) for pair in shape.polygon.points]
            return make([build.polygon(points, float(shape.polygon.corner_radius))])
        if shape.outline is not None:
            return make([build.outline(point(shape.outline.start), _steps(shape.outline))])
        if shape.drawing is not None:
            assert place.linked is not None
            return place.linked.region(shape.drawing, here)
        if shape.any_of is not None:
            parts = [region_of(part, here / i) for i, part in enumerate(shape.any_of)]
            if None in parts:
                return None
            return united([part for part in parts if part is not None])
    except GeometryError as error:
        report(error, here, items)
        return None
    assert shape.model is not None and place.linked is not None
    return place.linked.section(shape.model, here)


def corners(rectangle: Rectangle) -> tuple[Point, Point]:
    """Two opposite corners, from whichever two of corner, corner, size and centre were given."""
    start, to, size, centre = (
        None if pair is None else point(pair)
        for pair in (rectangle.from_, rectangle.to, rectangle.size, rectangle.centre)
    )
    if size is not None:
        if centre is not None:
            return centre.plus(size, -0.5), centre.plus(size, 0.5)
        if start is not None:
            return start, start.plus(size)
        assert to is not None
        return to.plus(size, -1), to
    if centre is not None:
        corner = start if start is not None else to
        assert corner is not None
        return corner, centre.times(2).minus(corner)
    assert start is not None and to is not None
    return start, to


def _steps(path: Walk) -> list[LineTo | ArcTo]:
    return [_step(step) for step in path.steps]


def _step(step: Step) -> LineTo | ArcTo:
    from compiler.geometry.build import ArcTo, LineTo

    rounding, chamfer = float(step.round or 0), float(step.chamfer or 0)
    if step.line is not None:
        return LineTo(point(step.line), round=rounding, chamfer=chamfer)
    arc = step.arc
    assert arc is not None
    return ArcTo(
        point(arc.to),
        None if arc.centre is None else point(arc.centre),
        None if arc.radius is None else float(arc.radius),
        arc.turn == "ccw",
        arc.long,
        round=rounding,
        chamfer=chamfer,
    )


def _turn_centre(shape: Shape, region: Region) -> Point:
    """The point `about`, which in a keep region may be words instead, or the shape's own centre."""
    if isinstance(shape.about, tuple):
        return point(shape.about)
    return centre_of(region)


def _mirrored(region: Region, mirror: Mirror) -> Region:
    """`across: x` changes X, so the mirror line runs along Y at that X."""
    from compiler.geometry import transform

    return transform.mirrored(region, "y" if mirror.across == "x" else "x", float(mirror.at))


def about_text(region: KeepRegion) -> str:
    """A keep region's words about itself."""
    return region.about if isinstance(region.about, str) else ""
