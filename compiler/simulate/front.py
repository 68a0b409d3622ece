"""Where the cleared area ends at one height, finer than the raster: a field of signed distances.

A cell holds how far its centre lies outside everything swept at this height or below, negative
inside. Between centres the field is read bilinearly: a distance field is smooth, so a pitch h puts
the front within h^2 / (8 r) of its place (0.0003 mm at h 0.13 and r 6.35), where a bitmap would be
off by h / 2.

The engaged angle is the part of the rim's leading half that lies beyond the front. What the tool
itself swept within `LAG` radii of path behind it touches the rim everywhere and is kept out of
the field until the tool has moved on. Measured against exact coverage of the rim by discs: 0.2
degrees in the median, 1.1 at the most where contact just begins, loops tighter than the cutter
included.
"""

import math
from collections import deque
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.simulate.distance import F32
from compiler.simulate.raster import Grid

LAG = 0.3  # of the radius
RIM_STEP = math.radians(3)  # between the places of the rim that are read
RIM = np.linspace(-math.pi / 2, math.pi / 2, 61)  # rad from the direction of travel
_RIM = np.exp(1j * RIM)
_LEAST = 0.005  # mm beyond the front that counts as material
_BIG = np.float32(1e3)


class Front:
    """The field of one height. `field` starts as the signed distance to the stock's outline."""

    def __init__(self, grid: Grid, field: F32) -> None:
        self.grid = grid
        self.field = field
        self._waiting: deque[tuple[float, tuple[slice, slice], F32]] = deque()
        self._travelled = 0.0
        self._packed: npt.NDArray[np.float16] | None = None
        self.version = 0  # counts what was swept

    def pack(self) -> None:
        """Halves the memory of a resting front: near it, half precision errs by 1e-4 mm."""
        self._packed = self.field.astype(np.float16)
        self.field = np.zeros((0, 0), dtype=np.float32)

    def unpack(self) -> None:
        """Makes a resting front ready to be read."""
        if self._packed is not None:
            self.field = self._packed.astype(np.float32)
            self._packed = None

    def add(self, window: tuple[slice, slice], distance: F32, length: float, lag: float) -> None:
        """Sweeps a piece: takes effect once `lag` mm of path lie between it and the tool."""
        self._travelled += length
        self._waiting.append((self._travelled, window, distance))
        while self._waiting and self._waiting[0][0] <= self._travelled - lag:
            self._apply()

    def settle(self) -> None:
        """Everything swept so far takes effect: the tool has left its path."""
        while self._waiting:
            self._apply()

    def lower(self, other: "Front") -> None:
        """What was swept deeper is cleared here too."""
        swept = other.field if other._packed is None else other._packed.astype(np.float32)
        np.minimum(self.field, swept, out=self.field)
        self.version += 1

    def _apply(self) -> None:
        _, window, distance = self._waiting.popleft()
        part = self.field[window]
        np.minimum(part, distance, out=part)
        self.version += 1

    def rim(
        self,
        x: npt.NDArray[np.float64],
        y: npt.NDArray[np.float64],
        heading: npt.NDArray[np.float64],
        radius: float,
    ) -> "Rim":
        """Where a cutter's leading rim is at each place, moving in each direction.

        Places off the grid read as its border, which is air.
        """
        g = self.grid
        # in cells from the first centre, the rim turned into the direction of travel
        ahead = (radius / g.pitch) * np.exp(1j * heading)
        rim = ahead[:, None] * _RIM
        rim += (((x - g.x0) + 1j * (y - g.y0)) / g.pitch)[:, None]
        fx = np.minimum(np.maximum(rim.real, 0.0), g.nx - 1.001)
        fy = np.minimum(np.maximum(rim.imag, 0.0), g.ny - 1.001)
        row, column = fy.astype(np.intp), fx.astype(np.intp)
        fy -= row
        fx -= column
        row *= g.nx
        row += column
        corners = row[:, None, :] + np.array([0, 1, g.nx, g.nx + 1])[:, None]
        return Rim(corners, fx.astype(np.float32), fy.astype(np.float32))

    def read(self, at: npt.NDArray[np.intp], out: F32) -> None:
        """The field at cells, by their numbers in row order."""
        self.field.reshape(-1).take(at, out=out, mode="clip")


@dataclass(frozen=True, slots=True)
class Rim:
    """The leading rim at n places, each by the four cells round every point that is read.

    `at` (n, 4, points): the cells' numbers; `u`, `v` (n, points): how far from the first of them
    the point lies towards the next column and row.
    """

    at: npt.NDArray[np.intp]
    u: F32
    v: F32

    def take(self, some: npt.NDArray[np.int64]) -> "Rim":
        """Some of the places."""
        return Rim(self.at[some], self.u[some], self.v[some])

    def engaged(self, values: F32) -> npt.NDArray[np.float64]:
        """Engaged angle at each place, rad, from what the front read round it; bilinear."""
        low = values[:, 0] + self.u * (values[:, 1] - values[:, 0])
        high = values[:, 2] + self.u * (values[:, 3] - values[:, 2])
        high -= low
        high *= self.v
        high += low
        high -= np.float32(_LEAST)
        return _positive_share(high) * math.pi


def _positive_share(values: F32) -> npt.NDArray[np.float64]:
    """How much of each row is above zero, read as straight between its evenly spaced entries.

    Between a and b that is (max(a, 0) + max(b, 0)) / (|a| + |b|): 1 or 0 where they agree in sign.
    """
    above = np.maximum(values, np.float32(0))
    apart = np.abs(values)
    apart += np.float32(1e-12)
    share = above[:, :-1] + above[:, 1:]
    share /= apart[:, :-1] + apart[:, 1:]
    mean: npt.NDArray[np.float64] = share.mean(axis=1, dtype=np.float64)
    return mean
