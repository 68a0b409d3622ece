"""Points picked from a drawing: for the datum, and for holes."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

from compiler.diagnostics import Diagnostic, Outcome
from compiler.drawing.layers import chosen_layers
from compiler.drawing.model import Drawing, Loop, overall
from compiler.drawing.select import Asked, joined_of, round_point
from compiler.drawing.strays import Memo, open_runs
from compiler.drawing.voice import Voice
from compiler.geometry import Arc, Point
from compiler.geometry.distance import point_distance
from compiler.geometry.intersect import meetings

NEAREST = 24  # lines and arcs about a point that are looked at for crossings
ONE_CIRCLE = 1e-4  # arcs of one circle agree in centre and radius to this, mm


def box_corner(drawing: Drawing, asked: Asked, corner: str, voice: Voice) -> Outcome[Point]:
    """A corner (`lower_left` ...) or the `centre` of the box round the layers' line work.

    Errors: E704, E713 where the layers are empty.
    """
    layers = chosen_layers(drawing, asked.layers, voice)
    if layers.value is None:
        return Outcome(None, layers.findings)
    box = overall([d.segment for d in drawing.drawn if d.layer in layers.value])
    if box is None:
        return _nothing("line or arc", voice)
    x = {"left": box[0], "right": box[2]}.get(corner.rpartition("_")[2], (box[0] + box[2]) / 2)
    y = {"lower": box[1], "upper": box[3]}.get(corner.partition("_")[0], (box[1] + box[3]) / 2)
    return Outcome(Point(x, y))


def loop_centre(
    drawing: Drawing, asked: Asked, near: Point, voice: Voice, memo: Memo | None = None
) -> Outcome[Point]:
    """The middle of the box round the smallest loop that contains a point; of a circle its centre.

    Errors as for `closed_region`.
    """
    joined = joined_of(drawing, asked, voice, memo)
    if joined.value is None:
        return Outcome(None, joined.findings)
    loops = round_point(joined.value, asked, near, voice, memo, drawing.units)
    if loops.value is None:
        return Outcome(None, (*joined.findings, *loops.findings))
    x0, y0, x1, y1 = loops.value[0].outline.bounds
    return Outcome(Point((x0 + x1) / 2, (y0 + y1) / 2), joined.findings)


def crossing_near(drawing: Drawing, asked: Asked, near: Point, voice: Voice) -> Outcome[Point]:
    """The place nearest to a point where two lines or arcs meet or cross.

    Errors: E704, E713.
    """
    layers = chosen_layers(drawing, asked.layers, voice)
    if layers.value is None:
        return Outcome(None, layers.findings)
    about = sorted(
        (d.segment for d in drawing.drawn if d.layer in layers.value),
        key=lambda s: point_distance(near, s),
    )[:NEAREST]
    found = [m.at for a, b in combinations(about, 2) for m in meetings(a, b)]
    if not found:
        return _nothing("place where two lines or arcs meet", voice)
    return Outcome(min(found, key=near.distance))


def point_near(drawing: Drawing, asked: Asked, near: Point, voice: Voice) -> Outcome[Point]:
    """The drawing's POINT entity nearest to a point. Errors: E704, E713."""
    layers = chosen_layers(drawing, asked.layers, voice)
    if layers.value is None:
        return Outcome(None, layers.findings)
    marks = [mark.at for mark in drawing.marks if mark.layer in layers.value]
    if not marks:
        return _nothing("point entity", voice)
    return Outcome(min(marks, key=near.distance))


def hole_centres(
    drawing: Drawing, asked: Asked, voice: Voice, memo: Memo | None = None
) -> Outcome[tuple[Point, ...]]:
    """The centres of the layers' full circles, in the order of the drawing.

    Errors as for `closed_region`, and E713 where there is no circle.
    """
    joined = joined_of(drawing, asked, voice, memo)
    if joined.value is None:
        return Outcome(None, joined.findings)
    strays = open_runs(joined.value.runs, asked.on_unclosed, voice, memo)
    findings: tuple[Diagnostic, ...] = (*joined.findings, *strays)
    circles = [c for loop in joined.value.loops if (c := circle_of(loop)) is not None]
    if memo is not None:
        memo.use(loop for loop in joined.value.loops if circle_of(loop) is not None)
    near = asked.containing
    if near is not None:
        circles = [c for c in circles if c[0].distance(near) <= c[1]]
    if not circles:
        return Outcome(None, (*findings, *_nothing("full circle", voice).findings))
    return Outcome(tuple(centre for centre, _ in circles), findings)


def circle_of(loop: Loop) -> tuple[Point, float] | None:
    """Centre and radius of a loop that is a full circle; None for any other."""
    first = loop.outline.segments[0]
    if not isinstance(first, Arc):
        return None
    centre, radius = first.centre, first.radius
    if _on_one_circle(loop.outline.segments, centre, radius):
        return centre, radius
    return None


def _on_one_circle(segments: Sequence[object], centre: Point, radius: float) -> bool:
    return all(
        isinstance(s, Arc)
        and s.centre.distance(centre) <= ONE_CIRCLE
        and abs(s.radius - radius) <= ONE_CIRCLE
        for s in segments
    )


def _nothing(what: str, voice: Voice) -> Outcome[Point]:
    return Outcome(
        None,
        (
            voice.finding(
                "E713",
                f"the drawing `{voice.name}` has no {what} on the chosen layers",
                help="`measure` lists what is on each layer; choose another, or give a point",
            ),
        ),
    )
