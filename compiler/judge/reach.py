"""Where a cutter's centre may be at a height, and so what it can clear. Polygons, for deciding.

A disc of radius r clears every point within r of a centre that it may take: the opening of the
free area by r. Flattened arcs enclose what stands to within `CHORD`, which is far below a raster's
pitch.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import shapely
from shapely import MultiPolygon, Polygon

from compiler.geometry import Arc, Outline, Region, Segment
from compiler.part.model import Part

CHORD = 0.002  # mm: greatest distance between an arc and its chords
_LEAST_AREA = 0.02  # mm2: smaller places are not named
_AIR = 4.0  # radii of air round the stock in which a cutter may run

Area = Polygon | MultiPolygon


def polygon(region: Region) -> Area:
    """The region with its arcs flattened, chords within `CHORD` of them."""
    rings = [shapely.Polygon(_ring(outline)) for outline in region.outlines]
    signed = list(zip(rings, [outline.area for outline in region.outlines], strict=True))
    solid = shapely.union_all([ring for ring, area in signed if area > 0])
    holes = shapely.union_all([ring for ring, area in signed if area < 0])
    return shapely.difference(solid, holes)  # type: ignore[return-value]


def _ring(outline: Outline) -> npt.NDArray[np.float64]:
    """(n, 2) corners."""
    return np.concatenate([_corners(segment) for segment in outline.segments])


def _corners(segment: Segment) -> npt.NDArray[np.float64]:
    """(n, 2): where a segment starts, and between the chords of an arc."""
    if not isinstance(segment, Arc):
        return np.array([segment.start])
    sweep, radius = segment.sweep, segment.radius
    step = 2 * math.acos(max(-1.0, 1 - CHORD / max(radius, CHORD)))
    count = max(2, math.ceil(abs(sweep) / step))
    angle = segment.start_angle + np.arange(count) / count * sweep
    x, y = segment.centre.x + radius * np.cos(angle), segment.centre.y + radius * np.sin(angle)
    x[0], y[0] = segment.start
    return np.stack([x, y], axis=1)


class Reach:
    """What stands above a height, and the places of cutters' centres among it."""

    def __init__(
        self, part: Part, height: float, tolerance: float = 1e-6, obstacles: bool = True
    ) -> None:
        regions = [s.region for s in part.standing if s.top > height + tolerance]
        kept_off = part.obstacles if obstacles else ()
        blocked = [o.region for o in kept_off if o.top > height + tolerance]
        self._stands = shapely.union_all([polygon(region) for region in regions])
        self._blocked = shapely.union_all([polygon(region) for region in blocked])
        self._bounds = part.stock.bounds
        self._stock = polygon(part.stock)

    def centres(self, radius: float, wall: float = 0.0) -> Area:
        """Where a cutter's centre may be, in the stock and some radii of air round it."""
        low_x, low_y, high_x, high_y = self._bounds
        air = _AIR * radius
        window = shapely.box(low_x - air, low_y - air, high_x + air, high_y + air)
        grown = shapely.buffer(self._stands, radius + wall, quad_segs=_segments(radius + wall))
        kept = shapely.buffer(self._blocked, radius, quad_segs=_segments(radius))
        return shapely.difference(window, shapely.union(grown, kept))  # type: ignore[return-value]

    def cleared(
        self, points: npt.NDArray[np.object_], radius: float, wall: float, slack: float
    ) -> npt.NDArray[np.bool_]:
        """Which points a cutter clears, each by at least `slack` mm."""
        centres = self.centres(radius, wall)
        if centres.is_empty:
            return np.zeros(points.size, dtype=bool)
        shapely.prepare(centres)
        return np.asarray(shapely.dwithin(centres, points, radius - slack))

    def out_of_reach(self, radius: float, wall: float) -> tuple[Polygon, ...]:
        """The places of the stock that a cutter of this radius can't clear, walls' allowance off.

        Exact to `CHORD`; threads thinner than ten chords are the flattening's own.
        """
        stands = shapely.buffer(self._stands, wall) if wall > 0 else self._stands
        free = shapely.difference(self._stock, stands)
        cleared = shapely.buffer(self.centres(radius, wall), radius, quad_segs=_segments(radius))
        rest = shapely.difference(free, cleared)
        opened = shapely.buffer(shapely.buffer(rest, -5 * CHORD), 5 * CHORD)
        return tuple(
            piece
            for piece in shapely.get_parts(opened)
            if isinstance(piece, Polygon) and piece.area > _LEAST_AREA
        )

    def from_wall(self, points: npt.NDArray[np.object_]) -> npt.NDArray[np.float64]:
        """Distance of points to what stands; infinite where nothing does."""
        if self._stands.is_empty:
            return np.full(points.size, math.inf)
        shapely.prepare(self._stands)
        return np.asarray(shapely.distance(self._stands, points))

    def largest(
        self, points: npt.NDArray[np.object_], below: float, smallest: float
    ) -> float | None:
        """The largest radius up to `below` that clears all points; None: not even `smallest`."""
        if not self._clears_all(points, smallest):
            return None
        low, high = smallest, below
        for _ in range(7):
            middle = (low + high) / 2
            if self._clears_all(points, middle):
                low = middle
            else:
                high = middle
        return low

    def _clears_all(self, points: npt.NDArray[np.object_], radius: float) -> bool:
        """In a window round the points: what is further off than two radii does not matter."""
        low_x, low_y, high_x, high_y = shapely.total_bounds(points)
        air = 3 * radius
        window = shapely.box(low_x - air, low_y - air, high_x + air, high_y + air)
        stands = shapely.intersection(self._stands, shapely.buffer(window, 2 * radius))
        blocked = shapely.intersection(self._blocked, shapely.buffer(window, 2 * radius))
        both = shapely.union(stands, blocked)
        grown = shapely.buffer(both, radius, quad_segs=_segments(radius))
        centres = shapely.difference(window, grown)
        if centres.is_empty:
            return False
        return bool(shapely.dwithin(centres, points, radius + 3 * CHORD).all())


def _segments(radius: float) -> int:
    """Segments of a quarter circle that stay within `CHORD` of it."""
    if radius <= CHORD:
        return 2
    return max(4, math.ceil(math.pi / 4 / math.acos(1 - CHORD / radius)))
