"""Pass after pass: begin beside a wall or an edge, walk while there is something, go on near by."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from heapq import merge
from itertools import islice

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from compiler.motion import Role
from compiler.paths.constant_engagement.bore import bores
from compiler.paths.constant_engagement.corners import Corners
from compiler.paths.constant_engagement.edges import Grid
from compiler.paths.constant_engagement.ground import (
    EVERYWHERE,
    Box,
    areas,
    aside,
    gathered,
)
from compiler.paths.constant_engagement.laws import quarter_chords
from compiler.paths.constant_engagement.left import Left
from compiler.paths.constant_engagement.links import Links
from compiler.paths.constant_engagement.posts import across
from compiler.paths.constant_engagement.room import Room
from compiler.paths.constant_engagement.starts import Front, Starts
from compiler.paths.constant_engagement.trace import Tracer
from compiler.paths.constant_engagement.walk import TOUCH, Ended, Stretch, Turning, Walker
from compiler.paths.constant_engagement.walls import Walls
from compiler.paths.linking.joins import Way
from compiler.paths.linking.pose import Pose, pose_of
from compiler.paths.stroke import Piece, Stroke
from compiler.paths.task import Area, Task

Floats = NDArray[np.float64]
Key = tuple[float, ...]  # a front by hand and place
MARGIN = 0.0157  # of the radius: what fitting and chords may move the front sideways by
NARROW = 0.16  # of that more for each radius that holds one turning radius more than four
OVER = math.radians(3.0)  # a pass that begins with more over the limit is begun another way
BEYOND = math.radians(12.0)  # over the limit: what tighter turns may still take within it is left
LEVELS = (1 / 4, 1 / 10, 1 / 28)  # turning radii, of the cutter's: roomy places first
ROUNDS = 6  # what a slot opens may be room for walks again
DUST = 1e-5  # of the radius squared: a run along a wall that takes less is none
GAIN = 1e-4  # of the radius squared: a pass that takes less is none
WORTH = 2e-3  # the same: one that takes more may have opened the way to others near by
AROUND = 1.5  # radii: near by
APART = 1.0  # radii between places that are done one after the other
BEFORE = 0.12  # radii of a link at its end that are slowed with the pass that follows
INSET = (2.2, 0.4)  # tolerances from the exact centres to those that are planned with
LAST = (0.6, 0.1)  # the same for what corners of walls are cut along: their tips move by more
LEADS = (1.0, 1.5, 2.0, 3.0, 0.5, 0.2, 0.05)  # of the lead: where along a wall a pass may begin
# radii: the same farther off, round a corner or where stock ends at a narrow angle
FARTHER = (0.3, 0.45, 0.6, 0.75, 0.9, 1.05, 1.2, 1.4, 1.6, 2.0, 3.0, 4.5)
SOONER = (0.1, 0.3, 0.5, 0.6, 0.7, 0.8, 0.9, 1.0, 1.1)  # of both radii: where to turn away at once
CHOICE = 5  # fronts near by of which one is chosen that there is a way to
OPENING = 30  # rows after the first contact by which a beginning is judged


def plan(task: Task) -> tuple[Stroke, ...]:
    """Strokes that clear all of `task.work`, in cutting order."""
    centres = _shrunk(task, INSET)
    if centres.is_empty:
        return ()
    return _Planner(task, centres).run()


def _shrunk(task: Task, margin: tuple[float, float]) -> Area:
    """The centres less a margin along all walls, made simpler by no more than the other number."""
    by, simpler = (share * task.tolerance for share in margin)
    return areas(task.centres.buffer(-by, join_style="mitre").simplify(simpler))


@dataclass(slots=True)
class _Chain:
    """Strokes done, and the one being made; where it ends."""

    strokes: list[Stroke] = field(default_factory=list)
    pieces: list[Piece] = field(default_factory=list)
    at: Pose | None = None

    def end(self) -> Floats:
        """Where the cutter is."""
        if self.at is not None:
            return np.array(self.at[:2])
        return np.array(self.strokes[-1].pieces[-1].segment.end) if self.strokes else np.zeros(2)

    def close(self) -> None:
        """The stroke being made is done."""
        if self.pieces:
            self.strokes.append(Stroke(tuple(self.pieces)))
        self.pieces, self.at = [], None


class _Planner:
    def __init__(self, task: Task, centres: Area) -> None:
        r, tol = task.radius, task.tolerance
        self.task, self.radius = task, r
        self.limit = task.engagement or math.acos(max(1 - task.step / r, -1.0))
        self.most = self.limit + BEYOND  # engaged angle at which passes end, rad
        self.centres = centres
        self.safe = Grid.of(areas(task.centres.buffer(-tol / 4, join_style="mitre")), r / 4)
        self.walls = Walls(centres, r / 4)
        self.edge = _shrunk(task, LAST)
        reach = areas(self.edge.buffer(r, quad_segs=quarter_chords(r, tol)))
        self.left = Left(areas(task.material.intersection(reach)), reach, r)
        hands = {"climb": (1,), "conventional": (-1,), "both": (1, -1)}[task.direction]
        self.starts = {hand: Starts(self.walls, self.left, hand) for hand in hands}
        self.tracer = Tracer(self.walls, self.safe, r, self.limit)
        self.corners = Corners(self.edge, self.left, r, tol)
        self.links = Links(task.pace, self.safe, self.left)
        self.chain = _Chain()
        self.rooms: dict[float, Room] = {}  # of each turning radius
        self.walkers: dict[int, Walker] = {}
        self.turn = 0.0  # the turning radius of the level
        self.place = EVERYWHERE  # where passes begin
        self.shut: dict[Key, Key] = {}  # fronts tried in vain, and where they are

    def run(self) -> tuple[Stroke, ...]:
        """Open closed areas, clear what there is room for, then what there is none for."""
        for stroke, hole in bores(self.task, self.centres):
            self.chain.strokes.append(stroke)
            self.left.remove(hole)
        for _ in range(ROUNDS):
            before = self.left.area
            self._clear(LEVELS[0] * self.radius, EVERYWHERE)
            for place in self._places():
                for level in LEVELS[1:]:
                    self._clear(level * self.radius, place)
                self._corners(1.2 * LEVELS[-1] * self.radius, place)
            self._posts()
            if self.left.area < 1e-9:
                break
            if before - self.left.area < GAIN * self.radius**2:
                if self.most == math.inf:
                    break
                self.most = math.inf  # what no tighter turn has taken is taken all the same
        self.chain.close()
        return tuple(self.chain.strokes)

    def _places(self) -> Iterator[Box]:
        """Boxes round all that is left, the nearest first; each is done before the next."""
        boxes = gathered([piece.bounds for piece in self.left.pieces.all()], APART * self.radius)
        while boxes:
            x, y = self.chain.end().tolist()
            nearest = min(boxes, key=lambda box: aside(box, x, y))
            boxes.remove(nearest)
            yield nearest

    def _clear(self, turn: float, place: Box) -> None:
        """All in a place that passes can clear that turn to the left in no less than a radius."""
        pitch = min(self.radius / 10, turn / 2)
        if turn not in self.rooms:
            self.rooms[turn] = Room(self.walls, pitch, 4 * turn)
        room = self.rooms[turn]
        self.turn, self.shut, self.place = turn, {}, place
        # a front moved sideways by some of the radius turns the angle by that over its sine; where
        # passes turn tightly their fronts are nearly as round as the cutter, and it counts for more
        narrow = 1 + NARROW * (self.radius / turn - 1 / LEVELS[0])
        margin = MARGIN * narrow / math.sin(min(self.limit, math.pi / 2))
        self.walkers = {
            hand: Walker(self.left, room, self.radius, self.limit - margin, hand)
            for hand in self.starts
        }
        while self._from_wall() or self._from_edge():
            pass

    def _from_wall(self) -> bool:
        """Try a front that begins at a wall: of the nearest few the first that there is a way to.

        False where none is left to try.
        """
        chosen: tuple[Pose, Front, int, Key] | None = None
        for found in islice(self._beginnings(), CHOICE):
            chosen = chosen or found
            (x, y, hx, hy), _, hand, _ = found
            if self.links.is_near((hand * x, y, hand * hx, hy), self.turn):
                chosen = found
                break
        if chosen is None:
            return False
        pose, front, hand, key = chosen
        self.shut[key] = front.x, front.y
        self._pass(self._begun(pose, front, hand), hand)
        return True

    def _beginnings(self) -> Iterator[tuple[Pose, Front, int, Key]]:
        """Poses from which passes may begin at a wall, the nearest first; front, hand, its key."""
        lead = min(0.5 * self.radius, 2 * self.turn)
        leads = tuple(lead * share for share in LEADS)
        far = 3 * lead / self.radius
        leads += tuple(self.radius * share for share in FARTHER if share > far)
        for hand, front, key in self._fronts(self.chain.end()):
            pose = self.starts[hand].along_wall(front, leads)
            if pose is None:
                self.shut[key] = front.x, front.y
            else:
                yield pose, front, hand, key

    def _fronts(self, here: Floats) -> Iterator[tuple[int, Front, Key]]:
        """Fronts that begin at a wall and were not tried in vain, the nearest first."""
        both = [self._of_hand(hand, here) for hand in self.starts]
        for _, hand, front, key in merge(*both, key=lambda one: one[0]):
            yield hand, front, key

    def _of_hand(self, hand: int, here: Floats) -> Iterator[tuple[float, int, Front, Key]]:
        far, rows = self.left.fronts(hand, here)
        keys = np.round(rows[:, :2], 2).tolist()
        for apart, (x, y, dx, dy), at in zip(far.tolist(), rows.tolist(), keys, strict=True):
            key = (hand, *at)
            if key not in self.shut and aside(self.place, x, y) == 0.0:
                yield apart, hand, Front(x, y, dx, dy), key

    def _from_edge(self) -> bool:
        """Try the edges that have no wall; whether any gave a pass."""
        cut = False
        for edge in list(self.left.islands(self.place)):
            key = (0, *np.round(edge.min(axis=0), 2).tolist())
            if key in self.shut:
                continue
            self.shut[key] = tuple(edge[0].tolist())
            for hand in self.starts:
                pose = self.starts[hand].beside(edge, self.chain.end())
                if pose is not None:
                    first = self.walkers[hand].stretch(pose, Turning(self.turn))
                    cut |= self._pass(first, hand)
                    break
        return cut

    def _begun(self, pose: Pose, front: Front, hand: int) -> Stretch:
        """The first stretch of a pass.

        A front that meets its wall at an angle is met head-on by a cutter that comes along the
        wall: then it turns away into the front's direction beforehand, as late as it may.
        """
        walker = self.walkers[hand]
        best = walker.stretch(pose, Turning(self.turn))
        least = self._over(best.rows)
        away = front.seen_by(hand)
        angle = math.atan2(
            pose[2] * away.dy - pose[3] * away.dx, pose[2] * away.dx + pose[3] * away.dy
        )
        if least <= OVER or angle < 0.1:
            return best
        for share in SOONER:
            lead = share * (self.radius + self.turn)
            sooner = self.starts[hand].along_wall(front, (lead,))
            if sooner is None:
                continue
            found = walker.stretch(sooner, Turning(self.turn, angle))
            over = self._over(found.rows)
            if over < least and (found.rows[:, 4] > TOUCH).any():
                best, least = found, over
            if least <= OVER:
                break
        return best

    def _over(self, rows: Floats) -> float:
        """By how much a beginning passes the limit, rad."""
        met = np.flatnonzero(rows[:, 4] > TOUCH)
        return float(rows[: met[0] + OPENING, 4].max() - self.limit) if len(met) else 0.0

    def _pass(self, stretch: Stretch, hand: int) -> bool:
        """Walk on from a first stretch to the end, taking away what is cut; False for no cut."""
        found, gain = [], 0.0
        way: Way | None = None
        lead = max(1, int(min(0.3 * self.radius, self.turn) / stretch.step))
        while True:
            rows = self.tracer.set_on_walls(stretch.rows * (hand, 1.0, hand, 1.0, 1.0))
            rows, blocked = self._kept(rows)
            if not len(rows):
                break
            found.append(rows)
            cutting = np.flatnonzero(rows[:, 4] > TOUCH)
            taken = 0.0
            if len(cutting):
                if not gain:  # what the pass itself takes away is no way to its start
                    way = self.links.way(_pose(found[0][0]), self.turn)
                # the lead off takes the end of what is beside a wall, where little is touched
                taken = self.left.sweep(rows[: cutting[-1] + 1 + lead, :2])
            gain += taken
            if blocked or stretch.ended is Ended.AIR or (taken == 0.0 and len(found) > 3):
                break
            stretch = self.walkers[hand].stretch(stretch.pose, Turning(self.turn))
        if gain < GAIN * self.radius**2:
            return False
        rows = np.vstack(found)
        last = int(np.flatnonzero(rows[:, 4] > TOUCH)[-1])
        rows = rows[: last + 1 + lead]
        self._add(way, self.tracer.pieces(rows, hand), rows)
        if gain > WORTH * self.radius**2:
            self._open(rows)
        return True

    def _kept(self, rows: Floats) -> tuple[Floats, bool]:
        """Rows up to the first through a wall or well over the limit, and whether there is one.

        A cutter that turns away from material as sharply as it may can come upon a wall before it
        is round: what lies there is for another pass. What would be cut well over the limit is for
        one that turns more tightly, as long as there is any.
        """
        stop = ~self.safe.inside(np.ascontiguousarray(rows[:, :2]))
        if self.turn > LEVELS[-1] * self.radius:
            stop |= rows[:, 4] > self.most
        out = np.flatnonzero(stop)
        return (rows[: out[0]], True) if len(out) else (rows, False)

    def _open(self, rows: Floats) -> None:
        """Fronts near a pass may be tried again."""
        if not self.shut:
            return
        path = rows[:, :2]
        x0, y0 = (path.min(axis=0) - AROUND * self.radius).tolist()
        x1, y1 = (path.max(axis=0) + AROUND * self.radius).tolist()
        beside = [
            (key, xy) for key, xy in self.shut.items() if x0 <= xy[0] <= x1 and y0 <= xy[1] <= y1
        ]
        if beside:
            places = shapely.points([xy for _, xy in beside])
            near = shapely.dwithin(LineString(path), places, AROUND * self.radius)
            for k in np.flatnonzero(near).tolist():
                del self.shut[beside[k][0]]

    def _corners(self, narrowest: float, place: Box) -> None:
        """Along the walls through what no walk gets into, as far as that can be begun in air."""
        for rows in self.corners.runs(narrowest, place):
            if self.left.touches(rows[:1, :2].copy()):
                continue
            way = self.links.way(_pose(rows[0]), self.turn)
            if self.left.sweep(rows[:, :2]) > DUST * self.radius**2:
                self._add(way, self.tracer.through_corners(rows), rows)

    def _posts(self) -> None:
        """Across what is left that stands alone and is too thin for a walk to feel."""
        for post in list(self.left.islands(EVERYWHERE)):
            rows = across(post, self.left, self.radius, self.limit, self.safe.holds)
            if rows is None:
                continue
            way = self.links.way(_pose(rows[0]), self.turn)
            if self.left.sweep(rows[:, :2]) > DUST * self.radius**2:
                self._add(way, self.tracer.through_corners(rows), rows)

    def _add(self, way: Way | None, pieces: list[Piece], rows: Floats) -> None:
        """Go to where a pass begins, at depth if there is a way, else by another stroke; and cut.

        The end of the way touches by what chords leave, in a slot with half the rim: it is slowed
        as the beginning of the pass is.
        """
        chain = self.chain
        if way is None:
            chain.close()
        else:
            near = 0.0
            links = list[Piece]()
            for segment in reversed(way):
                factor = pieces[0].feed_factor if pieces and near < BEFORE * self.radius else 1.0
                links.append(Piece(segment, Role.LINK, factor))
                near += segment.length
            chain.pieces += reversed(links)
        chain.pieces += pieces
        last = pieces[-1].segment if pieces else None
        chain.at = pose_of(last.end, last.tangent(1.0)) if last else _pose(rows[-1])
        self.links.done(chain.at, [piece.segment for piece in pieces])


def _pose(row: Floats) -> Pose:
    x, y, hx, hy = row[:4].tolist()
    return (x, y, hx, hy)
