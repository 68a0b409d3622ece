"""The holes that a job drills, each place once, for drawings and lists."""

from dataclasses import dataclass, replace

from compiler.geometry import Point, Region
from compiler.geometry.build import circle
from compiler.job import Job


@dataclass(frozen=True, slots=True)
class Hole:
    """One hole, work coordinates, mm: as its last drill leaves it; a spot alone where none does.

    `to` is Z of its full diameter's end, None where the pass leaves it to the plan.
    """

    name: str
    at: Point
    diameter: float
    to: float | None
    is_spot: bool

    @property
    def region(self) -> Region:
        """Its outline."""
        return Region((circle(self.at, self.diameter / 2),))


def on_each_part(drilled: tuple[Hole, ...], places: tuple[Point, ...]) -> tuple[Hole, ...]:
    """The holes of one part as every part on the table has them; `places` are their datums, mm."""
    return tuple(replace(h, at=h.at.plus(place)) for place in places for h in drilled)


def holes(job: Job) -> tuple[Hole, ...]:
    """All holes, in the order of the passes that finish them."""
    found: dict[tuple[float, float], Hole] = {}
    for asked in job.passes:
        if asked.kind != "drill" or asked.is_open:
            continue
        diameter = job.tool(asked.tool).diameter
        for drawn in asked.at:
            at = drawn.minus(job.datum.at)
            key = (round(at.x, 4), round(at.y, 4))
            is_spot = asked.cycle == "spot"
            if is_spot and key in found:
                continue
            found.pop(key, None)  # told where it is finished
            found[key] = Hole(asked.name, at, diameter, asked.to, is_spot)
    return tuple(found.values())
