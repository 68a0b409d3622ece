"""The limit held on the whole road: what an operation's final moves engage, and the feed for it.

Strokes are planned within the limit, but the linker leads on to them, leaves some out, and adds
strokes for what is left. So the moves as drawn are walked once more against the material, and where
they pass the limit the feed falls by (1 - cos limit) / (1 - cos angle): the largest chip is then no
thicker than at the limit (plane geometry of the chip's thickness, ae = r (1 - cos angle)).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
import shapely
from numpy.typing import NDArray

from compiler.geometry import Arc, Line, Segment
from compiler.motion import Move, Point3, Rapid, Role, Turn
from compiler.paths.constant_engagement.ground import Box, Tiles, areas, grown
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.rim import engaged
from compiler.paths.course import along
from compiler.paths.run import polyline
from compiler.paths.task import Area, Task

Floats = NDArray[np.float64]
SPARE = math.radians(0.5)  # over the limit that is borne at full feed
MEASURING = math.radians(0.5)  # what the chords of sweeps may hide
PITCH = 0.06  # of the radius, between looks: contact comes on quickly
AROUND = 0.12  # of the radius, before and after a place: what shares its feed
STEP = 0.94  # between one feed and the next below: a feed word for each look is noise
TILE = 8.0  # radii
FARTHEST = 8.0  # radii of path that are swept at once
LAG = 0.35  # radii of path behind the tool that are not taken as swept yet: they touch its rim
TURNED = math.radians(240)  # or less, where the path might come back upon itself


@dataclass(slots=True)
class _Leg:
    """One fed move at depth as a segment, and its place among the moves."""

    index: int
    segment: Segment


def held(
    moves: Sequence[Move], start: Point3 | None, task: Task, z: float, feed: float
) -> list[Move]:
    """The moves of one level, split and slowed where they pass the task's limit.

    `start` is where the tool is before them, `z` the level's depth, mm. Moves at other heights are
    left as they are: ramps have a feed of their own. `feed` is that of the normal cut, mm/min.
    """
    limit = task.engagement
    if limit is None or task.material.is_empty:
        return list(moves)
    legs, angles = _walked(moves, start, task, z)
    changed: dict[int, list[Move]] = {}
    for leg, angle in zip(legs, _spread(legs, angles, limit, task.radius), strict=True):
        move = moves[leg.index]
        assert not isinstance(move, Rapid), "only fed moves are at depth"
        if move.feed > _borne(float(angle.max()), limit, feed):
            changed[leg.index] = _slowed(move, leg.segment, angle, limit, feed)
    found: list[Move] = []
    for k, move in enumerate(moves):
        found += changed.get(k, (move,))
    return found


def _walked(
    moves: Sequence[Move], start: Point3 | None, task: Task, z: float
) -> tuple[list[_Leg], list[Floats]]:
    """Engaged angles along every leg at depth, the material going as the cutter goes."""
    left = Tiles.of(task.material, TILE * task.radius)
    recent: list[Segment] = []
    legs: list[_Leg] = []
    angles: list[Floats] = []
    for span in _spans(moves, start, z, task.radius):
        near = left.within(grown(_bounds(leg.segment for leg in span), 1.1 * task.radius))
        if near.is_empty:
            continue
        legs += span
        angles += _angles(span, near, task.radius)
        done, recent = _parted([*recent, *(leg.segment for leg in span)], LAG * task.radius)
        if done:
            left.remove(_swept(done, task))
    return legs, angles


def _bounds(segments: Iterable[Segment]) -> Box:
    boxes = np.array([segment.bounds for segment in segments])
    return (*boxes[:, :2].min(axis=0).tolist(), *boxes[:, 2:].max(axis=0).tolist())


def _parted(path: list[Segment], behind: float) -> tuple[list[Segment], list[Segment]]:
    """The path but for so much at its end, and that end; both in whole segments."""
    k, length = len(path), 0.0
    while k > 0 and length < behind:
        k -= 1
        length += path[k].length
    return path[:k], path[k:]


def _swept(path: Sequence[Segment], task: Task) -> Area:
    """What the cutter takes along segments that need not all follow on."""
    runs: list[list[Segment]] = []
    for segment in path:
        if runs and runs[-1][-1].end.distance(segment.start) < 1e-6:
            runs[-1].append(segment)
        else:
            runs.append([segment])
    lines = shapely.MultiLineString([polyline(run, task.tolerance) for run in runs])
    return areas(lines.buffer(task.radius, quad_segs=quarter_chords(task.radius, task.tolerance)))


def _spans(
    moves: Sequence[Move], start: Point3 | None, z: float, radius: float
) -> Iterator[list[_Leg]]:
    """Unbroken runs of fed moves at depth, so short that none comes back upon itself."""
    span: list[_Leg] = []
    far = turned = 0.0
    at = start
    for k, move in enumerate(moves):
        deep = at is not None and abs(at.z - z) < 1e-6 and abs(move.to.z - z) < 1e-6
        if at is None or not deep or isinstance(move, Rapid):
            if span:
                yield span
                span, far, turned = [], 0.0, 0.0
            at = move.to
            continue
        segment: Segment = (
            Arc(at.xy, move.to.xy, move.centre, move.ccw)
            if isinstance(move, Turn)
            else Line(at.xy, move.to.xy)
        )
        at = move.to
        if segment.length < 1e-9:
            continue
        turn = _turn(span[-1].segment if span else None, segment)
        length = segment.length
        if span and (far + length > FARTHEST * radius or turned + turn > TURNED):
            yield span
            span, far, turned, turn = [], 0.0, 0.0, _turn(None, segment)
        span.append(_Leg(k, segment))
        far, turned = far + length, turned + turn
    if span:
        yield span


def _turn(before: Segment | None, segment: Segment) -> float:
    """How far the path turns in a segment and where it begins, rad."""
    own = abs(segment.sweep) if isinstance(segment, Arc) else 0.0
    if before is None:
        return own
    a, b = before.tangent(1.0), segment.tangent(0.0)
    return own + abs(math.atan2(a.x * b.y - a.y * b.x, a.x * b.x + a.y * b.y))


def _angles(span: Sequence[_Leg], material: Area, radius: float) -> list[Floats]:
    """Engaged angles at even places along each leg, and at its end, where a corner's spike is."""
    counts = [max(1, math.ceil(leg.segment.length / (PITCH * radius))) for leg in span]
    seen = [
        along(leg.segment, np.append((np.arange(n) + 0.5) / n, 1.0))
        for leg, n in zip(span, counts, strict=True)
    ]
    places = np.vstack([where for where, _ in seen])
    headings = np.vstack([heading for _, heading in seen])
    angle = engaged(places, headings, material, radius)
    each = np.split(angle, np.cumsum(np.array(counts) + 1)[:-1])
    return [np.append(a[:-2], a[-2:].max()) for a in each]


def _spread(
    legs: Sequence[_Leg], angles: Sequence[Floats], limit: float, radius: float
) -> list[Floats]:
    """Each place with the greatest angle near it along the path, where that passes the limit.

    Contact comes on so quickly that a place just before or after may bear it as well.
    """
    if not angles:
        return []
    pitch = np.concatenate(
        [
            np.full(len(angle), leg.segment.length / len(angle))
            for leg, angle in zip(legs, angles, strict=True)
        ]
    )
    run = np.cumsum(pitch) - pitch / 2
    whole = np.concatenate(angles)
    found = whole.copy()
    for k in np.flatnonzero(whole > limit + SPARE):
        first = int(np.searchsorted(run, run[k] - AROUND * radius))
        last = int(np.searchsorted(run, run[k] + AROUND * radius))
        found[first:last] = np.maximum(found[first:last], whole[k])
    return np.split(found, np.cumsum([len(angle) for angle in angles])[:-1])


def _borne(angle: float, limit: float, feed: float) -> float:
    """The feed at an engaged angle: any up to the limit; beyond it in steps, never rounded up."""
    if angle <= limit + SPARE:
        return math.inf
    share = (1 - math.cos(limit)) / (1 - math.cos(min(angle + MEASURING, math.pi)))
    steps = math.ceil(math.log(share) / math.log(STEP))
    return round(STEP**steps * feed, 3)


def _slowed(move: Move, segment: Segment, angle: Floats, limit: float, feed: float) -> list[Move]:
    """A move in stretches of one feed each."""
    assert not isinstance(move, Rapid), "only fed moves are at depth"
    rates = [min(move.feed, _borne(float(a), limit, feed)) for a in angle]
    edges = [0, *(k for k in range(1, len(rates)) if rates[k] != rates[k - 1]), len(rates)]
    found: list[Move] = []
    for a, b in pairwise(edges):
        part = segment if b - a == len(rates) else segment.part(a / len(rates), b / len(rates))
        end = move.to if b == len(rates) else Point3(part.end.x, part.end.y, move.to.z)
        role = Role.CUT if move.role is Role.LINK else move.role
        if isinstance(move, Turn) and isinstance(part, Arc):
            found.append(replace(move, to=end, centre=part.centre, feed=rates[a], role=role))
        else:
            found.append(replace(move, to=end, feed=rates[a], role=role))
    return found
