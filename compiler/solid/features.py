"""A solid as things that stand: one region for every level upper face, with its height.

What a region's outline is at its top it is all the way down, since from above no tool comes under
it: so the regions hold the whole solid, and more of it where it has slopes and undercuts.
"""

from __future__ import annotations

from collections.abc import Sequence

from compiler.diagnostics import Outcome
from compiler.drawing.model import Loop
from compiler.drawing.nest import nest
from compiler.drawing.voice import Voice
from compiler.geometry import Outline, Point, Region, combine
from compiler.geometry.inside import InsideTest
from compiler.geometry.outline import EMPTY
from compiler.geometry.trace import in_order
from compiler.solid.cut import cut_at
from compiler.solid.faces import faces_of
from compiler.solid.model import LEVEL, Face, Feature, Solid
from compiler.solid.section import heights_of


def standing(solid: Solid, floor: float, faces: Sequence[Face] | None = None) -> list[Feature]:
    """Everything of a solid that stands above a floor, highest first.

    A feature's region takes in all that is higher within it: where regions overlap the higher top
    counts. Slopes are taken in from their foot, undercuts at their widest, both with the height of
    their crest. Raises UnsoundError where the kernel fails.
    """
    features: list[Feature] = []
    all_faces = faces_of(solid) if faces is None else faces
    probes = [face.at for face in all_faces if face.facing != "wall"]
    for (top, facing, low), row in sorted(_rows(all_faces, floor).items()):
        cut = EMPTY
        for z in sorted(_heights(row[0], floor)):
            found = cut_at(solid, z, probes, toward=-1 if facing == "up" else 1)
            cut = combine.union(cut, found)
        for piece in pieces(cut):
            test = InsideTest(piece.segments())
            if any(test.contains(face.at) for face in row):
                features.append(Feature(piece, top, None if facing == "up" else max(low, floor)))
    features.sort(key=lambda f: (-f.top, -f.region.area, f.region.bounds))
    kept: list[Feature] = []
    for feature in features:
        if not any(_within(feature.region, higher.region) for higher in kept):
            kept.append(feature)
    return kept


def _within(one: Region, other: Region) -> bool:
    """Whether a region adds nothing to another, by less than a thousandth of a square mm."""
    a, b = one.bounds, other.bounds
    if a[0] < b[0] - LEVEL or a[1] < b[1] - LEVEL or a[2] > b[2] + LEVEL or a[3] > b[3] + LEVEL:
        return False
    return combine.difference(one, other).area < 1e-3


def _rows(faces: Sequence[Face], floor: float) -> dict[tuple[float, str, float], list[Face]]:
    """Faces above a floor that something stands below, by height, kind and foot."""
    rows: dict[tuple[float, str, float], list[Face]] = {}
    for face in faces:
        if face.facing in ("up", "slope", "overhang") and face.high > floor + LEVEL:
            key = (round(face.high, 4), face.facing, round(face.low, 4))
            rows.setdefault(key, []).append(face)
    return rows


def _heights(face: Face, floor: float) -> set[float]:
    """Where to cut so as to take in all that stands under a face, or hangs over at it."""
    heights = heights_of(face, floor)
    # a slope that looks up only shrinks on its way up: its foot says it all
    return {min(heights)} if face.facing == "slope" and heights else heights


def piece_round(region: Region, point: Point, voice: Voice) -> Outcome[Region]:
    """The piece of a region that a point lies in. Errors: E726."""
    found = pieces(region)
    for piece in found:
        if InsideTest(piece.segments()).contains(point):
            return Outcome(piece)
    listed = "; ".join(_corners(piece, voice) for piece in found[:6])
    return Outcome(
        None,
        (
            voice.finding(
                "E726",
                f"no piece of the model's section goes round {voice.place(point)}",
                help=f"there are {len(found)} pieces: {listed}",
            ),
        ),
    )


def _corners(piece: Region, voice: Voice) -> str:
    x0, y0, x1, y1 = piece.bounds
    return f"{voice.place(Point(x0, y0))} to {voice.place(Point(x1, y1))}"


def pieces(region: Region) -> list[Region]:
    """The separate pieces of a region, each with its own holes."""
    outer = [o for o in region.outlines if o.area > 0]
    holes = [o for o in region.outlines if o.area < 0]
    if len(outer) < 2:
        return [region] if outer else []
    loops = [Loop(o if o.area > 0 else o.reversed(), ("",), 1) for o in (*outer, *holes)]
    around = nest(loops).around
    mine: list[list[Outline]] = [[o] for o in outer]
    for k, hole in enumerate(holes, start=len(outer)):
        for index in around[k]:
            if index < len(outer):
                mine[index].append(hole)
                break
    return [in_order(outlines) for outlines in mine] or [EMPTY]
