"""The first opening of a closed area: a helix round its widest place."""

from __future__ import annotations

from collections.abc import Iterator

import shapely

from compiler.geometry import Arc, Point
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.task import Area, Task

USUAL = 0.8  # of the radius: of the helix, so that no post is left
SLACK = 0.75  # of the room: the first passes find their way out of the hole better off the walls


def bores(task: Task, centres: Area) -> Iterator[tuple[Stroke, Area]]:
    """A helix, and what it opens, for each piece of the centres that no air leads to."""
    r, tol = task.radius, task.tolerance
    open_air = task.cleared.buffer(-tol)
    for part in shapely.get_parts(centres):
        if part.intersects(open_air):
            continue
        if part.buffer(r).intersection(task.material).area < 1e-3 * r * r:
            continue
        spoke = shapely.maximum_inscribed_circle(part, tolerance=tol)
        middle, slack = Point(*spoke.coords[0]), spoke.length
        turn = min(task.helix_radius or USUAL * r, max(SLACK * slack, min(task.least_helix, slack)))
        a, b = Point(middle.x + turn, middle.y), Point(middle.x - turn, middle.y)
        ccw = task.direction != "conventional"
        halves = (Arc(a, b, middle, ccw), Arc(b, a, middle, ccw))
        stroke = Stroke(tuple(Piece(half) for half in halves), way=Way.BORE, closed=True)
        opened = shapely.Point(middle).buffer(turn + r - tol, quad_segs=quarter_chords(r, tol))
        yield stroke, opened
