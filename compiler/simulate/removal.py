"""Removal: each motion takes from the heights what its cutter sweeps, in program order.

Exact in Z on level moves; in plan a cell goes by its centre. What a motion meets is looked at
before it is taken away. Moves whose ends the text does not fix take nothing: they are for the
judge to weigh.
"""

import math
from collections.abc import Mapping, Sequence

import numpy as np

from compiler.geometry import Arc, Point, Region, Segment
from compiler.job.model import Tool
from compiler.read import Motion
from compiler.simulate.blank import fresh
from compiler.simulate.distance import F32, Flags, Piece, distances, last_over
from compiler.simulate.front import RIM_STEP
from compiler.simulate.fronts import Fronts, Window
from compiler.simulate.many import Pieces, Row
from compiler.simulate.model import Blank, Cut, MotionFacts, Samples
from compiler.simulate.pieces import direction, pieces, slopes, stretches
from compiler.simulate.profile import Band, Profile, bands, profile_of
from compiler.simulate.raster import AIR, inside
from compiler.simulate.sweeping import SKIN, Engaged, Ground, Sweep

_OUTLINE_BAND = 2.0  # mm on either side of the outline where its distance is worked out
_ONWARD = math.cos(math.radians(20))  # a greater turn is a corner
_CYLINDERS = frozenset({"end_mill", "bull_mill", "face_mill"})
_MOST_WAITING = 4000  # pieces
_NOWHERE = Point(0.0, 0.0)


def simulate(
    motions: Sequence[Motion],
    tools: Mapping[int, Tool],
    *,
    stock: Region,
    top: float,
    bottom: float,
    pitch: float,
    skin: float = 0.0,
    blank: Blank | None = None,
) -> Cut:
    """Cuts the motions on the stock, or on `blank` where an earlier setup left it.

    `tools` by T number; motions with an unknown tool take nothing. `skin` mm: material no higher
    than that above the tip does not count as engagement (a floor allowance taken with the wall).
    """
    begins = blank or fresh(stock, top, bottom, pitch)
    remover = _Remover(begins, stock, top, skin, len(motions), is_cut=blank is not None)
    for index, motion in enumerate(motions):
        tool = tools.get(motion.state.tool) if motion.state.tool is not None else None
        if tool is not None:
            remover.take(index, motion, tool)
    return remover.result()


class _Remover:
    """The stock while it is cut. One per program.

    Pieces that one tool sweeps in one way wait until something else comes, and are swept together.
    """

    def __init__(
        self, blank: Blank, stock: Region, top: float, skin: float, count: int, *, is_cut: bool
    ) -> None:
        grid = self._grid = blank.grid
        self._top = top
        # below it a cut may come out
        underside = float(np.max(blank.bottoms, where=blank.heights > AIR / 2, initial=AIR))
        self._xs, self._ys = grid.xs, grid.ys
        self._ground = Ground(grid, blank.heights.copy(), blank.bottoms, underside)
        outline = self._stock_field(stock, inside(stock, grid))
        self._fronts = Fronts(grid, outline, skin, blank.heights if is_cut else None)
        self._before: Motion | None = None
        self._shapes: dict[str, tuple[Profile, tuple[Band, ...]]] = {}
        self._facts = MotionFacts(
            np.zeros(count),
            np.zeros(count),
            np.zeros(count, dtype=bool),
            np.full(count, math.nan),
            np.full(count, math.nan),
            np.zeros(count),
        )
        self._contacts: dict[int, tuple[str, float]] = {}
        self._engaged: list[Engaged] = []
        self._waiting: list[Row] = []
        self._tool: Profile | None = None  # of the pieces that wait
        self._height: float | None = None  # of those that are measured
        self._settles = False  # before the next piece the tool has left its path

    def result(self) -> Cut:
        """What stands now, and what happened."""
        self._flush()
        none = np.zeros(0)
        parts = [Engaged(none.astype(np.int64), none, none, none, none), *self._engaged]
        samples = Samples(
            *(np.concatenate([getattr(p, name) for p in parts]) for name in Engaged.__slots__)
        )
        ground = self._ground
        return Cut(self._grid, ground.heights, ground.bottoms, self._facts, samples, self._contacts)

    def take(self, index: int, motion: Motion, tool: Tool) -> None:
        """One motion."""
        if not (motion.start.known and motion.end.known):
            return
        low = min(motion.start.z, motion.end.z)
        shapes = self._shapes.get(tool.name)
        if shapes is None:
            shapes = self._shapes[tool.name] = profile_of(tool), bands(tool)
        profile, uncut = shapes
        for band in uncut:
            if low + band.above < self._top:
                self._meet_band(index, motion, tool, band)
        if low >= self._top:
            self._settles |= motion.kind == "rapid"
            return
        level = abs(motion.end.z - motion.start.z) < 1e-6
        cuts = motion.kind != "rapid"
        onward = self._goes_on(motion, profile)
        if not (level and cuts) or not onward or self._turned(motion):
            self._settles = True
        self._before = motion
        slope = cuts and not level and motion.plan_length > 1e-6
        if slope and profile.is_flat:
            self._slope(index, motion, profile)
        else:
            measured = cuts and level and tool.kind in _CYLINDERS
            self._queue(index, motion, profile, onward=onward and measured, measured=measured)
        if cuts and not level and profile.is_flat:
            self._arrive(motion, profile)

    def _goes_on(self, motion: Motion, profile: Profile) -> bool:
        """Whether the motion sets off where the same tool's cut has just cleared its place."""
        before = self._before
        return (
            before is not None
            and before.kind != "rapid"
            and (before.end is motion.start or before.end == motion.start)
            and before.state.tool == motion.state.tool
            and (profile.is_flat or before.start.z == before.end.z)
        )

    def _turned(self, motion: Motion) -> bool:
        """Whether a motion that goes on sets off by more than a little aside."""
        assert self._before is not None
        a, b = direction(self._before, at_end=True), direction(motion, at_end=False)
        return a[0] * b[0] + a[1] * b[1] < _ONWARD

    def _queue(
        self, index: int, motion: Motion, profile: Profile, *, onward: bool, measured: bool
    ) -> None:
        """A motion's pieces wait to be swept with others of the tool, at one height if measured."""
        height = motion.end.z if measured else self._height
        elsewhere = self._height is not None and height != self._height
        if profile is not self._tool or elsewhere or len(self._waiting) > _MOST_WAITING:
            self._flush()
            self._tool, height = profile, motion.end.z if measured else None
        self._height = height
        centre = motion.centre or _NOWHERE
        circle = (centre.x, centre.y, motion.radius, index, motion.ccw)
        cuts = motion.kind != "rapid"
        for ends in stretches(motion, profile.radius):
            self._waiting.append((*ends, *circle, onward, self._settles, cuts, measured))
            self._settles = False
            onward = True

    def _flush(self) -> None:
        """Everything that waits is swept."""
        profile, height = self._tool, self._height
        if self._waiting and profile is not None:
            front = self._fronts.at(height) if height is not None else None
            reach = profile.radius + (self._band(profile) if front is not None else 0.0)
            sweep = Sweep(self._ground, self._facts, self._fronts, profile, front, reach)
            self._engaged += sweep.take(Pieces.of(self._waiting))
        self._waiting, self._height = [], None
        if self._settles:
            self._fronts.settle()
            self._settles = False

    def _arrive(self, motion: Motion, profile: Profile) -> None:
        """The end of a slope or plunge clears a disc at the height it reached."""
        if self._height is not None:
            self._flush()
        end = Piece(motion.end.x, motion.end.y, motion.end.x, motion.end.y)
        window, off = self._distances(end, profile.radius + self._band(profile))
        if window is not None and off is not None:
            self._fronts.arrive(motion.end.z, window, off - np.float32(profile.radius))

    def _slope(self, index: int, motion: Motion, profile: Profile) -> None:
        """A ramp or helix by a flat end, exactly: each cell by its lowest moment."""
        self._flush()
        sweep = Sweep(self._ground, self._facts, self._fronts, profile, None, profile.radius)
        for piece, from_z, to_z in slopes(motion, profile.radius):
            window, off = self._distances(piece, profile.radius)
            if window is None or off is None:
                continue
            xs, ys = self._xs[window[1]], self._ys[window[0]]
            at = last_over(piece, xs, ys, profile.radius, down=to_z < from_z)
            floor = np.float32(from_z) + at * np.float32((to_z - from_z) / piece.length)
            self._facts.thickest[index] = 1.0
            sweep.take_slope(index, window, off, floor, min(from_z, to_z))

    def _meet_band(self, index: int, motion: Motion, tool: Tool, band: Band) -> None:
        """Notes where shank or holder meet the stock, as it stands before the motion.

        A shank no thicker than the cutter follows where the cutter went; whether the flutes
        cover the cut is told by the motion's depth.
        """
        pitch = self._grid.pitch
        reach = band.radius - pitch
        if reach <= tool.radius:
            return
        self._flush()
        for piece, z, _ in pieces(motion, tool.radius):
            window, off = self._distances(piece, reach)
            if window is None or off is None:
                continue
            near = (off <= np.float32(reach)) & (off > np.float32(tool.radius + pitch))
            over = float(np.max(self._ground.heights[window], where=near, initial=AIR))
            by = over - z - band.above
            if by > max(SKIN, self._contacts.get(index, ("", 0.0))[1]):
                self._contacts[index] = (band.name, by)

    def _distances(self, piece: Piece, reach: float) -> tuple[Window | None, F32 | None]:
        """The window that a piece reaches and distances there; None off the stock."""
        low_x, low_y, high_x, high_y = piece.bounds
        i0, i1, j0, j1 = self._grid.window(
            low_x - reach, low_y - reach, high_x + reach, high_y + reach
        )
        if i0 >= i1 or j0 >= j1:
            return None, None
        window = (slice(j0, j1), slice(i0, i1))
        return window, distances(piece, self._xs[i0:i1], self._ys[j0:j1], reach)

    def _band(self, profile: Profile) -> float:
        """How far beyond the rim a front must be known: cells read, and steps along the rim."""
        return max(2 * self._grid.pitch, 2 * RIM_STEP * profile.radius)

    def _stock_field(self, stock: Region, solid: Flags) -> F32:
        """Signed distance to the stock's outline: exact near it, a large value elsewhere."""
        far = np.float32(max(4 * self._grid.pitch, _OUTLINE_BAND))
        distance = np.full(solid.shape, far, dtype=np.float32)
        for segment in stock.segments():
            for piece in _as_pieces(segment):
                window, off = self._distances(piece, float(far))
                if window is not None and off is not None:
                    np.minimum(distance[window], off, out=distance[window])
        field: F32 = np.where(solid, distance, -distance)
        # beyond the band only the sign counts, but sweeps must be able to lower it
        field[solid & (distance >= far)] = np.float32(1e3)
        return field


def _as_pieces(segment: Segment) -> list[Piece]:
    """An outline's segment as pieces; arcs in thirds of a turn."""
    if not isinstance(segment, Arc):
        return [Piece(*segment.start, *segment.end)]
    count = max(1, math.ceil(abs(segment.sweep) / (math.tau / 3)))
    parts = [segment.part(k / count, (k + 1) / count) for k in range(count)]
    return [Piece(*p.start, *p.end, *p.centre, p.radius, p.ccw) for p in parts]
