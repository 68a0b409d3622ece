"""Loops inside loops, and loops that get in each other's way."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from compiler.drawing.crowd import pairs_of
from compiler.drawing.model import Loop
from compiler.geometry import Line, Point, Region
from compiler.geometry import region as regions
from compiler.geometry.distance import point_distance
from compiler.geometry.errors import GeometryError
from compiler.geometry.inside import InsideTest
from compiler.geometry.intersect import meetings
from compiler.geometry.segment import Segment
from compiler.geometry.tolerance import TOUCH
from compiler.geometry.trace import in_order


@dataclass(frozen=True, slots=True)
class Nesting:
    """Which loops lie within which, by index.

    Attributes:
        around: For each loop the loops that contain it, smallest first.
    """

    around: tuple[tuple[int, ...], ...]

    def within(self, index: int) -> list[int]:
        """The loops directly inside a loop."""
        return [i for i, outer in enumerate(self.around) if outer[:1] == (index,)]

    def depth(self, index: int) -> int:
        """How many loops contain a loop: an even number makes it an outline, an odd one a hole."""
        return len(self.around[index])


def nest(loops: Sequence[Loop]) -> Nesting:
    """Who lies within whom, decided by one point of each loop. Loops must not cross."""
    boxes = [loop.outline.bounds for loop in loops]
    areas = [abs(loop.outline.area) for loop in loops]
    tests: dict[int, InsideTest] = {}
    around: list[list[int]] = [[] for _ in loops]
    for i, j in pairs_of(boxes, 0.0):
        inner, outer = (i, j) if areas[i] < areas[j] else (j, i)
        a, b = boxes[inner], boxes[outer]
        if not (b[0] <= a[0] and b[1] <= a[1] and a[2] <= b[2] and a[3] <= b[3]):
            continue
        if outer not in tests:
            tests[outer] = InsideTest(loops[outer].outline.segments)
        if tests[outer].contains(loops[inner].outline.segments[0].at(0.43)):
            around[inner].append(outer)
    return Nesting(tuple(tuple(sorted(a, key=lambda k: (areas[k], k))) for a in around))


@dataclass(frozen=True, slots=True)
class Clash:
    """Two loops (or one with itself) that cross or run along each other."""

    first: int
    second: int
    at: Point
    what: str


def clashes(loops: Sequence[Loop]) -> list[Clash]:
    """Where loops cross. Loops that merely touch at a point are well.

    Only loops that come near each other at all are looked at closely.
    """
    found = []
    for group in _in_contact(loops):
        try:
            regions.make([loops[i].outline for i in group])
        except GeometryError as error:
            one = group[error.index] if error.index is not None else group[0]
            at = error.place or loops[one].outline.segments[0].start
            other = _nearest_other(loops, group, one, at)
            found.append(Clash(min(one, other), max(one, other), at, error.message))
    return found


def _in_contact(loops: Sequence[Loop]) -> list[list[int]]:
    """Groups of loops connected by contact, alone where a loop may meet itself."""
    segments: list[tuple[int, int, Segment]] = [
        (i, k, s) for i, loop in enumerate(loops) for k, s in enumerate(loop.outline.segments)
    ]
    sizes = [len(loop.outline.segments) for loop in loops]
    parent: dict[int, int] = {}

    def root(i: int) -> int:
        while parent.setdefault(i, i) != i:
            i = parent[i]
        return i

    for a, b in pairs_of([s.bounds for _, _, s in segments], TOUCH):
        (i, k, first), (j, m, second) = segments[a], segments[b]
        if i == j and ((k + 1) % sizes[i] == m or (m + 1) % sizes[i] == k):
            if isinstance(first, Line) and isinstance(second, Line):
                continue
            if len(meetings(first, second)) < 2:
                continue
        elif _clear(first, second) or not meetings(first, second):
            continue
        parent[max(root(i), root(j))] = min(root(i), root(j))
    groups: dict[int, list[int]] = {}
    for i in sorted(parent):
        groups.setdefault(root(i), []).append(i)
    return list(groups.values())


def _clear(a: Segment, b: Segment) -> bool:
    """Whether two lines surely do not meet: both ends of one well on one side of the other."""
    if not (isinstance(a, Line) and isinstance(b, Line)):
        return False
    for one, two in ((a, b), (b, a)):
        along = one.end.minus(one.start)
        margin = 2 * TOUCH * along.norm()
        first = along.cross(two.start.minus(one.start))
        second = along.cross(two.end.minus(one.start))
        if (first > margin and second > margin) or (first < -margin and second < -margin):
            return True
    return False


def _nearest_other(loops: Sequence[Loop], group: Sequence[int], one: int, at: Point) -> int:
    """The other loop that passes nearest to the place; the loop itself where it is alone."""
    others = [i for i in group if i != one]
    return min(
        others,
        key=lambda i: min(point_distance(at, s) for s in loops[i].outline.segments),
        default=one,
    )


def region_of(loops: Sequence[Loop], nesting: Nesting) -> Region:
    """Loops as a region: those at even depth are outlines, those at odd depth holes in them."""
    return in_order(
        [
            loop.outline if nesting.depth(i) % 2 == 0 else loop.outline.reversed()
            for i, loop in enumerate(loops)
        ]
    )
