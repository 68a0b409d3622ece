"""The loop: take a front, bite as much as the limit bears, cut it, go on where it leads."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, MultiPoint, Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from compiler.geometry import Arc, Line
from compiler.geometry import Point as Place
from compiler.geometry.fit import fit
from compiler.motion import Role
from compiler.paths.constant_engagement.advance import Pace, advance, paths, remnant
from compiler.paths.constant_engagement.course import Course
from compiler.paths.constant_engagement.cutter import Cutter
from compiler.paths.constant_engagement.ground import (
    Box,
    Tiles,
    areas,
    common,
    grown,
    holds,
    overlap,
    without,
)
from compiler.paths.constant_engagement.laws import quarter_chords, straight_step
from compiler.paths.constant_engagement.rim import engaged
from compiler.paths.constant_engagement.smooth import resampled
from compiler.paths.constant_engagement.view import Front, View, look, refresh
from compiler.paths.stroke import Piece, Stroke, Way
from compiler.paths.task import Area, Task

Points = NDArray[np.float64]
MARGIN = math.radians(1.0)
OVER = math.radians(1.0)


SPARE = math.radians(0.5)  # over the limit that is borne at full feed
RUBBING = math.radians(5)  # less is rubbing on what chords leave
BOLDEST = 2.0  # the most a front's step may exceed the law's
TRIES = 5
WIDE = (12.0, 6.0)  # radii; long fronts first, narrow channels when the rest is open
ROOMY = 2.6  # times its reach: a wider window costs more than a new look
FRESH = Pace()


@dataclass(slots=True)
class Hint:
    """Where a front was seen, and how boldly it may step."""

    at: tuple[float, float]
    pace: Pace
    length: float


def plan(task: Task) -> tuple[Stroke, ...]:
    """Strokes that clear all of `task.work`, in cutting order."""
    return _Planner(task).run()


class _Planner:
    def __init__(self, task: Task) -> None:
        r, tol = task.radius, task.tolerance
        self.limit = task.engagement or math.acos(max(1 - task.step / r, -1.0))
        limit = self.limit - MARGIN
        self.task = task
        self.cutter = Cutter(
            radius=r,
            limit=limit,
            tolerance=tol,
            step=straight_step(r, limit),
            lead=r / 2,
            backwards=task.direction == "conventional",
        )
        # inwards by more than thinning the vertices and fitting can take away again
        inside = task.centres.buffer(-3 * tol, join_style="mitre")
        centres = areas(inside.simplify(tol))
        self.safe = task.centres.buffer(-tol / 2, join_style="mitre")
        shapely.prepare(self.safe)
        self.reach = areas(centres.buffer(r, quad_segs=quarter_chords(r, tol)))
        left = areas(task.material.intersection(self.reach))
        size = 8 * r
        self.components = list(shapely.get_parts(centres))
        self.frame = _framed(centres, task.material, r)
        self.centres = Tiles.of(self.frame, size)
        self.left = Tiles.of(left, size)
        self.strokes: list[Stroke] = []
        self.view: View | None = None
        self.hints: list[Hint] = []

    def run(self) -> tuple[Stroke, ...]:
        """Open closed areas, then work front after front until none is left."""
        self._bore()
        for _ in range(12):
            before = len(self.strokes)
            if not self.left.cells:
                break
            view = self._look(grown(self.left.bounds, 2 * self.cutter.radius))
            for front in view.fronts():
                self.hints.append(Hint(_middle(front.line), FRESH, front.line.length))
            while self.hints:
                self._follow(self._next())
            if len(self.strokes) == before:
                break
        return tuple(self.strokes)

    def _next(self) -> Hint:
        for wide in WIDE:
            for k in range(len(self.hints) - 1, -1, -1):
                if self.hints[k].length >= wide * self.cutter.radius:
                    return self.hints.pop(k)
        return self.hints.pop()

    def _look(self, window: Box) -> View:
        return look(self.centres, self.left, window, self.cutter)

    def _bore(self) -> None:
        """Give every closed area its first opening."""
        r, tol = self.cutter.radius, self.cutter.tolerance
        for part in self.components:
            if part.intersects(self.task.cleared.buffer(-tol)):
                continue
            material = areas(part.buffer(r).intersection(self.task.material))
            if material.area < 1e-3 * r * r:
                continue
            spoke = shapely.maximum_inscribed_circle(part, tolerance=tol)
            centre, slack = Point(spoke.coords[0]), spoke.length
            turn = min(self.task.helix_radius or 0.8 * r, slack)
            a, b = Place(centre.x + turn, centre.y), Place(centre.x - turn, centre.y)
            middle = Place(centre.x, centre.y)
            ccw = self.task.direction != "conventional"
            halves = (Arc(a, b, middle, ccw), Arc(b, a, middle, ccw))
            self.strokes.append(
                Stroke(tuple(Piece(half) for half in halves), way=Way.BORE, closed=True)
            )
            self.left.remove(centre.buffer(turn + r - tol, quad_segs=quarter_chords(r, tol)))

    def _follow(self, hint: Hint) -> None:
        """Find the front at a hint, widen the window until it holds all of it, and cut a bite."""
        r = self.cutter.radius
        at = Point(hint.at)
        whole = self.frame.bounds
        view = self.view
        reach = min(hint.length / 2, 40 * r) + 4 * r
        if view is None or not _suits(view.box, hint.at, reach):
            view = self._look(overlap(grown((*hint.at, *hint.at), reach), whole))
        for _ in range(12):
            near = [f for f in view.fronts() if f.line.distance(at) < 0.05 * r]
            if not near:
                return
            front = min(near, key=lambda f: f.line.distance(at))
            need = grown(front.line.bounds, 2.5 * r)
            if front.cut:
                need = grown(need, max(need[2] - need[0], need[3] - need[1]) / 2)
            need = overlap(need, whole)
            if not front.cut and holds(view.box, need):
                break
            view = self._look(overlap(grown(need, 2 * r), whole))
        self.view = view
        self._bite(view, front, hint)

    def _bite(self, view: View, front: Front, hint: Hint) -> None:
        pace = hint.pace
        best: list[Course] = []
        angle = np.empty(0)
        for _ in range(TRIES):
            opened, widest = advance(view, front, pace, self.cutter)
            best = [self._smoothed(view, run, widest) for run in self._paths(view, opened)]
            if not best:
                break
            angle = self._judge(view, best)
            if angle.max(initial=0.0) <= self.cutter.limit + OVER:
                break
            pace = self._slower(pace, np.vstack([c.places for c in best]), angle)
        known = angle if len(best) == 1 else None  # of several, each changes what is left
        cut = [course for course in best if self._cut(view, course, known)]
        if not cut:
            left = self._paths(view, remnant(view, front, self.cutter))
            best = [self._smoothed(view, run, self.cutter.narrowest) for run in left]
            cut = [course for course in best if self._cut(view, course)]
            angle = np.array([self.cutter.limit])
        if not cut:
            return
        refresh(view, self.cutter)
        swept = shapely.union_all([course.line for course in cut])
        shapely.prepare(swept)
        pace = replace(self._learned(pace, angle), widest=widest)
        fresh = [f for f in view.fronts() if f.line.distance(swept) < 0.2 * self.cutter.radius]
        end = Point(cut[-1].line.coords[-1])
        fresh.sort(key=lambda f: -f.line.distance(end))
        self.hints.extend(Hint(_middle(f.line), pace, f.line.length) for f in fresh)

    def _paths(self, view: View, opened: Area) -> list[Points]:
        last = None
        if self.task.direction == "both" and self.strokes:
            last = np.array(self.strokes[-1].pieces[-1].segment.end)
        return paths(view, opened, self.cutter, last)

    def _smoothed(self, view: View, run: Points, size: float) -> Course:
        """The run as lines and arcs: close to walls as exact as they are, else only smooth.

        `size` is the radius of the loops it is made of: small ones are followed more closely.
        """
        tol, r = self.cutter.tolerance, self.cutter.radius
        points = resampled(run, min(r / 9, size / 3))
        room = shapely.distance(view.walls, shapely.points(points))
        smooth = max(2 * tol, min(self.cutter.smooth, size / 12))
        allowed = np.clip(0.5 * room, 2 * tol, smooth)
        course = Course.of(fit(points, allowed), self.cutter, size)
        if self._stays_off(course):
            return course
        course = Course.of(fit(points, np.minimum(allowed, tol / 2)), self.cutter, size)
        if self._stays_off(course):
            return course
        corners = [
            Place(x, y) for x, y in shapely.get_coordinates(LineString(run).simplify(tol / 4))
        ]
        chords = tuple(Line(a, b) for a, b in pairwise(corners))
        return Course.of(chords, self.cutter, size)

    def _stays_off(self, course: Course) -> bool:
        """Whether a course keeps to the centres it was given, chords and all."""
        corners = shapely.get_coordinates(course.line)
        every = np.vstack([corners, course.places])
        return bool(shapely.contains_xy(self.safe, every[:, 0], every[:, 1]).all())

    def _judge(self, view: View, found: list[Course]) -> Points:
        """Engaged angles along all runs."""
        r = self.cutter.radius
        return np.concatenate(
            [engaged(course.places, course.headings, view.material, r) for course in found]
        )

    def _slower(self, pace: Pace, where: Points, angle: Points) -> Pace:
        """The pace, lowered where the limit was passed."""
        over = angle > self.cutter.limit + OVER
        share = over.sum() / max((angle > 0).sum(), 1)
        ratio = 0.97 * (1 - math.cos(self.cutter.limit)) / (1 - math.cos(angle.max()))
        if pace.slow is None and (share > 0.3 or ratio > 0.93):
            return replace(pace, factor=pace.factor * ratio)
        places_over: BaseGeometry = MultiPoint(where[over])
        if pace.slow is not None:
            places_over = places_over.union(pace.slow)
        slow_factor = max(0.3, pace.slow_factor * ratio)
        return replace(pace, slow=places_over, slow_factor=slow_factor)

    def _learned(self, pace: Pace, angle: Points) -> Pace:
        """The pace for the next front: bolder where there was room."""
        share = (1 - math.cos(self.cutter.limit)) / max(1 - math.cos(angle.max()), 1e-3)
        return Pace(min(max(pace.factor * min(share**0.8, 1.2), 0.5), BOLDEST))

    def _cut(self, view: View, course: Course, angle: Points | None = None) -> bool:
        """Emit a run as a stroke and take its sweep away; False where it would remove nothing."""
        r, tol = self.cutter.radius, self.cutter.tolerance
        sweep = course.line.buffer(r, quad_segs=quarter_chords(r, tol))
        removed = common(view.material, sweep).area
        if removed < 1e-4 * r * r:
            return False
        if angle is None:
            angle = engaged(course.places, course.headings, view.material, r)
        view.material = without(view.material, sweep)
        self.left.remove(sweep)
        self.strokes.append(Stroke(self._pieces(course, angle)))
        return True

    def _pieces(self, course: Course, angle: Points) -> tuple[Piece, ...]:
        """The course with roles, and slower where it takes more than the limit."""
        worst = np.zeros(len(course.segments))
        np.maximum.at(worst, course.owner, angle)
        cutting = np.nonzero(worst > RUBBING)[0]
        first, last = (cutting[0], cutting[-1]) if len(cutting) else (0, -1)
        pieces = []
        for k, segment in enumerate(course.segments):
            factor = 1.0
            if worst[k] > self.limit + SPARE:
                factor = (1 - math.cos(self.limit)) / (1 - math.cos(worst[k]))
            role = Role.CUT if first <= k <= last else Role.LEAD
            pieces.append(Piece(segment, role, float(factor)))
        return tuple(pieces)


def _middle(line: LineString) -> tuple[float, float]:
    point = line.interpolate(0.5, normalized=True)
    return (point.x, point.y)


def _framed(centres: Area, material: Area, radius: float) -> Area:
    """The centres with more air round them, wide enough for the largest discs to roll there.

    Only the window's own edges are moved out: those on its bounds and clear of all material.
    """
    x0, y0, x1, y1 = centres.bounds
    far = 4 * radius
    edges = {
        LineString([(x0, y0), (x0, y1)]): (-far, 0.0),
        LineString([(x1, y0), (x1, y1)]): (far, 0.0),
        LineString([(x0, y0), (x1, y0)]): (0.0, -far),
        LineString([(x0, y1), (x1, y1)]): (0.0, far),
    }
    near = box(*grown(material.bounds, 2.5 * radius))
    strips = []
    free: dict[tuple[float, float], bool] = {}
    for edge, (dx, dy) in edges.items():
        for part in shapely.get_parts(edge.intersection(centres).difference(near)):
            if part.geom_type == "LineString" and part.length > 0:
                a, b = part.coords[0], part.coords[-1]
                out = [(b[0] + dx, b[1] + dy), (a[0] + dx, a[1] + dy)]
                strips.append(Polygon([a, b, *out]).buffer(0))
                for x, y in (a, b):
                    if x in (x0, x1) and y in (y0, y1):
                        free[x, y] = (x, y) in free
    for (x, y), both in free.items():
        if both:  # the corner between two free sides
            fx, fy = (far if x == x1 else -far), (far if y == y1 else -far)
            strips.append(box(min(x, x + fx), min(y, y + fy), max(x, x + fx), max(y, y + fy)))
    return areas(shapely.union_all([centres, *strips]))


def _suits(window: Box, at: tuple[float, float], reach: float) -> bool:
    """Whether a place lies well inside a window that is not much larger than needed."""
    small = max(window[2] - window[0], window[3] - window[1]) < ROOMY * reach
    return small and holds(window, grown((*at, *at), 0.25 * reach))
