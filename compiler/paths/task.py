"""One level of one operation, as a strategy sees it: sets of tool-centre positions.

`centres` and `cleared` are polygons for deciding, with a chord error of at most `tolerance`, on the
safe side (inside the exact sets). `allowed` is the exact set behind `centres`, lines and arcs.
"""

from dataclasses import dataclass
from typing import Literal

from shapely import MultiPolygon, Polygon

from compiler.geometry import EMPTY, Region

Area = Polygon | MultiPolygon


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """What a strategy weighs ways by. Rates mm/min, acceleration mm/s2.

    Attributes:
        cut: Feed of the normal cut.
        link: Feed at depth through cleared area.
        acceleration: The machine's.
        lift: Seconds to go up to clearance and down again, without the way across.
    """

    cut: float = 1000.0
    link: float = 3000.0
    acceleration: float = 500.0
    lift: float = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """What a clearing strategy is given. Lengths mm, angles rad.

    Attributes:
        radius: The tool's.
        forbidden: Exact region that the tool's centre must stay out of (closed; its edge is
            allowed): regions standing here grown by radius and allowance, and obstacles.
        centres: Where the centre may be, cut to a window that reaches several radii into the air
            round the stock.
        material: What is present at this level before the operation.
        cleared: Centres that touch no material, inside `centres`. Any path inside is a safe link.
            Worked out for constant engagement only, empty for the other patterns.
        work: Centres still to be visited: `centres` less `cleared`, cut to where it matters.
        step: Radial depth wanted.
        engagement: Limit of the engaged angle, where the pattern promises one.
        direction: Climb: material on the right of travel (right-hand cutter, clockwise spindle).
        angle: Of the rows, where the author gave one.
        helix_radius: Of the centre's path in an entry helix, where the author gave one.
        least_helix: The smallest such radius that this cutter's end allows.
        centre_cutting: Whether the cutter's end cuts to its middle, so that it may ramp.
        slot_factor: Part of the normal feed that a slot bears.
        borne: Part of the normal feed that is borne at engaged angles from 0 to 180 degrees in
            even steps; empty where every angle up to a slot bears all of it.
        pace: For choosing what takes the least time.
        tolerance: Chord error of polygons, and the most a fitted curve may leave its polyline.
        passable: Centres that may be used on the way, to the exact outlines (`sets.passable`);
            None where they are not worked out yet.
        open_region: What is cleared where no wall stands beside it, exact: terraces, or the blank
            where nothing stands at all; empty elsewhere.
    """

    radius: float
    forbidden: Region
    centres: Area
    material: Area
    cleared: Area
    work: Area
    step: float
    engagement: float | None
    direction: Literal["climb", "conventional", "both"]
    angle: float | None = None
    helix_radius: float | None = None
    least_helix: float = 0.0
    centre_cutting: bool = True
    slot_factor: float = 0.5
    borne: tuple[float, ...] = ()
    pace: Pace = Pace()
    tolerance: float = 0.005
    passable: Area | None = None
    open_region: Region = EMPTY
