"""A survey in words, and as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from compiler.geometry import Point
from compiler.geometry.measure import InsideCorner
from compiler.survey.model import ShapeRow, Survey
from compiler.survey.outlines import Role
from compiler.units.number import MM_PER_INCH, SHORT, Units, counted, in_units, length, short

WORDS: dict[Role, str] = {
    "frame": "frame, left out",
    "blank": "blank",
    "stands": "outline",
    "opening": "hole",
    "hole": "hole to drill",
    "left out": "loop, left out",
}


def text(survey: Survey) -> str:
    """For people: sizes first, then what there is, then what is in the way."""
    return "\n".join((*_head(survey), *_shapes(survey), *_in_the_way(survey), *_tight(survey)))


def _head(survey: Survey) -> Iterable[str]:
    yield f"{survey.file}: {survey.format}, units {survey.units} (says {survey.said_by})"
    if survey.box is None:
        yield "overall: nothing to cut"
    else:
        x0, y0, x1, y1 = survey.box
        tall = ""
        if survey.height is not None:
            tall = f" x {_l(survey, survey.height[1] - survey.height[0])}"
        yield (
            f"overall: {_l(survey, x1 - x0)} x {_l(survey, y1 - y0)}{tall}, from "
            f"{_p(survey, Point(x0, y0))} to {_p(survey, Point(x1, y1))}"
        )
    if survey.layers:
        yield "layers:"
        for row in survey.layers:
            if row.count or row.shown != "shown":
                hidden = "" if row.shown == "shown" else f", {row.shown}"
                yield f"  {row.name}: {counted(row.count, 'line or arc', 'lines and arcs')}{hidden}"
    if survey.levels:
        yield "level faces:"
        for level in survey.levels:
            yield (
                f"  Z {_l(survey, level.z)}: {counted(level.count, 'face', 'faces')} looking "
                f"{level.facing}, {_a(survey, level.area)}"
            )


def _shapes(survey: Survey) -> Iterable[str]:
    if not survey.shapes:
        yield "loops: none"
        return
    yield "standing:" if survey.kind == "model" else "loops:"
    for number, row in enumerate(survey.shapes[:40], start=1):
        if survey.kind == "model":
            sloped = "" if row.foot is None else f", sloped from Z {_l(survey, row.foot)}"
            yield (
                f"  {number} top Z {_l(survey, row.top or 0.0)}{sloped}: {_a(survey, row.area)} at "
                f"{_p(survey, row.inside)}"
            )
            continue
        what = WORDS[row.role]
        if row.diameter is not None:
            what += f", a circle of {_l(survey, row.diameter)}"
        yield (
            f"  {'  ' * row.depth}{number} {what}: {_a(survey, row.area)}, round "
            f"{_l(survey, row.length)}, at {_p(survey, row.inside)}, on {', '.join(row.layers)}"
        )
    if len(survey.shapes) > 40:
        yield f"  and {len(survey.shapes) - 40} more"
    for told in survey.told:
        yield f"read so: {told.what}; {told.otherwise}"


def _in_the_way(survey: Survey) -> Iterable[str]:
    for index, (chain, layers) in enumerate(survey.runs[:20]):
        yield (
            f"open {letter(index)}: from {_p(survey, chain.start)} to {_p(survey, chain.end)}, "
            f"{_l(survey, chain.length)} long, ends {_l(survey, chain.start.distance(chain.end))} "
            f"apart, on {', '.join(layers)}"
        )
    if len(survey.runs) > 20:
        yield f"open: and {len(survey.runs) - 20} more"
    if survey.gaps:
        yield (f"gaps: {survey.gaps} joined, the largest {_l(survey, survey.largest_gap)}")
    if survey.repeats:
        yield f"drawn twice: {survey.repeats}"
    for place in survey.junctions[:10]:
        yield f"junction: more than two ends at {_p(survey, place)}"
    for note in survey.notes:
        yield f"note: {note}"


def _tight(survey: Survey) -> Iterable[str]:
    corner, channel, milled = survey.tight.corner, survey.tight.channel, survey.tight.milled
    if corner is None:
        yield "smallest inside radius: none, nothing is concave"
    else:
        yield f"smallest inside radius: {_corner(survey, corner)}"
        if milled != corner:
            told = "none" if milled is None else _corner(survey, milled)
            yield f"smallest inside radius but for full circles: {told}"
    if survey.tight.too_many:
        yield "narrowest channel: not looked for, the walls are too many; choose a layer"
    elif channel is None:
        yield "narrowest channel: none"
    else:
        yield f"narrowest channel: {_l(survey, channel.width)} at {_p(survey, channel.at)}"
    if not survey.shop:
        yield "end mills that fit: no shop.yaml found; give one with `--shop`"
    elif not survey.cutters:
        yield "end mills that fit: none are in the shop's crib"
    if survey.cutters:
        yield "end mills of the crib:"
    for cutter in survey.cutters:
        passes = "passes every channel" if cutter.passes else "too wide for the narrowest channel"
        fills = "fills every corner" if cutter.fills else "leaves material in corners"
        yield f"  {cutter.name}, {_l(survey, cutter.diameter)}: {passes}, {fills}"


def _corner(survey: Survey, corner: InsideCorner) -> str:
    if corner.radius == 0.0:
        return f"0, a sharp corner at {_p(survey, corner.at)} that no cutter fills"
    return f"{_l(survey, corner.radius)} at {_p(survey, corner.at)}"


def letter(index: int) -> str:
    """What an open line is called, from 0: a to z, then aa, ab and so on."""
    more, last = divmod(index, 26)
    return (letter(more - 1) if more else "") + chr(ord("a") + last)


def data(survey: Survey) -> dict[str, Any]:
    """For programs: lengths in mm, areas in mm2, five decimals."""
    return {
        "version": "measure/1",
        "file": survey.file,
        "kind": survey.kind,
        "format": survey.format,
        "units": survey.units,
        "overall_mm": None if survey.box is None else [_r(v) for v in survey.box],
        "height_mm": None if survey.height is None else [_r(v) for v in survey.height],
        "layers": [
            {"name": row.name, "shown": row.shown, "count": row.count} for row in survey.layers
        ],
        "levels": [
            {"z_mm": _r(r.z), "facing": r.facing, "count": r.count, "area_mm2": _r(r.area)}
            for r in survey.levels
        ],
        "shapes": [_shape_data(row) for row in survey.shapes],
        "read_so": [f"{told.what}; {told.otherwise}" for told in survey.told],
        "open": [
            {
                "from_mm": _xy(chain.start),
                "to_mm": _xy(chain.end),
                "length_mm": _r(chain.length),
                "layers": list(layers),
            }
            for chain, layers in survey.runs
        ],
        "gaps": {"count": survey.gaps, "largest_mm": _r(survey.largest_gap)},
        "repeats": survey.repeats,
        "junctions_mm": [_xy(place) for place in survey.junctions],
        "smallest_inside_radius": None
        if survey.tight.corner is None
        else {"radius_mm": _r(survey.tight.corner.radius), "at_mm": _xy(survey.tight.corner.at)},
        "smallest_inside_radius_but_circles": None
        if survey.tight.milled is None
        else {
            "radius_mm": _r(survey.tight.milled.radius),
            "at_mm": _xy(survey.tight.milled.at),
        },
        "narrowest_channel": None
        if survey.tight.channel is None
        else {"width_mm": _r(survey.tight.channel.width), "at_mm": _xy(survey.tight.channel.at)},
        "cutters": [
            {
                "name": c.name,
                "diameter_mm": _r(c.diameter),
                "passes": c.passes,
                "fills": c.fills,
            }
            for c in survey.cutters
        ],
        "notes": list(survey.notes),
    }


def _shape_data(row: ShapeRow) -> dict[str, Any]:
    return {
        "area_mm2": _r(row.area),
        "diameter_mm": None if row.diameter is None else _r(row.diameter),
        "length_mm": _r(row.length),
        "depth": row.depth,
        "role": row.role,
        "inside_mm": _xy(row.inside),
        "layers": list(row.layers),
        "top_mm": None if row.top is None else _r(row.top),
        "sloped_from_mm": None if row.foot is None else _r(row.foot),
    }


def _xy(point: Point) -> list[float]:
    return [_r(point.x), _r(point.y)]


def _r(value: float) -> float:
    return round(value, 5) + 0.0


def _l(survey: Survey, mm: float) -> str:
    return length(mm, survey.show)


def _a(survey: Survey, mm2: float) -> str:
    factor = MM_PER_INCH**2 if survey.show == "inch" else 1.0
    return f"{short(mm2 / factor, 4)} {SHORT[survey.show]}2"


def _p(survey: Survey, point: Point) -> str:
    return place(point, survey.show)


def place(point: Point, show: Units) -> str:
    """A place as it can be typed into a job: `[1.5, 0.25]`."""
    x, y = (short(in_units(value, show), 4) for value in point)
    return f"[{x}, {y}]"
