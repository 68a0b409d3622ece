"""How a run is begun: in air, from where the cutter has been, or by boring an entry first."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from compiler.geometry import Line, Point, Segment
from compiler.motion import Role
from compiler.paths.entry import seeds
from compiler.paths.progress import Progress, spaced
from compiler.paths.run import polyline
from compiler.paths.sets import FINE, passable
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Task

OFF = (0.5, 1.0, 1.5, 2.0, 2.5)  # times the radius: from how far off a run is begun in air
FARTHEST = 3.0  # times the radius: from no farther away is a run approached at depth


class Scene:
    """A task together with the centres that may be used on its way, made ready for questions."""

    def __init__(self, task: Task, progress: Progress | None = None) -> None:
        self.task = task
        self.allowed = passable(task)
        shapely.prepare(self.allowed)
        self.progress = progress or Progress(task.material, task.radius)

    def covers(self, start: Point, end: Point) -> bool:
        """Whether the centre may go straight from one place to the other."""
        return bool(self.allowed.covers(LineString([start, end])))

    def allows(self, segments: Sequence[Segment]) -> bool:
        """Whether the centre may go along the segments."""
        return not segments or bool(self.allowed.covers(LineString(polyline(segments, FINE))))

    def lets_through(self, segments: Sequence[Segment]) -> bool:
        """Whether the centre may go along the segments and touches nothing there."""
        if not segments:
            return True
        line = LineString(polyline(segments, FINE))
        return bool(self.allowed.covers(line)) and self.progress.is_free(line)


Beginning = tuple[list[Stroke], list[Piece]]


def begin(scene: Scene, start: Point, tangent: Point, *, bore: bool = True) -> Beginning | None:
    """What must be cut before a run from `start` can be: strokes of their own, and its lead-in.

    None where there is no way in: neither air, nor cleared area near by, nor room for a helix
    (which is not looked for unless `bore`).
    """
    if scene.progress.is_free_at(start):
        return [], []
    lead = _from_visited(scene, start, tangent)
    if lead is not None:
        return [], [lead]
    bored = bore_towards(scene, [(start, tangent)]) if bore else None
    lead = None if bored is None else _from_visited(scene, start, tangent)
    if bored is None or lead is None:
        return None
    return [bored], [lead]


def bore_towards(scene: Scene, goals: Sequence[tuple[Point, Point]]) -> Stroke | None:
    """An entry from which one of the places (with their tangents) is reached straight; it is cut.

    The first place is the one to be near to. None where there is no room for an entry, or all of
    them lie round a corner.
    """
    for bored in seeds(scene.task, goals[0][0]):
        places = spaced(polyline(piece.segment for piece in bored.pieces), scene.task.radius / 3)
        if any(_straight_way(scene, places, *goal) is not None for goal in goals):
            scene.progress.cut(piece.segment for piece in bored.pieces)
            return bored
    return None


def _from_visited(scene: Scene, start: Point, tangent: Point) -> Piece | None:
    """A straight way to the start from a place where the centre has been, best from behind."""
    near = scene.progress.visited_near(start, FARTHEST * scene.task.radius)
    return _straight_way(scene, near, start, tangent)


def from_air(scene: Scene, start: Point, tangent: Point) -> Piece | None:
    """A straight way to the start of a run from a place in air beside it, best from behind."""
    reach = scene.task.radius * np.array(OFF)
    turns = tangent.angle() + np.pi * np.arange(16) / 8
    ways = np.stack([np.cos(turns), np.sin(turns)], axis=-1)
    places = (np.array(start) + reach[:, None, None] * ways).reshape(-1, 2)
    free = [k for k, at in enumerate(places.tolist()) if scene.progress.is_free_at(Point(*at))]
    return _straight_way(scene, places[free], start, tangent)


def _straight_way(
    scene: Scene, places: NDArray[np.float64], start: Point, tangent: Point
) -> Piece | None:
    """The best straight way to the start from one of the places (n x 2)."""
    if len(places) == 0:
        return None
    radius = scene.task.radius
    ways = np.array(start) - places
    lengths = np.hypot(ways[:, 0], ways[:, 1])
    near = lengths < FARTHEST * radius
    if not near.any():
        return None
    along = (ways @ np.array(tangent)) / np.maximum(lengths, 1e-9)
    costs = lengths + 1.5 * radius * (1 - along)
    chosen = np.flatnonzero(near & (lengths > 1e-6))
    lines = shapely.linestrings([[places[i], start] for i in chosen])
    chosen = chosen[np.atleast_1d(shapely.covers(scene.allowed, lines))]
    if len(chosen) == 0:
        return None
    best = chosen[np.argmin(costs[chosen])]
    return Piece(Line(Point(float(places[best, 0]), float(places[best, 1])), start), Role.CUT)
