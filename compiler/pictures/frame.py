"""From work coordinates to paper: a scale, and where the work's lower left corner lies."""

from collections.abc import Iterable
from dataclasses import dataclass

from compiler.geometry import EMPTY, Arc, Line, Outline, Point, Region, Segment
from compiler.geometry.build import rectangle
from compiler.geometry.combine import intersection
from compiler.geometry.errors import GeometryError

Box = tuple[float, float, float, float]

# ISO 5455: full size, enlargements and reductions by 2, 5, 10 and their tens (from memory).
SCALES: tuple[tuple[str, float], ...] = (
    *((f"{n}:1", float(n)) for n in (50, 20, 10, 5, 2)),
    ("1:1", 1.0),
    *((f"1:{n}", 1 / n) for n in (2, 5, 10, 20, 50, 100, 200, 500, 1000, 2000, 5000, 10000)),
)


@dataclass(frozen=True, slots=True)
class Frame:
    """A scale with its name, and the work coordinates of the paper's corner."""

    name: str
    scale: float
    corner: Point

    def point(self, p: Point) -> Point:
        """A place on paper."""
        return p.minus(self.corner).times(self.scale)

    def segment(self, s: Segment) -> Segment:
        """A line or arc on paper."""
        if isinstance(s, Line):
            return Line(self.point(s.start), self.point(s.end))
        return Arc(self.point(s.start), self.point(s.end), self.point(s.centre), s.ccw)

    def region(self, region: Region) -> Region:
        """A region on paper."""
        return Region(
            tuple(Outline(tuple(self.segment(s) for s in o.segments)) for o in region.outlines)
        )


def scale_for(width: float, height: float, room: Point) -> tuple[str, float]:
    """The largest scale of ISO 5455 at which width and height (mm) fit the room on paper (mm)."""
    for name, scale in SCALES:
        if width * scale <= room.x and height * scale <= room.y:
            return name, scale
    return SCALES[-1]


def joined(boxes: Iterable[Box]) -> Box:
    """The box around all boxes."""
    low_x, low_y, high_x, high_y = zip(*boxes, strict=True)
    return min(low_x), min(low_y), max(high_x), max(high_y)


def shown(region: Region, limit: Region) -> Region:
    """What of a region is drawn: its part inside the limit. A drawing never fails over it."""
    try:
        return intersection(region, limit)
    except GeometryError:
        return region


def box_region(box: Box) -> Region:
    """A box as a region; empty where it has no area."""
    if box[0] >= box[2] or box[1] >= box[3]:
        return EMPTY
    return Region((rectangle(Point(box[0], box[1]), Point(box[2], box[3])),))
