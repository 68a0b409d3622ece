"""Chains of segments: open ones, closed ones, and the regions that closed ones bound."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from compiler.geometry.point import Point
from compiler.geometry.segment import Arc, Segment


@dataclass(frozen=True, slots=True)
class Chain:
    """An open run of segments, each starting exactly where the one before ends."""

    segments: tuple[Segment, ...]

    @property
    def start(self) -> Point:
        """Where it begins."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """Where it ends."""
        return self.segments[-1].end

    @property
    def length(self) -> float:
        """Along the segments, mm."""
        return sum(segment.length for segment in self.segments)

    def reversed(self) -> Chain:
        """The same chain, walked the other way."""
        return Chain(tuple(segment.reversed() for segment in reversed(self.segments)))


@dataclass(frozen=True, slots=True)
class Outline:
    """A closed run of segments that does not cross itself; the last ends where the first starts."""

    segments: tuple[Segment, ...]

    @property
    def length(self) -> float:
        """Along the segments, mm."""
        return sum(segment.length for segment in self.segments)

    @property
    def area(self) -> float:
        """Enclosed area, mm2: positive where walked counter-clockwise. Exact, arcs included."""
        total = 0.0
        for s in self.segments:
            total += s.start.cross(s.end) / 2
            if isinstance(s, Arc):
                sweep = s.sweep
                # circle segment between chord and arc, signed by the sense of turning
                chord = s.start.minus(s.centre).cross(s.end.minus(s.centre))
                total += (s.radius**2 * sweep - chord) / 2
        return total

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """min x, min y, max x, max y."""
        boxes = [s.bounds for s in self.segments]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    def reversed(self) -> Outline:
        """The same outline, walked the other way."""
        return Outline(tuple(segment.reversed() for segment in reversed(self.segments)))


@dataclass(frozen=True, slots=True)
class Region:
    """An area bounded by outlines that neither cross nor touch along a length.

    Its inside lies to the left of every outline: outer ones run counter-clockwise, holes clockwise.
    May be several separate pieces, and empty.
    """

    outlines: tuple[Outline, ...]

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing in it."""
        return not self.outlines

    @property
    def area(self) -> float:
        """mm2, holes taken off."""
        return sum(outline.area for outline in self.outlines)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """min x, min y, max x, max y. Raises ValueError where empty."""
        boxes = [outline.bounds for outline in self.outlines]
        return (
            min(b[0] for b in boxes),
            min(b[1] for b in boxes),
            max(b[2] for b in boxes),
            max(b[3] for b in boxes),
        )

    def segments(self) -> Iterator[Segment]:
        """All segments of all outlines."""
        for outline in self.outlines:
            yield from outline.segments


EMPTY = Region(())
