"""The datum: which point of the drawing becomes X0 Y0, and how the sheet calls it."""

from __future__ import annotations

from compiler.geometry import Point, Region
from compiler.job import Datum, KeepRegion, Stock
from compiler.spec.copies import centre_of
from compiler.spec.models import setting as written
from compiler.spec.place import Place
from compiler.spec.shapes import point
from compiler.units import number


def datum_of(
    said: written.Datum, stock: Stock | None, regions: tuple[KeepRegion, ...], place: Place
) -> Datum | None:
    """The datum's place and the words for it; None where it can't be found (reported)."""
    at, words = said.at, ""
    where: Point | None = None
    if isinstance(at, written.PickedPoint):
        assert place.linked is not None
        where = place.linked.point(at.drawing, place / "at" / "drawing")
        words = f"{_picked_words(at, place)} of {at.drawing.file}"
    elif isinstance(at, tuple):
        where = point(at)
        x, y = (number.length(value, place.units) for value in where)
        words = f"X {x}, Y {y} of the drawing"
    elif at.startswith("stock "):
        corner = at.removeprefix("stock ")
        words = f"stock, {corner.replace('_', ' ')}"
        where = None if stock is None else _corner(stock.region.bounds, corner)
    else:
        name = at.removeprefix("region ").removesuffix(" centre")
        words = f"centre of {name}"
        where = _region_centre(name, regions, place / "at")
    if where is None:
        return None
    return Datum(
        at=where,
        said=words,
        work_offset=said.work_offset,
        found_by=said.found_by or "",
        origin=(place / "at").span if (place / "at").exists else None,
    )


def _picked_words(at: written.PickedPoint, place: Place) -> str:
    """How a point was picked from a drawing, for the sheet."""
    said = at.drawing
    if said.corner is not None:
        return "centre" if said.corner == "centre" else f"{said.corner.replace('_', ' ')} corner"
    what, near = next(
        (what, pair)
        for what, pair in (
            ("centre of the loop round", said.centre_round),
            ("crossing near", said.crossing_near),
            ("point near", said.point_near),
        )
        if pair is not None
    )
    x, y = (number.length(value, place.units) for value in near)
    return f"{what} X {x}, Y {y}"


def _corner(bounds: tuple[float, float, float, float], corner: str) -> Point:
    x0, y0, x1, y1 = bounds
    return {
        "lower_left": Point(x0, y0),
        "lower_right": Point(x1, y0),
        "upper_left": Point(x0, y1),
        "upper_right": Point(x1, y1),
        "centre": Point((x0 + x1) / 2, (y0 + y1) / 2),
    }[corner]


def _region_centre(name: str, regions: tuple[KeepRegion, ...], place: Place) -> Point | None:
    closed = {region.name: region.shape for region in regions if isinstance(region.shape, Region)}
    if name in closed:
        return centre_of(closed[name])
    beside = Place(place.root, place.units, [], place.path[:-2])
    if (beside / "keep_regions" / name).exists:
        if name in {region.name for region in regions}:
            place.report("E214", f"`{name}` is open and has no centre", "name a closed region")
        return None  # else the region could not be made, which has been reported
    place.unknown("E202", "keep region", name, closed, "give a point, as `[0, 0]`")
    return None
