"""What the loops of `sweeping` take and give: pieces, tools, facts, cells, and room to work in."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np
import numpy.typing as npt

F32 = npt.NDArray[np.float32]
Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]

RIM_STEP = math.radians(3)  # between the places of the rim that are read
FEW = 8  # so many distances are worked out at a time: a row's are rounded up to that

Records = npt.NDArray[np.void]
Record = Any  # one of them: its fields are read by name

# Stretches of path in the order they are gone, one record each; straight where `radius` is 0. An
# arc turns at most half a turn. Of a piece that goes `onward` from where another has just ended
# the start does not count: what is nearest to it was the other's.
PIECE = np.dtype(
    [
        ("x0", "f8"),
        ("y0", "f8"),
        ("x1", "f8"),
        ("y1", "f8"),
        ("ux", "f8"),  # direction from start to end; (1, 0) of a point
        ("uy", "f8"),
        ("chord", "f8"),  # mm from start to end
        ("low_x", "f8"),  # its bounds
        ("low_y", "f8"),
        ("high_x", "f8"),
        ("high_y", "f8"),
        ("cx", "f8"),
        ("cy", "f8"),
        ("radius", "f8"),
        ("sense", "f8"),  # of an arc: 1 counter-clockwise, -1 clockwise
        ("z0", "f8"),  # of the tip at start and end: the same but on slopes of flat cutters
        ("z1", "f8"),
        ("length", "f8"),  # along the path
        ("before", "f8"),  # the length of all measured pieces before it
        ("motion", "i8"),
        ("tool", "i8"),
        ("first", "?"),  # of its motion
        ("onward", "?"),
        ("settled", "?"),  # the tool left its path before it: all it swept counts
        ("sweeps", "?"),  # False: a place that a slope came down to, for the fronts alone
        ("cuts", "?"),  # False of a rapid
        ("measured", "?"),  # whether engagement is
    ],
    align=True,
)

# The ends of tools as `Profile` has them, and their two bands as `Band`, mm.
TOOL = np.dtype(
    [
        ("radius", "f8"),
        ("flat", "f8"),
        ("corner", "f8"),
        ("slope", "f8"),
        ("reach", "f8"),  # from the path to which fronts are opened
        ("deep", "f8"),  # how far behind a front, negative, only that it is cleared is asked
        ("shank_above", "f8"),  # above the tip; infinite where there is none
        ("shank_radius", "f8"),
        ("holder_above", "f8"),
        ("holder_radius", "f8"),
    ],
    align=True,
)

# As `MotionFacts`; and how deep shank (0) or holder (1) met the stock, and which it was.
FACT = np.dtype(
    [
        ("removed", "f8"),
        ("depth", "f8"),
        ("touched", "?"),
        ("touch_x", "f8"),
        ("touch_y", "f8"),
        ("thickest", "f8"),
        ("contact", "f8"),
        ("band", "i8"),
    ],
    align=True,
)


class Cells(NamedTuple):
    """Where the cells are."""

    x0: float
    y0: float
    pitch: float
    wide: int
    tall: int


class Ground(NamedTuple):
    """What is cut: (ny, nx) cells, `heights` changed in place."""

    heights: F32
    bottoms: F32
    cells: Cells
    top: float
    underside: float  # no material ends higher: a cut above it comes out nowhere


class Row(NamedTuple):
    """Room for what is worked out along one row of cells."""

    xs: Floats  # of the columns, and some beyond
    found: Floats
    rings: Floats
    front: F32


class Rim(NamedTuple):
    """Room for what is worked out at the places of the rim."""

    u: Floats
    v: Floats
    value: Floats
    share: Floats


class Samples(NamedTuple):
    """Engaged angle at places along measured pieces.

    `begin` is where each piece's places are, with one more for the end.
    """

    begin: Ints
    x: Floats
    y: Floats
    angle: Floats  # nan where no material was met


def row_of(cells: Cells) -> Row:
    """Room for a row."""
    size = cells.wide + FEW
    xs = cells.x0 + cells.pitch * np.arange(size, dtype=np.float64)
    return Row(xs, np.empty(size), np.empty(size), np.empty(size, dtype=np.float32))


def rim_of(places: int) -> Rim:
    """Room for so many places of the rim."""
    return Rim(np.empty(places), np.empty(places), np.empty(places), np.empty(places))
