"""In which order the runs of all rows are cut: from the outside in, and on where the cutter is.

A run may be cut when those of the row before that lie beside it are. Among the runs that may, the
one that begins nearest comes next: so the rows of one corner of the part are cut one after the
other, before the cutter goes over to the next corner.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import LineString

from compiler.geometry import Point
from compiler.paths.approach import Scene
from compiler.paths.cutting import Run, cut_run
from compiler.paths.run import polyline
from compiler.paths.stroke import Stroke
from compiler.paths.timing import seconds

BESIDE = 1.3  # times the step: runs of neighbouring rows are no farther apart
AHEAD = 1.5  # times the step: a closed run begins so far beyond its nearest place
LOOKED_AT = 5  # of the nearest runs: how long it takes to come to them
AROUND = 2.0  # times the straight way, about, where that is not free
REACH = 4.0  # times the radius: a cut may open the way to runs so near


def cut_in_order(scene: Scene, rows: Sequence[Sequence[Run]]) -> list[Stroke]:
    """Strokes for the runs of all rows, given from the outermost on.

    The innermost loop between four bosses comes first by its row but can't be reached until the
    rows outside it have gone by: what can't be reached waits, and only what nothing reaches to
    the end is bored into. A run for which there is no room to bore either is left out.
    """
    waiting = _Waiting(scene, rows)
    strokes: list[Stroke] = []
    while waiting.left:
        i = waiting.next_to(strokes)
        bore = i is None
        if i is None:
            i = min(waiting.left)
        run = waiting.towards(i, strokes)
        made = cut_run(scene, run, bore=bore)
        strokes += made
        if made:
            waiting.cut(i)
        elif bore:
            waiting.left.discard(i)
        else:
            waiting.shut.add(i)
    return strokes


class _Waiting:
    """The runs still to be cut, and which of them may be."""

    def __init__(self, scene: Scene, rows: Sequence[Sequence[Run]]) -> None:
        self.runs = [run for row in rows for run in row]
        self.left = set(range(len(self.runs)))
        self._scene = scene
        self.shut: set[int] = set()  # tried, and out of reach as yet
        self._both = scene.task.direction == "both"
        number = [k for k, row in enumerate(rows) for _ in row]
        lines = [LineString(polyline(p.segment for p in run.pieces)) for run in self.runs]
        tree = shapely.STRtree(lines)
        self._lines = np.array(lines, dtype=object)
        self._closed = np.array([run.closed for run in self.runs], dtype=bool)
        self._ahead = AHEAD * scene.task.step
        self._before: list[set[int]] = [set() for _ in self.runs]
        for i, j in _pairs(tree, lines, BESIDE * scene.task.step):
            if number[j] == number[i] - 1:
                self._before[i].add(j)
        self._near: list[list[int]] = [[] for _ in self.runs]
        for i, j in _pairs(tree, lines, REACH * scene.task.radius):
            self._near[i].append(j)
        self._starts = np.array([run.start for run in self.runs]).reshape(-1, 2)
        self._ends = np.array([run.end for run in self.runs]).reshape(-1, 2)

    def next_to(self, strokes: Sequence[Stroke]) -> int | None:
        """The run to try next; None where all that are left have been tried in vain."""
        ready = [
            i for i in sorted(self.left - self.shut) if not self._before[i] & self.left - self.shut
        ]
        if not ready:
            return None
        if not strokes:
            return ready[0]
        at = np.array(strokes[-1].pieces[-1].segment.end)
        far = np.hypot(*(self._starts[ready] - at).T)
        if self._both:
            far = np.minimum(far, np.hypot(*(self._ends[ready] - at).T))
        spot, closed = shapely.Point(at), self._closed[ready]
        far[closed] = shapely.distance(self._lines[ready][closed], spot)
        pace, best, least = self._scene.task.pace, ready[0], math.inf
        for k in np.argsort(np.round(far, 6), kind="stable")[:LOOKED_AT].tolist():
            if least <= seconds(float(far[k]), pace.link, pace.acceleration):
                break  # no way to it is quicker than straight
            taken = round(self._seconds(ready[k], Point(*at)), 6)
            if taken < least:
                best, least = ready[k], taken
        return best

    def _seconds(self, i: int, at: Point) -> float:
        """About how long it takes to come to a run: straight where that is free, else by a lift."""
        task = self._scene.task
        run = self.towards_from(i, at)
        way = LineString([at, run.start])
        if way.length < 1e-9:
            return 0.0
        free = self._scene.allowed.covers(way) and self._scene.progress.is_free(way)
        pace = task.pace
        if free:
            return seconds(way.length, pace.link, pace.acceleration)
        round_it = seconds(AROUND * way.length, pace.link, pace.acceleration)
        return min(round_it, pace.lift + seconds(way.length, 2 * pace.link, pace.acceleration))

    def towards(self, i: int, strokes: Sequence[Stroke]) -> Run:
        """The run as it is best begun from where the cutter is.

        A closed one a little beyond its nearest place, so that the way there leads on to it; an
        open one from its end, where both directions will do and that is nearer.
        """
        return self.towards_from(i, strokes[-1].pieces[-1].segment.end) if strokes else self.runs[i]

    def towards_from(self, i: int, at: Point) -> Run:
        """The same from a place."""
        run = self.runs[i]
        if run.closed:
            line = self._lines[i]
            nearest = float(line.project(shapely.Point(at)))
            return run.begun_at((nearest + self._ahead) % line.length)
        if not self._both:
            return run
        return run.turned() if at.distance(run.end) < at.distance(run.start) - 1e-6 else run

    def cut(self, i: int) -> None:
        """The run is cut; what lies near may be in reach now."""
        self.left.discard(i)
        self.shut.difference_update(self._near[i])


def _pairs(
    tree: shapely.STRtree, lines: Sequence[LineString], distance: float
) -> list[tuple[int, int]]:
    """Which lines come within a distance of each other, both ways round."""
    found = tree.query(lines, predicate="dwithin", distance=distance)
    return sorted((i, j) for i, j in found.T.tolist() if i != j)
