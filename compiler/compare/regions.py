"""How outlines differ: moved as a whole, or of another shape, and by how much. In mm."""

from __future__ import annotations

import math

from compiler.compare.model import RegionChange
from compiler.geometry import EMPTY, Point, Region
from compiler.geometry.combine import intersection
from compiler.geometry.errors import GeometryError
from compiler.geometry.polygon import to_polygon
from compiler.geometry.transform import moved
from compiler.part.model import Part, Standing

SAME = 1e-6  # mm: less is how numbers round
CHORD = 0.0005  # mm: how far the polygons that are measured lie from the outlines
STOCK = "(stock)"


def compare_regions(before: Part, after: Part) -> tuple[tuple[RegionChange, ...], int]:
    """Changed keep regions and the stock, and how many did not change."""
    common = _common(before.stock, after.stock)
    old = {region.name: region for region in before.standing}
    new = {region.name: region for region in after.standing}
    found: list[RegionChange] = []
    same = 0
    stock = _compared(STOCK, before.stock, after.stock, before.stock_top, after.stock_top)
    found += [] if stock is None else [stock]
    same += stock is None
    for name in (*new, *(name for name in old if name not in new)):
        change = _region(name, old.get(name), new.get(name), common)
        found += [] if change is None else [change]
        same += change is None
    return tuple(found), same


def _region(
    name: str, old: Standing | None, new: Standing | None, common: Region
) -> RegionChange | None:
    if old is None and new is not None:
        area = _rounded(new.region.area)
        return RegionChange(name=name, what="added", area_after_mm2=area, top_after_mm=new.top)
    if new is None and old is not None:
        area = _rounded(old.region.area)
        return RegionChange(name=name, what="removed", area_before_mm2=area, top_before_mm=old.top)
    assert old is not None and new is not None
    # open regions reach beyond the stock by what tools need: only what is of the stock is compared
    a, b = (_within(r.region, common) if r.is_open else r.region for r in (old, new))
    return _compared(name, a, b, old.top, new.top)


def _compared(
    name: str, old: Region, new: Region, old_top: float, new_top: float
) -> RegionChange | None:
    tops = {"top_before_mm": _rounded(old_top), "top_after_mm": _rounded(new_top)}
    same_top = abs(old_top - new_top) <= SAME
    by = _shift(old, new)
    if by is not None and math.hypot(*by) <= SAME:
        return None if same_top else RegionChange(name=name, what="height", **tops)
    areas = {"area_before_mm2": _rounded(old.area), "area_after_mm2": _rounded(new.area)}
    if by is not None:
        return RegionChange(
            name=name,
            what="moved",
            moved_mm=(_rounded(by.x), _rounded(by.y)),
            differs_mm=_rounded(math.hypot(*by)),
            **areas,
            **tops,
        )
    apart = outlines_apart(old, new)
    if apart <= 2 * CHORD and same_top:
        return None  # the same outline, made of other pieces
    what = "reshaped" if apart > 2 * CHORD else "height"
    # where one of the two has no outline inside both stocks there is no distance to tell
    differs = _rounded(apart) if math.isfinite(apart) else None
    return RegionChange(name=name, what=what, differs_mm=differs, **areas, **tops)


def outlines_apart(a: Region, b: Region) -> float:
    """The Hausdorff distance of two outlines, mm, to about `CHORD`; infinity to an empty one."""
    import shapely

    one, two = (to_polygon(region, CHORD).boundary for region in (a, b))
    if one.is_empty or two.is_empty:
        return 0.0 if one.is_empty and two.is_empty else math.inf
    # long straight lines get points of their own: the distance is measured from points
    step = max(one.length, two.length) / 400
    return float(shapely.hausdorff_distance(one.segmentize(step), two.segmentize(step)))


def _shift(old: Region, new: Region) -> Point | None:
    """By how much a region moved unturned and unchanged; None where it did not just move."""
    if len(old.outlines) != len(new.outlines) or not old.outlines:
        return None
    by = Point(new.bounds[0] - old.bounds[0], new.bounds[1] - old.bounds[1])
    shifted = moved(old, by)
    for a, b in zip(shifted.outlines, new.outlines, strict=True):
        if len(a.segments) != len(b.segments):
            return None
        for s, t in zip(a.segments, b.segments, strict=True):
            places = ((s.start, t.start), (s.at(0.5), t.at(0.5)), (s.end, t.end))
            if type(s) is not type(t) or any(p.distance(q) > SAME for p, q in places):
                return None
    return by


def _common(a: Region, b: Region) -> Region:
    try:
        return intersection(a, b)
    except GeometryError:
        return EMPTY


def _within(region: Region, limit: Region) -> Region:
    try:
        return intersection(region, limit)
    except GeometryError:
        return region


def _rounded(value: float) -> float:
    return round(value, 6) + 0.0
