"""What a corner radius leaves at the foot of walls: a fillet, which is the cutter's own form.

A cutter of corner radius rc that runs along a wall to the floor leaves, at a distance d < rc from
the wall, material up to  rc - sqrt(rc^2 - (rc - d)^2)  above the floor (plane geometry). Nothing
that cutter does can take it; a sharp-cornered one would.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import numpy.typing as npt

from compiler.judge.model import Leftover
from compiler.simulate.raster import Grid

SLACK = 0.01  # mm above the form


def form(corner: float, distance: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Height of the fillet above the floor at distances from the wall, mm."""
    inside = np.clip(corner - distance, 0.0, corner)
    return np.asarray(corner - np.sqrt(corner**2 - inside**2))


def is_fillet(
    corner: float,
    distance: npt.NDArray[np.float64],
    excess: npt.NDArray[np.float32],
    pitch: float,
) -> npt.NDArray[np.bool_]:
    """Which cells lie within the fillet: not higher than its form a pitch nearer to the wall.

    `distance` mm to the wall and `excess` mm above the floor, for the cells' centres.
    """
    nearer = np.maximum(distance - pitch, 0.0)
    return np.asarray((nearer < corner) & (excess <= form(corner, nearer) + SLACK))


def as_leftover(
    corner: float,
    x: npt.NDArray[np.floating[Any]],
    y: npt.NDArray[np.floating[Any]],
    excess: npt.NDArray[np.float32],
    grid: Grid,
) -> Leftover:
    """All cells of the fillets of one height as one place, told by its highest."""
    top = int(np.argmax(excess))
    return Leftover(
        x_mm=round(float(x[top]), 3) + 0.0,
        y_mm=round(float(y[top]), 3) + 0.0,
        area_mm2=round(x.size * grid.pitch**2, 3),
        depth_mm=round(min(float(excess[top]), corner), 3),
        fillet_radius_mm=round(corner, 4),
    )
