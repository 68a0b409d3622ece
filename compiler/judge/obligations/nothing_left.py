"""What stays beyond the asked allowance is only where the smallest tool cannot go."""

from __future__ import annotations

from compiler.geometry import Point
from compiler.judge.case import Case
from compiler.judge.left import remains
from compiler.judge.model import Leftover, Obligation


def check(case: Case) -> Obligation:
    """The largest place that a tool used could have cleared, or the tally of those none could."""
    return check_with_places(case)[0]


def check_with_places(case: Case) -> tuple[Obligation, tuple[Leftover, ...]]:
    """The same, with every place left for the report."""
    found = remains(case)
    if found is None:
        said = "No pass clears an area; what stays is not looked at."
        return Obligation(name="nothing_left", held=True, what=said), ()
    places = found.reachable + found.unreachable
    if found.reachable:
        return _missed(case, found.reachable), places
    area = sum(place.area_mm2 for place in found.unreachable)
    if not found.unreachable:
        what = "Nothing stays beyond what was asked."
    else:
        what = (
            f"{len(found.unreachable)} places stay that the smallest cutter cannot reach, "
            f"{_area(case, area)} in all."
        )
    largest = found.unreachable[0] if found.unreachable else None
    return (
        Obligation(
            name="nothing_left",
            held=True,
            what=what,
            measured=0.0,
            allowed=0.0,
            margin=0.0,
            unit="mm2",
            worst=case.place(at=Point(largest.x_mm, largest.y_mm)) if largest else None,
        ),
        places,
    )


def _missed(case: Case, places: tuple[Leftover, ...]) -> Obligation:
    worst = places[0]
    area = sum(place.area_mm2 for place in places)
    return Obligation(
        name="nothing_left",
        held=False,
        what=(
            f"{len(places)} places stay that a cutter of the job reaches, {_area(case, area)} in "
            f"all; the largest is {case.length(worst.depth_mm)} high."
        ),
        measured=area,
        allowed=0.0,
        margin=-area,
        unit="mm2",
        worst=case.place(at=Point(worst.x_mm, worst.y_mm)),
        remedy="add a `rest` pass with the smaller cutter, or lower the radial depth",
    )


def _area(case: Case, mm2: float) -> str:
    if case.job.units == "inch":
        return f"{mm2 / 645.16:.4f} in2"
    return f"{mm2:.2f} mm2"
