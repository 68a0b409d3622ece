"""The fronts of all heights of a program: one is read at a time, the others rest, packed.

What was swept deeper is cleared above it too; it is brought in when a height is taken up. Ends of
ramps and plunges are kept as single discs, so that a helix does not open a field at each turn.
"""

import numpy as np

from compiler.simulate.distance import F32
from compiler.simulate.field import edge_field
from compiler.simulate.front import Front
from compiler.simulate.raster import Grid

Window = tuple[slice, slice]


class Fronts:
    """Fronts by height. `outline` is the signed distance to the stock's outline, mm.

    `skin` mm: what was swept no higher than that above a height counts as swept at it. `tops`:
    what the stock was cut down to before the program begins, where it is no fresh block.
    """

    def __init__(self, grid: Grid, outline: F32, skin: float, tops: F32 | None = None) -> None:
        self._grid = grid
        self._outline = outline
        self._tops = tops
        self._skin = skin + 1e-6
        self._by_height: dict[float, Front] = {}
        self._height: float | None = None
        self._discs: list[tuple[float, Window, F32]] = []
        self._discs_seen: dict[float, int] = {}
        self._versions_seen: dict[tuple[float, float], int] = {}

    def at(self, z: float) -> Front:
        """The front at a height, with all that counts there brought in."""
        height = round(z, 4)
        if height != self._height:
            self.settle()
            if self._height is not None:
                self._by_height[self._height].pack()
            if height not in self._by_height:
                self._by_height[height] = Front(self._grid, self._begins(height))
            self._height = height
            front = self._by_height[height]
            front.unpack()
            for other_height, other in self._by_height.items():
                self._bring_in(height, front, other_height, other)
        front = self._by_height[height]
        seen = self._discs_seen.get(height, 0)
        for disc_height, window, distance in self._discs[seen:]:
            if disc_height <= height + self._skin:
                part = front.field[window]
                np.minimum(part, distance, out=part)
        self._discs_seen[height] = len(self._discs)
        return front

    def _begins(self, height: float) -> F32:
        """The front at a height before anything was cut by this program."""
        if self._tops is None:
            return self._outline.copy()
        there = self._tops > np.float32(height + self._skin)
        return np.minimum(self._outline, edge_field(there, self._grid.pitch))

    def arrive(self, z: float, window: Window, distance: F32) -> None:
        """The end of a slope or plunge: a disc cleared at the height it reached."""
        self._discs.append((round(z, 4), window, distance))

    def settle(self) -> None:
        """The tool has left its path: all that it swept takes effect."""
        if self._height is not None:
            self._by_height[self._height].settle()

    def _bring_in(self, height: float, front: Front, other_height: float, other: Front) -> None:
        """What was swept at another height since it was last brought in, if that is deep enough."""
        if other is front or other_height > height + self._skin:
            return
        pair = (height, other_height)
        if self._versions_seen.get(pair) != other.version:
            self._versions_seen[pair] = other.version
            front.lower(other)
