"""A path ready to be cut: lines and arcs, and what is needed to reckon with them."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely import LineString

from compiler.geometry import Arc, Segment
from compiler.paths.constant_engagement.cutter import Cutter

Points = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Course:
    """Lines and arcs, the same as a fine polyline, and places along it with their headings."""

    segments: tuple[Segment, ...]
    line: LineString
    places: Points
    headings: Points
    owner: NDArray[np.int64]  # the segment that each place lies on

    @staticmethod
    def of(segments: tuple[Segment, ...], cutter: Cutter, size: float) -> Course:
        """Work polyline and places out of the segments; `size` as the radius of its loops."""
        corners: list[Points] = []
        places: list[Points] = []
        headings: list[Points] = []
        spacing = min(0.15 * cutter.radius, size / 2)
        for segment in segments:
            count = max(1, math.ceil(segment.length / spacing))
            where, heading = along(segment, (np.arange(count) + 0.5) / count)
            places.append(where)
            headings.append(heading)
            chords = _chords(segment, 2 * cutter.tolerance)
            corners.append(along(segment, np.arange(chords) / chords)[0])
        corners.append(np.array([segments[-1].end]))
        return Course(
            segments,
            LineString(np.vstack(corners)),
            np.vstack(places),
            np.vstack(headings),
            np.repeat(np.arange(len(segments)), [len(where) for where in places]),
        )


def along(segment: Segment, share: Points) -> tuple[Points, Points]:
    """Places and unit headings at shares (0..1) of a segment's length."""
    if isinstance(segment, Arc):
        sweep, radius = segment.sweep, segment.radius
        angle = segment.start_angle + share * sweep
        outward = np.column_stack([np.cos(angle), np.sin(angle)])
        turn = 1.0 if sweep > 0 else -1.0
        heading = np.column_stack([-outward[:, 1], outward[:, 0]]) * turn
        return np.array(segment.centre) + radius * outward, heading
    start, end = np.array(segment.start), np.array(segment.end)
    way = (end - start) / max(segment.length, 1e-12)
    return start + share[:, None] * (end - start), np.tile(way, (len(share), 1))


def _chords(segment: Segment, tolerance: float) -> int:
    """Chords to take an arc for, none farther from it than the tolerance."""
    if not isinstance(segment, Arc):
        return 1
    half = math.acos(max(1 - tolerance / segment.radius, 0.0))
    return max(1, math.ceil(abs(segment.sweep) / 2 / max(half, 1e-6)))
