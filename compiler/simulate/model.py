"""What cutting on the stock shows. Millimetres, radians; arrays run over the motions in order."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.simulate.raster import Grid
from compiler.simulate.records import Records
from compiler.simulate.records import Samples as Places

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class MotionFacts:
    """One entry for each motion.

    removed: mm3. depth: the greatest height of material cut above the tip, mm; 0 in air.
    touched: whether the tool met material, a rapid included. Material within a pitch of the rim is
    not counted as met by a fed move, so that a wall cut to size does not read as contact; for a
    rapid only the outermost 0.02 mm are not.
    touch_x, touch_y: where, `nan` if nowhere.
    thickest: of a level fed move, the greatest share of the feed per tooth that a tooth took as its
    chip: the cosine between the direction of travel and the rim where it met material that stood
    at least a pitch inside. 1 on slopes.
    """

    removed: Floats
    depth: Floats
    touched: Flags
    touch_x: Floats
    touch_y: Floats
    thickest: Floats


@dataclass(frozen=True, slots=True)
class Samples:
    """Engaged angle along level cutting moves of cylindrical cutters: one entry for each place."""

    motion: Ints  # index into the motions
    x: Floats
    y: Floats
    angle: Floats  # rad, 0 in air, pi in a full slot
    length: Floats  # of path that the sample stands for, mm


@dataclass(frozen=True, slots=True)
class Blank:
    """What a program begins with: in each cell material from `bottoms` up to `heights`, mm.

    Arrays are (ny, nx). AIR in `heights` where there is no stock. One stretch of material in each
    cell is enough for all that can be cut from two opposite sides.
    """

    grid: Grid
    heights: npt.NDArray[np.float32]
    bottoms: npt.NDArray[np.float32]


@dataclass(frozen=True, slots=True)
class Begun:
    """What a program had cut by the first motions: of use to another that begins with the same.

    Records are as in `simulate.records`, and run over its pieces and its motions.
    """

    pieces: Records
    met: Flags
    heights: npt.NDArray[np.float32]
    facts: Records
    places: Places
    outline: npt.NDArray[np.float32]  # distance to the stock's outline


@dataclass(frozen=True, slots=True)
class Cut:
    """The stock after the last motion, and what each motion did."""

    grid: Grid
    heights: npt.NDArray[np.float32]  # (ny, nx); AIR where there is no stock
    bottoms: npt.NDArray[np.float32]  # (ny, nx); where the material of a cell ends below
    facts: MotionFacts
    samples: Samples
    band_contacts: Mapping[int, tuple[str, float]]  # motion to shank or holder, and how deep, mm
    begun: Begun | None = None  # where it was asked for

    @property
    def removed(self) -> float:
        """All of it, mm3."""
        return float(self.facts.removed.sum())
