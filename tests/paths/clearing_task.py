"""A clearing task from two shapes, what is stock and what stands in it, mm."""

from __future__ import annotations

import math
from typing import Literal

import shapely
from shapely import LineString, Point, box
from shapely.geometry.base import BaseGeometry

from compiler.geometry import EMPTY
from compiler.paths.constant_engagement.laws import straight_step
from compiler.paths.stroke import Stroke, Way
from compiler.paths.task import Task

Direction = Literal["climb", "conventional", "both"]
FINE = 36  # chords to a quarter circle


def clearing_task(
    stock: BaseGeometry,
    keep: BaseGeometry,
    *,
    radius: float,
    limit: float,
    direction: Direction = "climb",
    tolerance: float = 0.005,
    air: float = 6.0,
    chords: int = FINE,
) -> Task:
    """Clear all of `stock` but `keep` with the engaged angle at most `limit`, radians.

    The air round the stock is `air` radii wide; round edges have `chords` to a quarter circle.
    """
    window = box(*stock.bounds).buffer(air * radius, join_style="mitre")
    # outwards by a hair more than the chords err, so that the centres are on the safe side
    sagitta = radius * (1 - math.cos(math.pi / 4 / chords))
    centres = window.difference(keep.buffer(radius + sagitta, quad_segs=chords))
    material = stock.difference(keep)
    cleared = centres.difference(material.buffer(radius, quad_segs=chords))
    return Task(
        radius=radius,
        forbidden=EMPTY,
        centres=centres,
        material=material,
        cleared=cleared,
        work=centres.difference(cleared),
        step=straight_step(radius, limit),
        engagement=limit,
        direction=direction,
        tolerance=tolerance,
    )


def swept(strokes: tuple[Stroke, ...], radius: float, *, chords: int = FINE) -> BaseGeometry:
    """What a cutter goes over, by its path at every 0.15 mm."""
    discs = []
    for stroke in strokes:
        places = [stroke.pieces[0].segment.start]
        for piece in stroke.pieces:
            count = max(1, math.ceil(piece.segment.length / 0.15))
            places += [piece.segment.at((k + 1) / count) for k in range(count)]
        discs.append(LineString(places).buffer(radius, quad_segs=chords))
        if stroke.way is Way.BORE:
            discs.append(Point(places[0]).buffer(radius))
    return shapely.union_all(discs)
