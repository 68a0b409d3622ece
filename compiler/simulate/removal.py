"""Removal: each motion takes from the heights what its cutter sweeps, in program order.

Exact in Z on level moves; in plan a cell goes by its centre. What a motion meets is looked at
before it is taken away. Moves whose ends the text does not fix take nothing: they are for the
judge to weigh.
"""

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from compiler.geometry import Arc, Region, Segment
from compiler.job.model import Tool
from compiler.read import Motion
from compiler.simulate.blank import fresh
from compiler.simulate.distance import F32, Piece, distances, last_over
from compiler.simulate.front import LAG, RIM_STEP, Front
from compiler.simulate.fronts import Fronts, Window
from compiler.simulate.model import Blank, Cut, MotionFacts, Samples
from compiler.simulate.pieces import direction, pieces, slopes
from compiler.simulate.profile import Band, Profile, bands, profile_of
from compiler.simulate.raster import AIR, inside

_SKIN = 1e-3  # mm: thinner than that is no material
_GRAZE = 0.02  # mm inside the rim: what a rapid meets there it meets; the cells' places are exact
_SAMPLE = 0.125  # of the radius between places where the engaged angle is measured
_OUTLINE_BAND = 2.0  # mm on either side of the outline where its distance is worked out
_ONWARD = math.cos(math.radians(20))  # a greater turn is a corner
_STRAIGHT = 10.0  # radii: the rim meets cells along a greater arc as along a line
_CYLINDERS = frozenset({"end_mill", "bull_mill", "face_mill"})


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
    """The stock while it is cut. One per program."""

    def __init__(
        self, blank: Blank, stock: Region, top: float, skin: float, count: int, *, is_cut: bool
    ) -> None:
        grid = self._grid = blank.grid
        self._top = top
        self._bottoms = blank.bottoms
        # below it a cut may come out
        self._underside = float(np.max(blank.bottoms, where=blank.heights > AIR / 2, initial=AIR))
        self._xs, self._ys = grid.xs, grid.ys
        self._heights = blank.heights.copy()
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
        self._rows: list[tuple[npt.NDArray[Any], ...]] = []

    def result(self) -> Cut:
        """What stands now, and what happened."""
        columns = [np.concatenate(c) for c in zip(*self._rows, strict=True)] if self._rows else []
        none = np.zeros(0)
        samples = (
            Samples(columns[0].astype(np.int64), *columns[1:])
            if columns
            else Samples(none.astype(np.int64), none, none, none, none)
        )
        return Cut(self._grid, self._heights, self._bottoms, self._facts, samples, self._contacts)

    def take(self, index: int, motion: Motion, tool: Tool) -> None:
        """One motion, piece by piece."""
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
            if motion.kind == "rapid":
                self._fronts.settle()
            return
        level = abs(motion.end.z - motion.start.z) < 1e-6
        cuts = motion.kind != "rapid"
        onward = self._goes_on(motion, profile)
        if not (level and cuts) or not onward or self._turned(motion):
            self._fronts.settle()
        self._before = motion
        slope = cuts and not level and motion.plan_length > 1e-6
        if slope and profile.is_flat:
            self._slope(index, motion, profile)
            self._arrive(motion, profile)
            return
        measured = cuts and level and tool.kind in _CYLINDERS
        front = self._fronts.at(motion.end.z) if measured else None
        for piece, z, length in pieces(motion, profile.radius):
            self._sweep(index, piece, z, length, profile, front, cuts, onward and measured)
            onward = True
        if cuts and not level and profile.is_flat:
            self._arrive(motion, profile)

    def _goes_on(self, motion: Motion, profile: Profile) -> bool:
        """Whether the motion sets off where the same tool's cut has just cleared its place."""
        before = self._before
        return (
            before is not None
            and before.kind != "rapid"
            and before.end == motion.start
            and before.state.tool == motion.state.tool
            and (profile.is_flat or before.start.z == before.end.z)
        )

    def _turned(self, motion: Motion) -> bool:
        """Whether a motion that goes on sets off by more than a little aside."""
        assert self._before is not None
        a, b = direction(self._before, at_end=True), direction(motion, at_end=False)
        return a[0] * b[0] + a[1] * b[1] < _ONWARD

    def _arrive(self, motion: Motion, profile: Profile) -> None:
        """The end of a slope or plunge clears a disc at the height it reached."""
        end = Piece(motion.end.x, motion.end.y, motion.end.x, motion.end.y)
        window, off = self._distances(end, profile.radius + self._band(profile))
        if window is not None and off is not None:
            self._fronts.arrive(motion.end.z, window, off - np.float32(profile.radius))

    def _slope(self, index: int, motion: Motion, profile: Profile) -> None:
        """A ramp or helix by a flat end, exactly: each cell by its lowest moment."""
        for piece, from_z, to_z in slopes(motion, profile.radius):
            window, off = self._distances(piece, profile.radius)
            if window is None or off is None:
                continue
            xs, ys = self._xs[window[1]], self._ys[window[0]]
            at = last_over(piece, xs, ys, profile.radius, down=to_z < from_z)
            floor = np.float32(from_z) + at * np.float32((to_z - from_z) / piece.length)
            self._facts.thickest[index] = 1.0
            self._take_off(index, window, off, floor, min(from_z, to_z), profile, cuts=True)

    def _meet_band(self, index: int, motion: Motion, tool: Tool, band: Band) -> None:
        """Notes where shank or holder meet the stock, as it stands before the motion.

        A shank no thicker than the cutter follows where the cutter went; whether the flutes
        cover the cut is told by the motion's depth.
        """
        pitch = self._grid.pitch
        reach = band.radius - pitch
        if reach <= tool.radius:
            return
        for piece, z, _ in pieces(motion, tool.radius):
            window, off = self._distances(piece, reach)
            if window is None or off is None:
                continue
            near = (off <= np.float32(reach)) & (off > np.float32(tool.radius + pitch))
            over = float(np.max(self._heights[window], where=near, initial=AIR))
            by = over - z - band.above
            if by > max(_SKIN, self._contacts.get(index, ("", 0.0))[1]):
                self._contacts[index] = (band.name, by)

    def _sweep(
        self,
        index: int,
        piece: Piece,
        z: float,
        length: float,
        profile: Profile,
        front: Front | None,
        cuts: bool,
        onward: bool,
    ) -> None:
        """Takes one piece off the heights, and notes what it met; measures before it sweeps."""
        reach = profile.radius + (self._band(profile) if front is not None else 0.0)
        window, off = self._distances(piece, reach, onward=onward)
        if off is None or window is None:
            return
        floor: F32 | np.float32 = np.float32(z)
        if not profile.is_flat:
            floor = np.float32(z) + profile.rise(np.minimum(off, np.float32(profile.radius)))
        met = self._take_off(index, window, off, floor, z, profile, cuts)
        if front is not None:
            if met is not None and length > 1e-9:
                self._chip(index, piece, window, off, met, profile.radius)
                self._measure(index, piece, length, profile.radius, front)
            off -= np.float32(profile.radius)
            front.add(window, off, length, LAG * profile.radius)

    def _take_off(
        self,
        index: int,
        window: Window,
        off: F32,
        floor: F32 | np.float32,
        z: float,
        profile: Profile,
        cuts: bool,
    ) -> npt.NDArray[np.bool_] | None:
        """Lowers a window to `floor` within the tool's radius; a rapid only notes what it meets.

        `off` mm from the tool's path. Returns the cells that were met, None where there are none.
        """
        part = self._heights[window]
        cut = part > floor + np.float32(_SKIN)
        cut &= off <= np.float32(profile.radius)
        old = part[cut]
        if not old.size:
            return None
        facts = self._facts
        new = floor[cut] if isinstance(floor, np.ndarray) else floor
        met = float((old - new).max() if profile.is_flat else old.max() - z)
        facts.depth[index] = max(facts.depth[index], met)
        if not facts.touched[index]:
            # a rapid may not even graze; a fed move may run along a wall that is cut to size
            well = profile.radius - (self._grid.pitch if cuts else _GRAZE)
            deep = cut & (off <= np.float32(max(0.0, well)))
            first = int(deep.argmax())
            row, column = divmod(first, deep.shape[1])
            if deep[row, column]:
                facts.touched[index] = True
                facts.touch_x[index] = self._xs[window[1].start + column]
                facts.touch_y[index] = self._ys[window[0].start + row]
        if cuts:
            if z > self._underside:
                part[cut] = new
            else:
                under = self._bottoms[window][cut]
                part[cut] = np.where(new <= under, AIR, new)
                new = np.maximum(new, under)
            volume = float((old - new).sum(dtype=np.float64)) * self._grid.pitch**2
            facts.removed[index] += volume
        return cut

    def _chip(
        self,
        index: int,
        piece: Piece,
        window: Window,
        off: F32,
        met: npt.NDArray[np.bool_],
        radius: float,
    ) -> None:
        """Notes the thickest chip of a level piece, by where the rim first came to each cell met.

        A cell at `a` beside a straight path is met where the rim looks aside by asin(a / r); one
        at rho from an arc's centre by the law of cosines.
        """
        if piece.radius > _STRAIGHT * radius or not piece.radius:
            aside = float(off[met].min()) / radius
        else:
            rows, columns = np.nonzero(met)
            rho = np.hypot(
                self._xs[window[1]][columns] - piece.cx, self._ys[window[0]][rows] - piece.cy
            )
            cosine = (piece.radius**2 + radius**2 - rho**2) / (2 * piece.radius * radius)
            aside = float(np.abs(cosine).min())
        aside = min(1.0, aside + self._grid.pitch / radius)
        share = math.sqrt(1.0 - aside * aside)
        self._facts.thickest[index] = max(self._facts.thickest[index], share)

    def _distances(
        self, piece: Piece, reach: float, *, onward: bool = False
    ) -> tuple[Window | None, F32 | None]:
        """The window that a piece reaches and distances there; None off the stock."""
        low_x, low_y, high_x, high_y = piece.bounds
        i0, i1, j0, j1 = self._grid.window(
            low_x - reach, low_y - reach, high_x + reach, high_y + reach
        )
        if i0 >= i1 or j0 >= j1:
            return None, None
        window = (slice(j0, j1), slice(i0, i1))
        return window, distances(piece, self._xs[i0:i1], self._ys[j0:j1], reach, onward=onward)

    def _band(self, profile: Profile) -> float:
        """How far beyond the rim a front must be known: cells read, and steps along the rim."""
        return max(2 * self._grid.pitch, 2 * RIM_STEP * profile.radius)

    def _measure(
        self, index: int, piece: Piece, length: float, radius: float, front: Front
    ) -> None:
        """Engaged angle at places spread evenly over the piece, its end among them.

        The end is where a corner's spike is: the moment before the tool turns away.
        """
        count = max(1, math.ceil(length / (_SAMPLE * radius)))
        t = (np.arange(count) + 1.0) / count
        if piece.radius:
            first = math.atan2(piece.y0 - piece.cy, piece.x0 - piece.cx)
            sense = 1.0 if piece.ccw else -1.0
            angle = first + sense * t * length / piece.radius
            x = piece.cx + piece.radius * np.cos(angle)
            y = piece.cy + piece.radius * np.sin(angle)
            heading = angle + sense * math.pi / 2
        else:
            x = piece.x0 + t * (piece.x1 - piece.x0)
            y = piece.y0 + t * (piece.y1 - piece.y0)
            heading = np.full(count, math.atan2(piece.y1 - piece.y0, piece.x1 - piece.x0))
        phi = front.engaged(x, y, heading, radius)
        self._rows.append((np.full(count, index), x, y, phi, np.full(count, length / count)))

    def _stock_field(self, stock: Region, solid: npt.NDArray[np.bool_]) -> F32:
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
