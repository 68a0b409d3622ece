"""Motions as columns of numbers, one entry each: for what looks at all of them at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from compiler.geometry import Point
from compiler.read.model import Motion

Floats = npt.NDArray[np.float64]
Flags = npt.NDArray[np.bool_]

_NOWHERE = Point(0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Columns:
    """As the fields of `Motion`: mm, rad, mm/min; `nan` where the text does not say."""

    ax: Floats  # where each starts
    ay: Floats
    az: Floats
    bx: Floats  # and ends
    by: Floats
    bz: Floats
    cx: Floats  # of an arc; else 0, and its radius too
    cy: Floats
    radius: Floats
    sweep: Floats
    ccw: Flags
    plan_length: Floats
    length: Floats
    feed: Floats
    rapid: Flags

    def __len__(self) -> int:
        return int(self.ax.size)

    def take(self, at: npt.NDArray[np.int64] | Flags) -> Columns:
        """Some of them."""
        return Columns(*(getattr(self, name)[at] for name in self.__slots__))

    @property
    def known(self) -> Flags:
        """Whether the text fixes both ends."""
        ends = self.ax + self.ay + self.az + self.bx + self.by + self.bz
        return np.asarray(~np.isnan(ends))

    @property
    def low(self) -> Floats:
        """The lower end's height; `nan` where an end's is not known."""
        return np.minimum(self.az, self.bz)

    @property
    def high(self) -> Floats:
        """The higher end's."""
        return np.maximum(self.az, self.bz)


def columns(motions: Sequence[Motion]) -> Columns:
    """The columns of some motions."""
    starts = [m.start for m in motions]
    ends = [m.end for m in motions]
    centres = [m.centre or _NOWHERE for m in motions]
    return Columns(
        ax=np.array([p.x for p in starts], dtype=np.float64),
        ay=np.array([p.y for p in starts], dtype=np.float64),
        az=np.array([p.z for p in starts], dtype=np.float64),
        bx=np.array([p.x for p in ends], dtype=np.float64),
        by=np.array([p.y for p in ends], dtype=np.float64),
        bz=np.array([p.z for p in ends], dtype=np.float64),
        cx=np.array([c.x for c in centres], dtype=np.float64),
        cy=np.array([c.y for c in centres], dtype=np.float64),
        radius=np.array([m.radius for m in motions], dtype=np.float64),
        sweep=np.array([m.sweep for m in motions], dtype=np.float64),
        ccw=np.array([m.ccw for m in motions], dtype=bool),
        plan_length=np.array([m.plan_length for m in motions], dtype=np.float64),
        length=np.array([m.length for m in motions], dtype=np.float64),
        feed=np.array([m.state.feed for m in motions], dtype=np.float64),
        rapid=np.array([m.kind == "rapid" for m in motions], dtype=bool),
    )
