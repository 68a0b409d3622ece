"""What stays beyond what was asked: the raster against the part, told apart by who can reach it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from compiler.judge import fillets
from compiler.judge.case import Case
from compiler.judge.model import Leftover
from compiler.judge.reach import Reach, polygon
from compiler.part.model import Blocked
from compiler.simulate.left import what_is_left
from compiler.simulate.raster import AIR, F32, inside, within

CLEARING = frozenset({"face", "rough", "rest", "finish_floor", "finish_walls"})
LEAST_CELLS = 4  # smaller places are the raster's own grain
SAME = 1e-6  # mm
FLOOR_SLACK = 0.01  # mm above what was asked
_LISTED = 40  # places for which the reaching cutter is worked out, the largest ones
_SMALLEST = 0.25  # mm radius: no smaller cutter is proposed

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Asked:
    """One height that was to be cleared down to: where, by the smallest radius, and allowances."""

    height: float
    radius: float
    floor: float  # allowance on the floor, mm
    wall: float  # allowance on walls, mm
    corner: float  # radius of the corners of what runs along the walls last, mm


@dataclass(frozen=True, slots=True)
class Remains:
    """What stays: places no tool used can reach, and places that one could have cleared."""

    unreachable: tuple[Leftover, ...]
    reachable: tuple[Leftover, ...]


def remains(case: Case) -> Remains | None:
    """All places left, largest first; None where no pass clears anything."""
    floors = _asked(case)
    if not floors:
        return None
    targets = _targets(case, [a.height for a in floors])
    unreachable: list[Leftover] = []
    reachable: list[Leftover] = []
    for level, asked in enumerate(floors):
        here = targets == level
        out_of_reach, in_reach = _at_height(case, asked, here)
        unreachable += out_of_reach
        reachable += in_reach

    def size(place: Leftover) -> tuple[float, float, float]:
        return (-place.area_mm2, place.x_mm, place.y_mm)

    return Remains(tuple(sorted(unreachable, key=size)), tuple(sorted(reachable, key=size)))


def _asked(case: Case) -> tuple[Asked, ...]:
    """The floor and each terrace's top, with the smallest cutter that was sent there.

    By the job's own passes; allowances as the plan promises them, the least of any pass there.
    """
    clearing = [op for op in case.plan.operations if op.kind in CLEARING and op.levels]
    if not clearing:
        return ()
    tos = [p.to for p in case.job.passes if p.kind in CLEARING and p.to is not None]
    floor = max(min(tos), case.part.lowest_cut) if tos else case.part.lowest_cut
    heights = [floor]
    heights += [z for z in case.part.tops() if z > floor + FLOOR_SLACK]
    found = []
    for height in sorted(set(heights)):
        there = [
            op
            for op in clearing
            if min(lv.bottom_mm for lv in op.levels) <= height + op.floor_allowance_mm + FLOOR_SLACK
        ]
        if not there:
            continue
        radius = min(case.job.tool(op.tool).radius for op in there)
        floors = [op.floor_allowance_mm for op in there if op.kind != "finish_walls"]
        # a finishing pass along some walls only says nothing of the others
        along_all = [op for op in there if op.kind != "finish_floor" and op.regions is None]
        walls = [op.wall_allowance_mm for op in along_all]
        wall = min(walls, default=math.inf)
        nearest = [op for op in along_all if op.wall_allowance_mm <= wall + SAME]
        corner = min((case.job.tool(op.tool).corner_radius for op in nearest), default=0.0)
        found.append(Asked(height, radius, min(floors, default=0.0), wall, corner))
    return tuple(found)


def _targets(case: Case, heights: list[float]) -> npt.NDArray[np.int16]:
    """For each cell which of the heights it was to be cleared to; -1: none (it stands, or air)."""
    grid = case.cut.grid
    stock = inside(case.part.stock, grid)
    level = np.where(stock, np.int16(0), np.int16(-1))
    for standing in sorted(case.part.standing, key=lambda s: s.top):
        window, here = within(standing.region, grid)
        here &= stock[window]
        match = [k for k, z in enumerate(heights) if abs(z - standing.top) < 1e-6]
        # a region lower than the floor is cleared with it
        if standing.top <= heights[0] + 1e-6:
            continue
        level[window][here] = (
            match[0] if match and standing.top < case.part.stock_top - 1e-9 else -1
        )
    return level


def _at_height(case: Case, asked: Asked, here: Flags) -> tuple[list[Leftover], list[Leftover]]:
    """Places above one height, by whether the smallest cutter reaches them."""
    heights = case.cut.heights
    floor_own = {s.top: s.floor_allowance for s in case.part.standing if s.floor_allowance}
    allowance = max(asked.floor, floor_own.get(asked.height, 0.0))
    excess = heights - np.float32(asked.height + allowance)
    high = here & (heights > AIR / 2) & (excess > FLOOR_SLACK)
    if not high.any():
        return [], []
    reach = Reach(case.part, asked.height)
    region_walls = [s.wall_allowance for s in case.part.standing if s.wall_allowance]
    wall = max([asked.wall if math.isfinite(asked.wall) else 0.0, *region_walls])
    high, feet = _less_fillets(case, asked, reach, wall, high, excess)
    return (
        feet + _unreachable(case, asked, reach, wall, high, excess),
        _reachable(case, asked, reach, wall, high, excess),
    )


def _places(cells: Flags) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.int64]]:
    """Rows and columns of the cells that are set: few of very many."""
    rows, columns = np.divmod(np.flatnonzero(cells), cells.shape[1])
    return rows, columns


def _less_fillets(
    case: Case, asked: Asked, reach: Reach, wall: float, high: Flags, excess: F32
) -> tuple[Flags, list[Leftover]]:
    """What stands high but for the fillets at the foot of walls, and those as a place left."""
    if asked.corner <= 0:
        return high, []
    grid = case.cut.grid
    rows, columns = _places(high)
    x, y = grid.x0 + grid.pitch * columns, grid.y0 + grid.pitch * rows
    distance = reach.from_wall(np.asarray(shapely.points(x, y))) - wall
    depth = excess[rows, columns]
    fillet = fillets.is_fillet(asked.corner, distance, depth, grid.pitch)
    if not fillet.any():
        return high, []
    left = high.copy()
    left[rows[fillet], columns[fillet]] = False
    place = fillets.as_leftover(asked.corner, x[fillet], y[fillet], depth[fillet], grid)
    return left, [place]


def _unreachable(
    case: Case,
    asked: Asked,
    reach: Reach,
    wall: float,
    high: Flags,
    excess: F32,
) -> list[Leftover]:
    """By the shapes: each place that no centre of the cutter reaches, and that does stand high."""
    grid = case.cut.grid
    rows, columns = _places(high)
    x, y = grid.x0 + grid.pitch * columns, grid.y0 + grid.pitch * rows
    points = np.asarray(shapely.points(x, y))
    found = []
    obstacles = [o for o in case.part.obstacles if o.top > asked.height + SAME]
    narrow = shapely.union_all([])  # what no cutter reaches, without any obstacle
    if obstacles:
        unblocked = Reach(case.part, asked.height, obstacles=False)
        narrow = shapely.union_all(unblocked.out_of_reach(asked.radius, wall))
    for rank, piece in enumerate(
        sorted(reach.out_of_reach(asked.radius, wall), key=lambda p: (-p.area, p.bounds))
    ):
        low_x, low_y, high_x, high_y = piece.bounds
        pitch = grid.pitch
        near = np.flatnonzero(
            (x >= low_x - pitch)
            & (x <= high_x + pitch)
            & (y >= low_y - pitch)
            & (y <= high_y + pitch)
        )
        near = near[shapely.dwithin(points[near], piece, 0.75 * pitch)]
        if not near.size:
            continue
        depths = excess[rows[near], columns[near]]
        top = near[int(np.argmax(depths))]
        inside_it = np.asarray(shapely.points(shapely.get_coordinates(piece)))
        found.append(
            Leftover(
                x_mm=round(float(x[top]), 3) + 0.0,
                y_mm=round(float(y[top]), 3) + 0.0,
                area_mm2=round(piece.area, 3),
                depth_mm=round(float(depths.max()), 3),
                reaching_diameter_mm=_reaching(reach, inside_it, asked.radius, rank),
                obstacle=_in_the_way(piece, obstacles, narrow),
            )
        )
    return found


def _in_the_way(piece: Polygon, obstacles: Sequence[Blocked], narrow: BaseGeometry) -> str:
    """The obstacle nearest to a place, where most of it would be reached without any."""
    if not obstacles or shapely.intersection(piece, narrow).area > piece.area / 2:
        return ""
    return min(obstacles, key=lambda o: (shapely.distance(piece, polygon(o.region)), o.name)).name


def _reachable(
    case: Case, asked: Asked, reach: Reach, wall: float, high: Flags, excess: F32
) -> list[Leftover]:
    """By the raster: what stands high though the cutter could have been there."""
    grid = case.cut.grid
    rows, columns = _places(high)
    points = np.asarray(shapely.points(grid.x0 + grid.pitch * columns, grid.y0 + grid.pitch * rows))
    # cells beside a wall go by their centres: within a pitch of it they are not told apart
    off = reach.from_wall(points) > wall + grid.pitch
    rows, columns, points = rows[off], columns[off], points[off]
    if not rows.size:
        return []
    can = reach.cleared(points, asked.radius, wall, slack=1.5 * grid.pitch)
    mask = np.zeros_like(high)
    mask[rows[can], columns[can]] = True
    return [
        Leftover(
            x_mm=round(place.x, 3) + 0.0,
            y_mm=round(place.y, 3) + 0.0,
            area_mm2=round(place.area, 3),
            depth_mm=round(place.depth, 3),
            reaching_diameter_mm=round(2 * asked.radius, 3),
        )
        for place in what_is_left(mask, excess, grid)
        if place.rows.size >= LEAST_CELLS
    ]


def _reaching(
    reach: Reach, corners: npt.NDArray[np.object_], radius: float, rank: int
) -> float | None:
    """Diameter of the largest cutter that clears a place's whole outline, for the larger places."""
    if rank >= _LISTED:
        return None
    found = reach.largest(corners, below=radius, smallest=_SMALLEST)
    return None if found is None else round(2 * found, 2)
